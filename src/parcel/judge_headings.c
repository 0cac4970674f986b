/* judge_headings.c - the HS code of each line: ours with its reasons, the seller's own when it is longer. */
#include <string.h>

#include "parcel/judges.h"

/* Digits of a code the seller states; "" when it is not 6 to 12 digits (the tariff room says so). */
static const char *stated_digits(sv_arena *arena, const char *code)
{
    char digits[16];
    size_t n = 0;
    for (; *code; code++) {
        if (*code == '.' || *code == ' ') continue;
        if (*code < '0' || *code > '9' || n == 12) return "";
        digits[n++] = *code;
    }
    return n >= 6 ? sv_copy_n(arena, digits, n) : "";
}

static void judge_doubt(sv_dossier *d, size_t i)
{
    const sv_heading *h = &d->line[i].heading;
    const char *place = sv_piece_place(d, i, "code");
    if (*d->line[i].code && h->certainty != SV_OPEN) return;
    if (*stated_digits(d->arena, d->line[i].piece->code)) return; /* the seller decided */
    if (!*d->line[i].code) {
        sv_find(&d->findings, SV_F_CODE_MISSING, place, SV_ARGS(d->line[i].description, h->ask));
        return;
    }
    sv_finding *f = sv_find(&d->findings, SV_F_CODE_OPEN, place,
                            SV_ARGS(h->hs6, *h->ask ? h->ask : "Say more of the piece."));
    sv_finding_source(f, h->source, h->as_of);
}

static sv_status judge_heading(sv_dossier *d, size_t i)
{
    sv_line *line = &d->line[i];
    sv_findings said = sv_findings_in(d->arena);
    const char *destination = d->to.place ? d->to.place->code : "";
    sv_status s = sv_classify(d->world, d->arena, &line->facts, destination, d->date, line->piece->code,
                              &line->heading, &said);
    if (s) return s;
    if (d->declaration.needed) sv_findings_move(&d->findings, &said, sv_piece_place(d, i, ""));
    const char *stated = stated_digits(d->arena, line->piece->code);
    line->code = *stated ? stated : line->heading.hs6;
    if (d->declaration.needed) judge_doubt(d, i);
    return SV_OK;
}

sv_status sv_judge_headings(sv_dossier *d, sv_error *err)
{
    for (size_t i = 0; i < d->lines; i++) {
        sv_status s = judge_heading(d, i);
        if (s) return sv_fail(err, s, "%s: piece %zu cannot be classified", d->reference, i + 1);
    }
    return SV_OK;
}
