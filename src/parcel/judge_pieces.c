/* judge_pieces.c - each piece: its facts, its content line, how many, where made. */
#include <string.h>

#include "parcel/judges.h"

const char *sv_piece_place(sv_dossier *d, size_t index, const char *field)
{
    return sv_format(d->arena, *field ? "piece[%zu].%s" : "piece[%zu]%s", index + 1, field);
}

/* UN/ECE Recommendation 20. */
static const struct {
    const char *word, *code;
} units[] = {{"", "H87"},     {"piece", "H87"}, {"pieces", "H87"}, {"pair", "PR"},
             {"pairs", "PR"}, {"set", "SET"},   {"sets", "SET"}};

static void judge_quantity(sv_dossier *d, size_t i)
{
    const sv_piece *piece = d->line[i].piece;
    sv_dec q = piece->quantity;
    d->line[i].quantity = q.known ? sv_dec_to_int(q, SV_DOWN) : 1;
    bool whole = !q.known || (sv_dec_cmp(q, sv_dec_int(d->line[i].quantity)) == 0 && q.units > 0 &&
                              sv_dec_cmp(q, sv_dec_int(100000)) < 0);
    if (!whole) {
        sv_find(&d->findings, SV_F_QUANTITY_FORM, sv_piece_place(d, i, "quantity"),
                SV_ARGS(sv_dec_text(d->arena, q)));
        d->line[i].quantity = 1;
    }
    d->line[i].unit_code = "H87";
    for (size_t u = 0; u < sizeof units / sizeof *units; u++) {
        if (strcmp(units[u].word, piece->unit) == 0) {
            d->line[i].unit_code = units[u].code;
            return;
        }
    }
    sv_find(&d->findings, SV_F_UNIT_UNKNOWN, sv_piece_place(d, i, "unit"), SV_ARGS(piece->unit));
}

/* The country where the goods were made: from their label; never guessed from where they are posted. */
static void judge_made_in(sv_dossier *d, size_t i)
{
    sv_line *line = &d->line[i];
    const char *said = line->piece->made_in;
    line->made_in = line->made_in_name = "";
    if (!*said) {
        if (d->declaration.needed) {
            sv_finding *f =
                sv_find(&d->findings, SV_F_MADE_IN_MISSING, sv_piece_place(d, i, "made_in"), SV_NO_ARGS);
            sv_finding_source(f, "UPU CN 22 and CN 23 (2018), country of origin of goods", "2026-11-25");
        }
        return;
    }
    const sv_place *place = sv_place_by_code(d->world, said);
    if (!place) place = sv_place_by_name(d->world, said);
    if (!place) {
        sv_find(&d->findings, SV_F_MADE_IN_UNKNOWN, sv_piece_place(d, i, "made_in"), SV_ARGS(said));
        return;
    }
    line->made_in = place->code;
    line->made_in_name = place->common_en;
}

/* Our line where the garment was understood; else the seller's own words, when they are fit to print. */
static sv_status judge_description(sv_dossier *d, size_t i)
{
    sv_line *line = &d->line[i];
    sv_status s = sv_content_line(d->world, d->arena, &line->facts, line->quantity, "en", &line->description,
                                  &line->description_short);
    if (s || *line->description) return s;
    const char *said = *sv_or_empty(line->piece->given.text) ? line->piece->given.text
                                                             : sv_or_empty(line->piece->given.garment);
    bool fit = false;
    const char *reason = "nothing was said of it.";
    if (*said) s = sv_description_judge(d->world, d->arena, said, "en", &fit, &reason);
    if (s) return s;
    line->description = sv_trim(d->arena, said, strlen(said));
    line->description_short = line->description;
    if (!fit)
        sv_find(&d->findings, SV_F_DESCRIPTION_UNFIT, sv_piece_place(d, i, "text"), SV_ARGS(said, reason));
    return SV_OK;
}

static sv_status judge_piece(sv_dossier *d, size_t i)
{
    sv_line *line = &d->line[i];
    line->piece = &d->parcel->piece[i];
    line->number = i + 1;
    line->code = line->heading.hs6 = line->heading.heading = "";
    judge_quantity(d, i);
    judge_made_in(d, i);
    sv_findings said = sv_findings_in(d->arena);
    sv_status s = sv_garment_read(d->world, d->arena, &line->piece->given, &line->facts, &said);
    sv_findings_move(&d->findings, &said, sv_piece_place(d, i, ""));
    return s ? s : judge_description(d, i);
}

sv_status sv_judge_pieces(sv_dossier *d, sv_error *err)
{
    d->lines = d->parcel->pieces;
    d->line = SV_NEW_ARRAY(d->arena, d->lines + 1, sv_line);
    if (!d->line) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", d->reference);
    if (d->lines == 0) sv_find(&d->findings, SV_F_PIECES_MISSING, "piece", SV_NO_ARGS);
    for (size_t i = 0; i < d->lines; i++) {
        sv_status s = judge_piece(d, i);
        if (s) return sv_fail(err, s, "%s: piece %zu cannot be judged", d->reference, i + 1);
    }
    return SV_OK;
}
