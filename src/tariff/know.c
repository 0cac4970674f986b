/* know.c - from the facts of a piece to what each may still be: what was said, what is unsaid because it is
 * not so, what the trade supposes, and what follows. */
#include <string.h>

#include "tariff/tariff.h"

static void put_said(sv_known *k, int fact, sv_set set)
{
    k->may[fact] = set;
    k->said[fact] = 1;
}

/* The row of the article here, or that of the wider article. */
static const sv_known_article *article_of(const sv_tariff *t, const sv_world *world, const char *key)
{
    int row = key && *key ? sv_article_find(world, key) : -1;
    return row < 0 ? NULL : t->by_row[row];
}

/* No word for the article, yet facts that tell a chapter: shoes have an upper, bags an outside, clothes a
 * cloth. */
static const sv_known_article *stand_in(const sv_tariff *t, const sv_world *world, const sv_facts *facts)
{
    static const struct {
        int fact;
        const char *article;
    } tells[] = {{SV_FACT_UPPER, "shoes"},
                 {SV_FACT_SOLE, "shoes"},
                 {SV_FACT_HAT_MAKE, "hat"},
                 {SV_FACT_OUTER_SURFACE, "bag"},
                 {SV_FACT_CONSTRUCTION, "workwear"}};
    if (facts->article && *facts->article) return NULL;
    if (sv_fact_is(facts, SV_FACT_CONDITION, SV_CONDITION_USED) &&
        sv_fact_is(facts, SV_FACT_PRESENTATION, SV_PRESENTATION_BULK))
        return article_of(t, world, "worn-clothing");
    for (size_t i = 0; i < sizeof tells / sizeof *tells; i++) {
        if (facts->fact[tells[i].fact].from >= SV_FROM_TEXT) return article_of(t, world, tells[i].article);
    }
    return NULL;
}

static void take_fact(const sv_tariff *t, sv_known *k, int fact, const sv_fact *f)
{
    if (!f->value || f->value > t->meta[fact].values) return;
    sv_set set = sv_bit(f->value);
    switch (f->from) {
    case SV_FROM_STATED:
    case SV_FROM_TEXT: put_said(k, fact, set); break;
    case SV_FROM_WORD: k->unsaid[fact] = set; break;
    case SV_FROM_DEFAULT:
        if (k->unsaid[fact] & set) k->usual[fact] = (uint8_t)f->value;
        break;
    default: break;
    }
}

static void take_fibres(sv_known *k)
{
    const sv_weighed *w = &k->weighed;
    if (w->groups && w->sure) put_said(k, SV_GROUP, w->groups);
    if (w->groups && !w->sure) {
        k->unsaid[SV_GROUP] = w->groups;
        k->usual[SV_GROUP] = (uint8_t)sv_lowest(w->first_choice);
    }
    if (!w->material) return;
    if (!k->said[SV_FACT_CONSTRUCTION]) put_said(k, SV_FACT_CONSTRUCTION, w->material);
}

/* Do the conditions hold of what was said, or of what the words mean? *said: all of it was said. */
static bool holds_known(const sv_known *k, const sv_when *when, bool *said)
{
    *said = true;
    for (size_t i = 0; i < when->count; i++) {
        const sv_condition *c = &when->condition[i];
        sv_set may = k->said[c->fact] ? k->may[c->fact] : k->unsaid[c->fact];
        if (may & ~c->allowed) return false;
        *said = *said && k->said[c->fact];
    }
    return true;
}

/* What is said of this very fact is narrowed by what it means. */
static bool narrows(const sv_derived *d)
{
    for (size_t i = 0; i < d->when.count; i++) {
        if (d->when.condition[i].fact == d->fact) return true;
    }
    return false;
}

static void follow(sv_known *k, const sv_derived *d, bool said)
{
    if (!d->sure) {
        if (k->said[d->fact]) return;
        k->unsaid[d->fact] |= d->set;
        if (d->usual) k->usual[d->fact] = (uint8_t)sv_lowest(d->set);
        return;
    }
    bool was_said = k->said[d->fact];
    if (was_said && !narrows(d)) { /* said otherwise: then what follows was only to be presumed */
        k->unsaid[d->fact] = d->set;
        return;
    }
    if (said) {
        put_said(k, d->fact, d->set);
    } else { /* only the words mean so: what was said of this fact stays possible */
        k->unsaid[d->fact] = was_said ? (sv_set)(d->set | k->may[d->fact]) : d->set;
        k->usual[d->fact] = (uint8_t)sv_lowest(d->set);
        k->said[d->fact] = 0;
    }
    if (k->follow < SV_FOLLOWS_MAX) k->follows[k->follow++] = d;
}

/* Three or more marks of a jacket (US guidelines CIE 13/88, as quoted in rulings). */
static void count_jacket_marks(sv_known *k)
{
    static const struct {
        int fact;
        sv_set set;
    } marks[] = {
        {SV_FACT_FABRIC_WEIGHT, 1u << (SV_FABRIC_WEIGHT_HEAVY - 1)},
        {SV_FACT_LINED, 1u << (SV_YES - 1)},
        {SV_FACT_POCKETS_BELOW_WAIST, 1u << (SV_YES - 1)},
        {SV_FACT_HOOD, 1u << (SV_YES - 1)},
        {SV_FACT_ZIP, 1u << (SV_YES - 1)},
        {SV_FACT_COLLAR, 1u << (SV_YES - 1)},
        {SV_FACT_TIGHT_CUFFS, 1u << (SV_YES - 1)},
        {SV_FACT_TIGHTENING_AT_BOTTOM, 1u << (SV_YES - 1)},
        {SV_FACT_BELT_LOOPS, 1u << (SV_YES - 1)},
        {SV_FACT_WEATHERPROOF, 1u << (SV_YES - 1)},
    };
    if (k->said[SV_FACT_JACKET_BUILD]) return;
    size_t n = 0;
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++)
        n += k->said[marks[i].fact] && k->may[marks[i].fact] == marks[i].set;
    n += k->said[SV_FACT_FLEECE_LINED] && k->may[SV_FACT_FLEECE_LINED] == 1u << (SV_YES - 1);
    if (n >= 3) put_said(k, SV_FACT_JACKET_BUILD, 1u << (SV_YES - 1));
}

static bool is_left_out(const sv_left_out *out, int fact, const sv_fact *f)
{
    if (!out) return false;
    return fact == out->fact ||
           (out->word && *out->word && f->because == out->word && f->from >= SV_FROM_TEXT);
}

bool sv_know(const sv_tariff *t, const sv_world *world, const sv_facts *facts, const sv_weighed *weighed,
             const sv_left_out *without, const char *date, sv_known *out)
{
    const sv_known_article *a = article_of(t, world, facts->article);
    memset(out->said, 0, sizeof out->said);
    out->follow = 0;
    out->unfit = false;
    if (!a) a = stand_in(t, world, facts);
    if (!a) return false;
    out->unnamed = !facts->article || !*facts->article;
    out->weighed = *weighed;
    out->date = date;
    out->meta = t->meta;
    out->class = a->class;
    memcpy(out->unsaid, a->supposed.unsaid, sizeof out->unsaid);
    memcpy(out->usual, a->supposed.usual, sizeof out->usual);
    for (int i = 0; i < SV_FACT_COUNT; i++) {
        if (facts->fact[i].value && !is_left_out(without, i, &facts->fact[i]))
            take_fact(t, out, i, &facts->fact[i]);
    }
    if (facts->grown) out->unsaid[SV_FACT_WEARER] &= (sv_set)~sv_bit(SV_WEARER_BABY);
    take_fibres(out);
    for (size_t i = 0; i < t->deriveds; i++) {
        bool said;
        if (holds_known(out, &t->derived[i].when, &said)) follow(out, &t->derived[i], said);
    }
    count_jacket_marks(out);
    for (int i = 0; i < SV_KNOWABLE; i++) {
        if (!out->said[i]) out->may[i] = out->unsaid[i];
        if (!(out->may[i] & sv_bit(out->usual[i]))) out->usual[i] = 0;
    }
    return true;
}
