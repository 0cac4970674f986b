/* judge_label.c - what is to be said about a label: sums, ranges, trade words, what was not understood. */
#include "garment/reader.h"

#include <string.h>

static const char *percent_text(sv_arena *arena, int32_t milli)
{
    return sv_dec_text_short(arena, SV_DEC(milli, 3));
}

static void judge_part(sv_reader *r, const sv_label_part *p)
{
    int32_t sum = 0;
    bool all = true, any = false;
    for (size_t i = 0; i < p->count; i++) {
        const sv_label_fibre *f = &p->fibre[i];
        all = all && f->milli >= 0 && !f->rest;
        any = any || f->milli >= 0;
        if (f->milli > 0) sum += f->milli;
        const char *group = r->lex->fibre[f->fibre].group;
        if (strcmp(group, "unknown") == 0)
            sv_find(r->findings, SV_F_FIBRE_OTHER, "fibre", SV_ARGS(r->lex->fibre[f->fibre].key));
        if (strcmp(r->lex->fibre[f->fibre].key, "bamboo") == 0)
            sv_find(r->findings, SV_F_FIBRE_TRADE_WORD, "fibre", SV_ARGS("bamboo", "viscose"));
    }
    if (any && !all)
        sv_find(r->findings, SV_F_FIBRE_PERCENT_MISSING, "fibre", SV_ARGS(sv_part_word(p->part)));
    if (all && (sum < 99500 || sum > 100500))
        sv_find(r->findings, SV_F_FIBRE_SUM, "fibre",
                SV_ARGS(sv_part_word(p->part), percent_text(r->arena, sum)));
}

void sv_judge_label(sv_reader *r)
{
    for (size_t i = 0; i < r->label.parts; i++)
        judge_part(r, &r->label.part[i]);
    if (r->label.range) sv_find(r->findings, SV_F_FIBRE_RANGE, "fibre", SV_NO_ARGS);
    if (r->label.unknown) {
        const char *word = sv_copy_n(r->arena, r->label.unknown, strcspn(r->label.unknown, " \t\n,;.:()/%"));
        sv_find(r->findings, SV_F_FIBRE_UNKNOWN, "fibre",
                SV_ARGS(percent_text(r->arena, r->label.unknown_milli), word));
    }
    if (*r->given[SV_SOURCE_FIBRE] && !r->label.parts)
        sv_find(r->findings, SV_F_FIBRE_NONE, "fibre", SV_ARGS(r->given[SV_SOURCE_FIBRE]));
    if (r->article < 0 && (*r->given[SV_SOURCE_TEXT] || *r->given[SV_SOURCE_GARMENT]))
        sv_find(
            r->findings, SV_F_GARMENT_UNKNOWN, *r->given[SV_SOURCE_GARMENT] ? "garment" : "text",
            SV_ARGS(*r->given[SV_SOURCE_GARMENT] ? r->given[SV_SOURCE_GARMENT] : r->given[SV_SOURCE_TEXT]));
}
