/* judge_weights.c - net weight of each line, gross weight of the parcel, and that they can be. */
#include <string.h>

#include "parcel/judges.h"

#define HEAVIEST_PARCEL_G                                                                                    \
    30000 /* Universal Postal Convention art. 13: 20 kg, by agreement more; 30 kg in common practice */

static const char *grams(sv_dossier *d, int64_t g)
{
    return sv_format(d->arena, "%lld g", (long long)g);
}

static void judge_net(sv_dossier *d, size_t i)
{
    sv_line *line = &d->line[i];
    sv_dec said = line->piece->net_weight;
    const char *place = sv_piece_place(d, i, "net_weight");
    line->net_g = said.known ? sv_dec_to_int(said, SV_HALF_UP) : -1;
    if (said.known && said.units > 0) {
        if (line->net_g == 0) line->net_g = 1; /* nothing weighs nothing on a form */
        return;
    }
    line->net_g = -1;
    if (said.known) {
        sv_find(&d->findings, SV_F_WEIGHT_FORM, place, SV_ARGS(sv_dec_text(d->arena, said)));
    } else if (d->declaration.needed) {
        sv_find(&d->findings, SV_F_NET_WEIGHT_MISSING, place, SV_NO_ARGS);
    }
}

static void judge_gross(sv_dossier *d)
{
    sv_dec said = d->parcel->gross_weight;
    d->gross_g = -1;
    if (!said.known) {
        if (d->declaration.needed)
            sv_find(&d->findings, SV_F_GROSS_WEIGHT_MISSING, "gross_weight", SV_NO_ARGS);
        return;
    }
    if (said.units <= 0) {
        sv_find(&d->findings, SV_F_WEIGHT_FORM, "gross_weight", SV_ARGS(sv_dec_text(d->arena, said)));
        return;
    }
    d->gross_g = sv_dec_to_int(said, SV_HALF_UP);
    if (d->net_g > 0 && d->net_g >= d->gross_g)
        sv_find(&d->findings, SV_F_NET_OVER_GROSS, "gross_weight",
                SV_ARGS(grams(d, d->net_g), grams(d, d->gross_g)));
    bool letter = strcmp(d->service, "letter-post") == 0;
    int64_t most = letter ? 2000 : HEAVIEST_PARCEL_G;
    if (d->gross_g > most) {
        sv_finding *f = sv_find(&d->findings, SV_F_TOO_HEAVY, "gross_weight",
                                SV_ARGS(grams(d, d->gross_g), d->service, grams(d, most)));
        sv_finding_source(f, "Universal Postal Convention art. 13", "2026-11-25");
    }
}

sv_status sv_judge_weights(sv_dossier *d, sv_error *err)
{
    (void)err;
    bool all = true;
    for (size_t i = 0; i < d->lines; i++) {
        judge_net(d, i);
        if (d->line[i].net_g > 0) d->net_g += d->line[i].net_g;
        all = all && d->line[i].net_g > 0;
    }
    judge_gross(d);
    if (!all) d->net_g = -1;
    return SV_OK;
}
