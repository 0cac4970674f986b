/* judge_duty.c - hands the consignment to the duty room. */
#include <string.h>

#include "parcel/judges.h"

static sv_dec amount(const sv_dossier *d, int64_t minor)
{
    return minor < 0 ? SV_DEC_UNKNOWN : SV_DEC(minor, (uint8_t)d->exponent);
}

static void fill_lines(const sv_dossier *d, sv_duty_line *line)
{
    for (size_t i = 0; i < d->lines; i++) {
        const sv_line *from = &d->line[i];
        line[i] = (sv_duty_line){.hs6 = from->heading.hs6,
                                 .made_in = from->made_in,
                                 .goods = amount(d, from->value),
                                 .quantity = from->quantity};
        line[i].wearer = sv_fact_word(&from->facts, SV_FACT_WEARER);
        if (strlen(from->code) >= 6) line[i].hs6 = sv_copy_n(d->arena, from->code, 6);
        line[i].net_weight_g = from->net_g > 0 ? sv_dec_int(from->net_g) : SV_DEC_UNKNOWN;
    }
}

/* The fibre that weighs most in the shell; "" when none is known. */
static const char *material(const sv_facts *facts)
{
    return facts->parts && facts->part[0].count ? facts->part[0].fibre[0].key : "";
}

/* A value that an examiner would doubt. */
static sv_status judge_value(sv_dossier *d, size_t i, const char *situation)
{
    const sv_line *line = &d->line[i];
    sv_value_facts facts = {.place = sv_piece_place(d, i, "unit_value"),
                            .currency = d->currency,
                            .price = amount(d, line->unit_paid),
                            .usual = SV_DEC_UNKNOWN,
                            .material = material(&line->facts),
                            .free = line->piece->free,
                            .situation = situation};
    return sv_value_advise(d->world, d->arena, &facts, &d->findings);
}

/* The text to send to the buyer: what is in the parcel, what may be charged and by whom. */
static sv_status write_note(sv_dossier *d)
{
    const char **contents = (const char **)sv_alloc_array(d->arena, d->lines + 1, sizeof(char *));
    if (!contents) return SV_NO_MEMORY;
    for (size_t i = 0; i < d->lines; i++)
        contents[i] = d->line[i].description;
    const char *number = d->item_number.valid ? d->item_number.printed : "";
    return sv_buyer_note(d->world, d->arena, &d->duty, &d->to, contents, d->lines, number, "", &d->buyer_note,
                         &d->buyer_note_language);
}

sv_status sv_judge_duty(sv_dossier *d, sv_error *err)
{
    d->incoterm = d->buyer_note = d->buyer_note_language = "";
    if (!d->declaration.needed || !d->from.place || !d->to.place || d->lines == 0) return SV_OK;
    sv_duty_line *line = SV_NEW_ARRAY(d->arena, d->lines + 1, sv_duty_line);
    if (!line) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", d->reference);
    fill_lines(d, line);
    const char *c = d->category;
    bool named = strcmp(c, "gift") == 0 || strcmp(c, "sample") == 0 || strcmp(c, "return") == 0;
    sv_consignment all = {.date = d->date,
                          .from = d->from,
                          .to = d->to,
                          .situation = named ? c : "sale",
                          .sender_status = d->parcel->profile.status,
                          .service = d->service,
                          .scheme = d->scheme,
                          .currency = d->currency,
                          .freight = amount(d, d->postage),
                          .insurance = amount(d, d->insurance),
                          .line = line,
                          .lines = d->lines};
    sv_status s = sv_duty_estimate(d->world, d->arena, &all, &d->duty, &d->findings);
    if (s) return sv_fail(err, s, "%s: the charges cannot be estimated", d->reference);
    d->incoterm = sv_or_empty(d->duty.incoterm);
    for (size_t i = 0; i < d->lines && !s; i++)
        s = judge_value(d, i, all.situation);
    if (!s) s = write_note(d);
    return s ? sv_fail(err, s, "%s: the note to the buyer cannot be written", d->reference) : SV_OK;
}
