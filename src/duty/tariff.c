/* tariff.c - the duty on like goods by the rates of the destination: the line of the tariff where the code
 * tells it, else the range over the lines below it, else the heading, the chapter, or the rate for all goods.
 */
#include <string.h>

#include "duty/duty.h"

#define MOST_LINES 1024

typedef struct lines {
    const duty_rate *row[MOST_LINES];
    size_t n;
} lines;

/* The rows of a place stand together, in the order of their digits. */
static void run_of(const duty_room *room, const char *place, size_t *first, size_t *n)
{
    size_t from = 0, to = room->rates.n;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (strcmp(room->rates.row[middle].head.place, place) < 0) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    *first = from;
    *n = 0;
    while (from + *n < room->rates.n && strcmp(room->rates.row[from + *n].head.place, place) == 0)
        (*n)++;
}

typedef struct search {
    const duty_room *room;
    size_t first, n;
    const char *date, *made_in;
    const sv_place *maker; /* NULL: not known where the goods were made */
    duty_scenario scenario;
} search;

/* A row for certain origins counts for them; where the origin is not known it is the low end. */
static bool origin_fits(const search *s, const duty_rate *r)
{
    if (strcmp(r->origin, "any") == 0) return true;
    if (!s->maker) return s->scenario == LOWEST;
    return duty_listed(r->origin, s->maker);
}

static void collect(const search *s, const char *digits, size_t length, bool below, lines *out)
{
    for (size_t i = s->first; i < s->first + s->n && out->n < MOST_LINES; i++) {
        const duty_rate *r = &s->room->rates.row[i];
        bool fits = strncmp(r->goods, digits, length) == 0 && (below || !r->goods[length]);
        if (fits && duty_on(&r->head, s->date) && origin_fits(s, r)) out->row[out->n++] = r;
    }
}

/* Where a row names the origin, the row for any origin of the same goods gives way. */
static void prefer_origin(lines *found)
{
    size_t kept = 0;
    for (size_t i = 0; i < found->n; i++) {
        bool beaten = false;
        for (size_t k = 0; k < found->n && !beaten; k++)
            beaten = strcmp(found->row[i]->origin, "any") == 0 && strcmp(found->row[k]->origin, "any") != 0 &&
                     strcmp(found->row[k]->goods, found->row[i]->goods) == 0;
        if (!beaten) found->row[kept++] = found->row[i];
    }
    found->n = kept;
}

/* Without a code: what the clothing chapters bear. */
static void find_clothing(const search *s, lines *out)
{
    collect(s, "61", 2, true, out);
    collect(s, "62", 2, true, out);
    if (out->n == 0) collect(s, "*", 1, false, out);
}

static void find_lines(const search *s, const char *code, lines *out)
{
    size_t length = strlen(code);
    if (length < 4) {
        find_clothing(s, out);
        return;
    }
    for (size_t n = length; n > 6 && out->n == 0; n--)
        collect(s, code, n, false, out);
    if (out->n == 0 && length >= 6) collect(s, code, 6, true, out);
    if (out->n == 0) collect(s, code, 5, false, out);
    if (out->n == 0) collect(s, code, 4, false, out);
    if (out->n == 0) collect(s, code, 4, true, out);
    if (out->n == 0) collect(s, code, 2, false, out);
    if (out->n == 0) collect(s, "*", 1, false, out);
}

typedef struct three {
    sv_dec low, usual, high;
    bool no_weight;
} three;

static sv_dec units_of(const duty_rate *r, const duty_group *g)
{
    int64_t pieces = g->quantity > 0 ? g->quantity : 1;
    if (strcmp(r->unit, "kg") == 0) return sv_dec_mul(g->weight_g, SV_DEC(1, 3));
    if (strcmp(r->unit, "dozen") == 0) return sv_dec_div(sv_dec_int(pieces), sv_dec_int(12), 6, SV_HALF_UP);
    return sv_dec_int(pieces);
}

static sv_dec join(const duty_rate *r, sv_dec by_value, sv_dec specific)
{
    if (!specific.known) return SV_DEC_UNKNOWN;
    if (r->rule == RATE_LEAST) return duty_most(by_value, specific);
    if (r->rule == RATE_MOST) return sv_dec_cmp(by_value, specific) <= 0 ? by_value : specific;
    return sv_dec_add(by_value, specific);
}

/* Low, usual and high duty by one row. Without a weight the part by value is what is known at least. */
static three by_row(duty_job *job, const duty_rate *r, const duty_group *g)
{
    three t = {duty_percent(g->value, r->low), duty_percent(g->value, r->pct),
               duty_percent(g->value, r->high), false};
    if (r->head.memory) return (three){SV_DEC_UNKNOWN, SV_DEC_UNKNOWN, SV_DEC_UNKNOWN, false};
    if (!r->each.known) return t;
    sv_dec specific = duty_local(job, sv_dec_mul(r->each, units_of(r, g)), r->money);
    t.no_weight = !specific.known;
    if (t.no_weight) {
        t.high = SV_DEC_UNKNOWN;
        return t;
    }
    t.low = join(r, t.low, specific);
    t.usual = join(r, t.usual, specific);
    t.high = join(r, t.high, specific);
    return t;
}

/* The amount most lines share; of two as frequent, the larger. */
static sv_dec most_frequent(const three *t, size_t n)
{
    sv_dec best = SV_DEC_UNKNOWN;
    size_t most = 0;
    for (size_t i = 0; i < n; i++) {
        size_t count = 0;
        if (!t[i].usual.known) continue;
        for (size_t k = 0; k < n; k++)
            count += t[k].usual.known && sv_dec_cmp(t[k].usual, t[i].usual) == 0;
        if (count > most || (count == most && sv_dec_cmp(t[i].usual, best) > 0)) {
            most = count;
            best = t[i].usual;
        }
    }
    return best;
}

static void combine(duty_scenario scenario, const lines *found, const three *t, duty_found *out)
{
    sv_dec low = t[0].low, high = t[0].high;
    for (size_t i = 0; i < found->n; i++) {
        if (t[i].low.known && (!low.known || sv_dec_cmp(t[i].low, low) < 0)) low = t[i].low;
        high = duty_most(high, t[i].high);
        out->no_weight |= t[i].no_weight;
    }
    sv_dec usual = most_frequent(t, found->n);
    out->open = !high.known;
    out->range = low.known && high.known && sv_dec_cmp(low, high) != 0;
    out->duty = scenario == LOWEST ? low : scenario == HIGHEST ? high : usual;
    out->rate = found->row[0];
    for (size_t i = 0; i < found->n && usual.known; i++) {
        if (t[i].usual.known && sv_dec_cmp(t[i].usual, usual) == 0) {
            out->rate = found->row[i];
            break;
        }
    }
}

static void drop_ensembles(lines *found)
{
    size_t kept = 0;
    for (size_t i = 0; i < found->n; i++) {
        const duty_rate *r = found->row[i];
        if (r->low.known || r->pct.known || r->high.known || r->each.known) found->row[kept++] = r;
    }
    found->n = kept;
}

duty_found duty_tariff(duty_job *job, duty_scenario scenario, const duty_group *g)
{
    duty_found out = {SV_DEC_UNKNOWN, false, false, false, false, NULL};
    if (g->given_pct.known) {
        out.duty = duty_percent(g->value, g->given_pct);
        return out;
    }
    lines all, *found = &all; /* 8 KB, for the length of the call */
    all.n = 0;
    search s = {.room = job->room, .date = job->date, .made_in = g->made_in, .scenario = scenario};
    if (g->made_in && *g->made_in) s.maker = sv_place_by_code(job->world, g->made_in);
    for (size_t k = 0; k < job->duty_places.n && found->n == 0; k++) {
        run_of(job->room, job->duty_places.key[k], &s.first, &s.n);
        find_lines(&s, g->code, found);
        prefer_origin(found);
        drop_ensembles(found);
    }
    out.no_rate = found->n == 0;
    if (out.no_rate) return out;
    three *t = SV_NEW_ARRAY(job->arena, found->n, three);
    if (!t) return out;
    for (size_t i = 0; i < found->n; i++)
        t[i] = by_row(job, found->row[i], g);
    combine(scenario, found, t, &out);
    return out;
}
