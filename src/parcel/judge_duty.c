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
        if (strlen(from->code) >= 6) line[i].hs6 = sv_copy_n(d->arena, from->code, 6);
        line[i].net_weight_g = from->net_g > 0 ? sv_dec_int(from->net_g) : SV_DEC_UNKNOWN;
    }
}

sv_status sv_judge_duty(sv_dossier *d, sv_error *err)
{
    d->incoterm = "";
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
    d->incoterm = d->duty.incoterm ? d->duty.incoterm : "";
    return SV_OK;
}
