/* used.c - used clothing, place by place: border/used says what its rule means for one parcel to one buyer.
 * Rows about certain goods (underwear) come before the row about all of that place. */
#include <stdlib.h>
#include <string.h>

#include "border/judge.h"

/* What is no clothing, household linen, shoe or hat: bans on used clothing are not written for it. */
#define NOT_CLOTHING "bag jewel accessory-hard"

static bool is_any(const char *cell)
{
    return strcmp(cell, "any") == 0;
}

/* How well a row speaks of this case: 0 not at all; its place before its union before all places, goods named
 * before all goods. */
static int fit(const sv_case *c, size_t r, const char **which)
{
    const sv_table *t = c->b->used;
    const char *place = sv_cell(t, r, 0), *goods = sv_cell(t, r, 1);
    int score = is_any(place) ? 1 : strcmp(place, "EU") == 0 ? 5 : 7;
    /* A part outside the union (Helgoland) falls back on its country before it falls back on nothing. */
    sv_end country = {.place = c->to.place, .territory = NULL, .region = ""};
    if (!sv_end_fits(&c->to, place)) score = sv_end_fits(&country, place) ? 3 : 0;
    if (!score) return 0;
    if (is_any(goods)) return score;
    return sv_things_any(&c->things, goods, which) ? score + 1 : 0;
}

static const char *verdict_cell(const sv_case *c, size_t r)
{
    const sv_table *t = c->b->used;
    const char *most = sv_by_name(t, r, "most_g");
    sv_dec limit;
    if (*most && sv_dec_read(most, &limit) && c->goods->net_weight_g.known &&
        sv_dec_cmp(c->goods->net_weight_g, limit) > 0)
        return sv_by_name(t, r, "over");
    if (c->bulk) return sv_by_name(t, r, "bulk");
    return sv_by_name(t, r, strcmp(c->situation, "gift") == 0 ? "gift" : "sale");
}

static sv_verdict lowered(const sv_case *c, size_t r, sv_verdict v)
{
    if (v != SV_BORDER_PROHIBITED) return v;
    bool memory = strcmp(sv_by_name(c->b->used, r, "source"), "memory") == 0;
    bool other = sv_things_any(&c->things, NOT_CLOTHING, NULL) &&
                 !sv_things_any(&c->things, "garment", NULL) &&
                 strcmp(sv_by_name(c->b->used, r, "all_goods"), "yes") != 0;
    return memory || other || c->state == SV_STATE_UNKNOWN ? SV_BORDER_CAUTION : v;
}

void sv_judge_used(sv_case *c)
{
    if (c->state == SV_STATE_NEW || !c->b->used->rows) return;
    const sv_table *t = c->b->used;
    size_t best = SV_NO_ROW;
    int most = 0;
    const char *which = "";
    for (size_t r = 0; r < t->rows; r++) {
        int score = fit(c, r, &which);
        if (score > most) {
            most = score;
            best = r;
        }
    }
    if (best == SV_NO_ROW) return;
    const char *cell = verdict_cell(c, best);
    sv_verdict v = *cell == 'p'   ? SV_BORDER_PROHIBITED
                   : *cell == 'c' ? SV_BORDER_CAUTION
                                  : SV_NO_RESTRICTION_KNOWN;
    /* Where nobody said that it is used, only a bar is worth a word. */
    if (c->state == SV_STATE_UNKNOWN && v != SV_BORDER_PROHIBITED) return;
    sv_verdict said = lowered(c, best, v);
    const char *rule = sv_by_name(t, best, "rule");
    sv_voice voice = {
        .verdict = said,
        .why = sv_format(c->arena, "%s: %s",
                         c->state == SV_STATE_UNKNOWN ? "if the piece is used" : "used clothing", rule),
        .remedy = sv_by_name(t, best, "remedy"),
        .lifted_by = sv_by_name(t, best, "lifted_by"),
        .source = sv_by_name(t, best, "source"),
        .as_of = sv_by_name(t, best, "as_of"),
        .which = which,
        .closeness = is_any(sv_cell(t, best, 0)) ? 0 : 3,
        .no_mail = false,
        .users = sv_users_key(c->arena, t, best)};
    if (said == SV_NO_RESTRICTION_KNOWN && !*c->out->source) c->out->source = voice.source;
    sv_speak(c, &voice);
}
