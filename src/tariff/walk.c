/* walk.c - which codes are still possible when facts are unknown.
 *
 * The rules of a class are a list: the first that holds decides. Where a rule may or may not hold, the walk
 * splits on the first fact that leaves it open: values under which it holds, values under which it fails. So
 * every leaf is an answer under a narrower reading of the facts, and no answer is kept that an earlier rule
 * would have taken.
 */
#include <string.h>

#include "tariff/tariff.h"

#define MOST_LEAVES 400

/* Fibres as they are met in clothing, where nothing is said: cotton and synthetics far before the rest. */
static const double group_priors[SV_GROUPS] = {1, 2, 0.7, 0.5, 0.05, 6, 1, 6, 1.5, 0.1};
#define USUAL_WEIGHT 5.0
#define RARE_WEIGHT  0.1

static double value_weight(const sv_known *k, int fact, int value)
{
    if (k->usual[fact] == value) return fact == SV_GROUP ? 20.0 : USUAL_WEIGHT;
    if (fact == SV_GROUP) return group_priors[value - 1];
    return (k->meta[fact].rare & sv_bit(value)) ? RARE_WEIGHT : 1.0;
}

static double set_weight(const sv_known *k, int fact, sv_set set)
{
    double sum = 0;
    for (int v = 1; set; v++, set = (sv_set)(set >> 1)) {
        if (set & 1u) sum += value_weight(k, fact, v);
    }
    return sum;
}

double sv_share(const sv_known *known, int fact, sv_set set)
{
    double all = set_weight(known, fact, known->may[fact]);
    return all > 0 ? set_weight(known, fact, (sv_set)(set & known->may[fact])) / all : 0;
}

enum { FAILS, OPEN, HOLDS };

/* Holds, fails or open; *open is then the condition that leaves it so. */
static int judge(const sv_set may[], const sv_when *when, const sv_condition **open)
{
    int result = HOLDS;
    for (size_t i = 0; i < when->count; i++) {
        const sv_condition *c = &when->condition[i];
        sv_set in = (sv_set)(may[c->fact] & c->allowed);
        if (!in) return FAILS;
        if (result == HOLDS && in != may[c->fact]) {
            result = OPEN;
            *open = c;
        }
    }
    return result;
}

typedef struct walker {
    sv_known *known;
    sv_walked *out;
    sv_path path;
    size_t leaves;
} walker;

static void walk_rules(walker *w, size_t from, double weight, bool usual);

static void add_leaf(walker *w, int16_t code, double weight, bool usual)
{
    sv_walked *o = w->out;
    size_t i = 0;
    if (code < 0) {
        o->complete = false;
        return;
    }
    w->leaves++;
    while (i < o->count && o->tally[i].code != code)
        i++;
    if (i == o->count) {
        if (o->count == SV_TALLY_MAX) {
            o->complete = false;
            return;
        }
        o->tally[o->count].code = code;
        o->tally[o->count].weight = o->tally[o->count].best = 0;
        o->count++;
    }
    sv_tally *t = &o->tally[i];
    t->weight += weight;
    if (usual || (weight > t->best && o->usual != (int)i)) {
        t->best = weight;
        t->path.steps = w->path.steps;
        memcpy(t->path.step, w->path.step, w->path.steps * sizeof *w->path.step);
    }
    if (usual) o->usual = (int)i;
}

/* Narrows a fact for the length of a call. Gives the values it had; 0 when the walk is too deep or too wide.
 */
static sv_set narrow(walker *w, int fact, sv_set to)
{
    sv_set had = w->known->may[fact];
    if (w->path.steps == SV_PATH_MAX || w->leaves > MOST_LEAVES) {
        w->out->complete = false;
        return 0;
    }
    w->path.step[w->path.steps++] = (sv_condition){(uint8_t)fact, to};
    w->known->may[fact] = to;
    w->out->touched[fact / 64] |= (uint64_t)1 << (fact % 64);
    return had;
}

static void widen(walker *w, int fact, sv_set had)
{
    w->path.steps--;
    w->known->may[fact] = had;
}

/* Is the usual value of the fact among these? Where the trade supposes nothing, no leaf is the usual one. */
static bool usual_in(const walker *w, int fact, sv_set set)
{
    return (sv_bit(w->known->usual[fact]) & set) != 0;
}

static void walk_groups(walker *w, const sv_line_part *part, double weight, bool usual)
{
    sv_set may = w->known->may[SV_GROUP];
    if (!part->by_fibre || !(may & (may - 1))) {
        add_leaf(w, part->code[sv_lowest(may) - 1], weight, usual);
        return;
    }
    for (sv_set left = may; left;) { /* one branch for each code, not for each group */
        int16_t code = part->code[sv_lowest(left) - 1];
        sv_set same = 0;
        for (int g = 0; g < SV_GROUPS; g++)
            same |= (sv_set)(left & 1u << g && part->code[g] == code ? 1u << g : 0);
        left = (sv_set)(left & ~same);
        if (same == may) {
            add_leaf(w, code, weight, usual);
            return;
        }
        double share = sv_share(w->known, SV_GROUP, same);
        bool is_usual = usual && usual_in(w, SV_GROUP, same);
        sv_set had = narrow(w, SV_GROUP, same);
        if (!had) return;
        add_leaf(w, code, weight * share, is_usual);
        widen(w, SV_GROUP, had);
    }
}

static void walk_line(walker *w, const sv_tariff_line *line, size_t from, double weight, bool usual)
{
    for (size_t i = from; i < line->parts; i++) {
        const sv_condition *open = NULL;
        if (!sv_dated_holds(line->part[i].from, line->part[i].to, w->known->date)) continue;
        int r = judge(w->known->may, &line->part[i].when, &open);
        if (r == FAILS) continue;
        if (r == HOLDS) {
            walk_groups(w, &line->part[i], weight, usual);
            return;
        }
        sv_set may = w->known->may[open->fact], in = (sv_set)(may & open->allowed), out = (sv_set)(may & ~in);
        double share = sv_share(w->known, open->fact, in);
        int fact = open->fact;
        sv_set had = narrow(w, fact, in);
        if (!had) return;
        walk_line(w, line, i, weight * share, usual && usual_in(w, fact, in));
        w->known->may[fact] = out;
        w->path.step[w->path.steps - 1].allowed = out;
        walk_line(w, line, i + 1, weight * (1 - share), usual && usual_in(w, fact, out));
        widen(w, fact, had);
        return;
    }
    w->out->complete = false; /* facts that no part of the line knows */
}

static void walk_rules(walker *w, size_t from, double weight, bool usual)
{
    const sv_class *c = w->known->class;
    for (size_t i = from; i < c->rules; i++) {
        const sv_condition *open = NULL;
        if (!sv_dated_holds(c->rule[i]->from, c->rule[i]->to, w->known->date)) continue;
        int r = judge(w->known->may, &c->rule[i]->when, &open);
        if (r == FAILS) continue;
        if (r == HOLDS) {
            walk_line(w, c->rule[i]->line, 0, weight, usual);
            return;
        }
        int fact = open->fact;
        sv_set may = w->known->may[fact], in = (sv_set)(may & open->allowed), out = (sv_set)(may & ~in);
        double share = sv_share(w->known, fact, in);
        sv_set had = narrow(w, fact, in);
        if (!had) return;
        walk_rules(w, i, weight * share, usual && usual_in(w, fact, in));
        w->known->may[fact] = out;
        w->path.step[w->path.steps - 1].allowed = out;
        walk_rules(w, i + 1, weight * (1 - share), usual && usual_in(w, fact, out));
        widen(w, fact, had);
        return;
    }
    w->out->complete = false; /* facts that no rule knows */
}

void sv_walk(const sv_tariff *t, sv_known *known, sv_walked *out)
{
    (void)t;
    out->count = 0;
    out->usual = -1;
    out->complete = true;
    out->touched[0] = out->touched[1] = 0;
    walker w = {.known = known, .out = out};
    walk_rules(&w, 0, 1.0, true);
}

/* ---- one way only ---- */

/* Takes the usual side of an open condition, else the likelier. */
static bool take_side(sv_known *k, const sv_condition *open)
{
    sv_set may = k->may[open->fact], in = (sv_set)(may & open->allowed);
    bool holds =
        k->usual[open->fact] ? (sv_bit(k->usual[open->fact]) & in) != 0 : sv_share(k, open->fact, in) > 0.5;
    k->may[open->fact] = holds ? in : (sv_set)(may & ~in);
    return holds;
}

static int resolve_line(sv_known *k, const sv_tariff_line *line)
{
    const sv_condition *open = NULL;
    for (size_t i = 0; i < line->parts; i++) {
        if (!sv_dated_holds(line->part[i].from, line->part[i].to, k->date)) continue;
        int r = judge(k->may, &line->part[i].when, &open);
        while (r == OPEN && take_side(k, open))
            r = judge(k->may, &line->part[i].when, &open);
        if (r != HOLDS) continue;
        sv_set may = k->may[SV_GROUP];
        int best = sv_lowest(may);
        for (int g = 1; g <= SV_GROUPS; g++) {
            if (may & sv_bit(g) && value_weight(k, SV_GROUP, g) > value_weight(k, SV_GROUP, best)) best = g;
        }
        return best ? line->part[i].code[best - 1] : -1;
    }
    return -1;
}

int sv_resolve(const sv_tariff *t, const sv_known *known)
{
    (void)t;
    sv_known k = *known;
    const sv_condition *open = NULL;
    for (size_t i = 0; i < k.class->rules; i++) {
        const sv_rule *rule = k.class->rule[i];
        if (!sv_dated_holds(rule->from, rule->to, k.date)) continue;
        int r = judge(k.may, &rule->when, &open);
        while (r == OPEN && take_side(&k, open))
            r = judge(k.may, &rule->when, &open);
        if (r == HOLDS) return resolve_line(&k, rule->line);
    }
    return -1;
}

/* ---- the way to a leaf ---- */

const sv_line_part *sv_line_part_for(const sv_tariff_line *line, const sv_set may[SV_KNOWABLE],
                                     const char *date)
{
    for (size_t i = 0; i < line->parts; i++) {
        const sv_condition *open = NULL;
        if (!sv_dated_holds(line->part[i].from, line->part[i].to, date)) continue;
        if (judge(may, &line->part[i].when, &open) == HOLDS) return &line->part[i];
    }
    return NULL;
}

/* Is a rule that was passed over about goods of this construction and wearer, so that the reader wants to
 * know? */
static bool concerns(const sv_set may[], const sv_rule *rule)
{
    for (size_t i = 0; i < rule->when.count; i++) {
        const sv_condition *c = &rule->when.condition[i];
        bool kind = c->fact == SV_FACT_CONSTRUCTION || c->fact == SV_FACT_WEARER;
        if (kind && !(may[c->fact] & c->allowed)) return false;
    }
    return true;
}

bool sv_decide(const sv_known *known, const sv_path *path, sv_decision *out)
{
    sv_set may[SV_KNOWABLE];
    memcpy(may, known->may, sizeof may);
    for (size_t i = 0; i < path->steps; i++)
        may[path->step[i].fact] = path->step[i].allowed;
    *out = (sv_decision){0};
    for (size_t i = 0; i < known->class->rules; i++) {
        const sv_rule *rule = known->class->rule[i];
        const sv_condition *open = NULL;
        if (!sv_dated_holds(rule->from, rule->to, known->date)) continue;
        if (judge(may, &rule->when, &open) == HOLDS) {
            out->rule = rule;
            out->part = sv_line_part_for(rule->line, may, known->date);
            return out->part != NULL;
        }
        bool tell = *rule->unless && out->passes < SV_PASSED_MAX && concerns(may, rule);
        for (size_t p = 0; p < out->passes; p++)
            tell = tell && strcmp(out->passed[p]->unless, rule->unless) != 0;
        if (tell) out->passed[out->passes++] = rule;
    }
    return false;
}

/* ---- the rules that nearly held ---- */

/* The only condition that keeps a rule from holding, when it stands against a mere presumption; NULL: none.
 */
static const sv_condition *only_obstacle(const sv_known *k, const sv_set may[], const sv_when *when)
{
    const sv_condition *only = NULL;
    for (size_t i = 0; i < when->count; i++) {
        const sv_condition *c = &when->condition[i];
        if (may[c->fact] & c->allowed) continue;
        bool rare = !(c->allowed & ~k->meta[c->fact].rare);
        if (only || k->said[c->fact] || rare) return NULL;
        only = c;
    }
    return only;
}

size_t sv_nearly(const sv_known *known, const sv_set may[SV_KNOWABLE], const sv_decision *decided,
                 size_t most, sv_condition *out)
{
    const sv_class *c = known->class;
    size_t n = 0, at = 0;
    while (at < c->rules && c->rule[at] != decided->rule)
        at++;
    for (size_t i = 0; i < decided->rule->when.count && n < most; i++) { /* the rule rests on a presumption */
        const sv_condition *w = &decided->rule->when.condition[i];
        sv_set other = (sv_set)(known->meta[w->fact].all & ~w->allowed & ~known->meta[w->fact].rare);
        if (!known->said[w->fact] && other) out[n++] = (sv_condition){w->fact, other};
    }
    for (size_t i = at; i > 0 && n < most;
         i--) { /* the nearest first: gates that few goods pass stand in front */
        const sv_rule *rule = c->rule[i - 1];
        bool gate = sv_listed(rule->classes, "garment"); /* for all clothes: coatings, sets, babies' things */
        if (gate || !sv_dated_holds(rule->from, rule->to, known->date)) continue;
        const sv_condition *w = only_obstacle(known, may, &rule->when);
        if (w) out[n++] = *w;
    }
    return n;
}
