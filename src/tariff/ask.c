/* ask.c - the one question whose answer divides the remaining candidates best. */
#include <string.h>

#include "tariff/tariff.h"

typedef struct split {
    int code[16];  /* index of the code each value leads to; -1 none; 0 is unused */
    double parted; /* 1 - sum of squares of the shares: 0 when every answer leads to one code */
} split;

/* What each value of a fact would lead to. */
static void try_values(const sv_tariff *t, sv_known *k, int fact, split *s)
{
    sv_set had = k->may[fact];
    double share[16] = {0};
    for (int v = 1; v <= t->meta[fact].values; v++) {
        s->code[v] = -1;
        if (!(had & sv_bit(v))) continue;
        share[v] = sv_share(k, fact, sv_bit(v));
    }
    for (int v = 1; v <= t->meta[fact].values; v++) {
        if (!(had & sv_bit(v))) continue;
        k->may[fact] = sv_bit(v);
        s->code[v] = sv_resolve(t, k);
        k->may[fact] = had;
    }
    s->parted = 1;
    for (int v = 1; v <= t->meta[fact].values; v++) {
        double same = 0;
        bool first = s->code[v] >= 0;
        for (int u = 1; u <= t->meta[fact].values; u++) {
            if (s->code[v] < 0 || s->code[u] != s->code[v]) continue;
            if (u < v) first = false;
            same += share[u];
        }
        if (first) s->parted -= same * same;
    }
}

/* "knitted: 610910; woven or of felt: 620640" */
static const char *answers(const sv_tariff *t, sv_arena *arena, int fact, const split *s)
{
    const sv_fact_meta *m = &t->meta[fact];
    const char *text = "";
    for (int v = 1; v <= m->values; v++) {
        bool seen = s->code[v] < 0;
        for (int u = 1; u < v && !seen; u++)
            seen = s->code[u] == s->code[v];
        if (seen) continue;
        const char *who = m->phrase[v];
        for (int u = v + 1; u <= m->values; u++) {
            if (s->code[u] == s->code[v]) who = sv_format(arena, "%s or %s", who, m->phrase[u]);
        }
        text = sv_format(arena, "%s%s%s: %s", text, *text ? "; " : "", who, t->code[s->code[v]].code);
    }
    return text;
}

const char *sv_ask(const sv_tariff *t, sv_arena *arena, const sv_known *known, const sv_walked *walked,
                   const char **fact)
{
    sv_known k = *known;
    split best = {.parted = 1e-6}, s;
    int best_fact = -1;
    for (int f = 0; f < SV_KNOWABLE; f++) {
        if (!(walked->touched[f / 64] >> (f % 64) & 1u)) continue;
        try_values(t, &k, f, &s);
        if (s.parted <= best.parted) continue;
        best = s;
        best_fact = f;
    }
    *fact = best_fact < 0 ? "" : best_fact == SV_GROUP ? "fibre" : sv_fact_name(best_fact);
    if (best_fact < 0) return "";
    return sv_format(arena, "%s (%s)", t->meta[best_fact].question, answers(t, arena, best_fact, &best));
}
