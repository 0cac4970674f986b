/* limits.c - what a destination charges, in short: the rows that hold for a parcel by post, without a parcel.
 */
#include <string.h>

#include "duty/duty.h"

typedef struct limits {
    duty_job *job;
    sv_duty_limit *out;
    size_t n, room;
} limits;

static bool here(const limits *l, const duty_head *h, bool tax)
{
    const duty_job *job = l->job;
    bool in = (!tax && duty_in_chain(&job->duty_places, h)) || (tax && duty_in_chain(&job->tax_places, h));
    return in && duty_on(h, job->date);
}

/* Each text once. A row from memory gives no figure. */
static void add(limits *l, const duty_head *h, const char *text)
{
    if (h->memory) text = "charges are likely, the amount is not known";
    for (size_t i = 0; i < l->n; i++) {
        if (strcmp(l->out[i].text, text) == 0) return;
    }
    if (*text && l->n < l->room)
        l->out[l->n++] =
            (sv_duty_limit){.text = text, .source = h->source, .as_of = h->as_of, .memory = h->memory};
}

/* By post, for whatever sender, from wherever it is posted; the note itself says which situation it means. */
static bool usual(const limits *l, const duty_case *c)
{
    return strcmp(c->service, "courier") != 0 && duty_listed(c->posted, l->job->c->from.place);
}

static void add_reliefs(limits *l)
{
    for (size_t i = 0; i < l->job->room->reliefs.n; i++) {
        const duty_relief *r = &l->job->room->reliefs.row[i];
        if (here(l, &r->head, !r->duty) && usual(l, &r->when) && !r->head.memory)
            add(l, &r->head, r->head.note);
    }
}

/* A scheme serves only where its tax is raised. */
static bool served(const limits *l, const char *scheme)
{
    if (strcmp(scheme, "any") == 0) return true;
    for (size_t i = 0; i < l->job->room->schemes.n; i++) {
        const duty_head *h = &l->job->room->schemes.row[i].head;
        if (strcmp(h->id, scheme) == 0 && here(l, h, true)) return true;
    }
    return false;
}

/* "goods of 62: 10 %, simplified tariff to JPY 200000" where the rate is of some goods only. */
static const char *regime_text(sv_arena *arena, const duty_regime *r)
{
    bool some = strcmp(r->goods, "*") != 0;
    if (!some || r->kind != REGIME_RATE || !r->pct.known) return r->head.note;
    const char *low = sv_dec_text_short(arena, r->low), *high = sv_dec_text_short(arena, r->high);
    const char *rate = sv_dec_cmp(r->low, r->high) == 0 ? low : sv_format(arena, "%s to %s", low, high);
    return sv_format(arena, "goods of %s: %s %%, %s", r->goods, rate, r->head.note);
}

static void add_regimes(limits *l)
{
    for (size_t i = 0; i < l->job->room->regimes.n; i++) {
        const duty_regime *r = &l->job->room->regimes.row[i];
        if (here(l, &r->head, false) && usual(l, &r->when) && served(l, r->when.scheme) && !r->head.memory)
            add(l, &r->head, regime_text(l->job->arena, r));
    }
}

static const char *rate_text(sv_arena *arena, const duty_tax *t)
{
    const char *name = t->name, *note = t->head.note;
    if (strcmp(name, "none") == 0) return note;
    if (sv_dec_cmp(t->low, t->high) != 0) return sv_format(arena, "%s: %s", name, note);
    return sv_format(arena, "%s %s %%%s%s", name, sv_dec_text_short(arena, t->pct), *note ? ": " : "", note);
}

static void add_taxes(limits *l)
{
    for (size_t k = 0; k < l->job->tax_places.n; k++) {
        bool any = false;
        for (size_t i = 0; i < l->job->room->taxes.n; i++) {
            const duty_tax *t = &l->job->room->taxes.row[i];
            if (strcmp(t->head.place, l->job->tax_places.key[k]) != 0 || !duty_on(&t->head, l->job->date))
                continue;
            add(l, &t->head, rate_text(l->job->arena, t));
            any = true;
        }
        if (any) return; /* the nearest place's rows count */
    }
}

static void add_schemes(limits *l)
{
    for (size_t i = 0; i < l->job->room->schemes.n; i++) {
        const duty_scheme *s = &l->job->room->schemes.row[i];
        if (!here(l, &s->head, true)) continue;
        const char *limit = s->limit.known ? sv_format(l->job->arena, " to %s %s", s->money,
                                                       sv_dec_text_short(l->job->arena, s->limit))
                                           : "";
        add(l, &s->head,
            sv_format(l->job->arena, "the seller %s the tax at the sale%s: %s",
                      s->required ? "collects" : "may collect", limit, s->name));
    }
}

static void add_fees(limits *l)
{
    for (size_t i = 0; i < l->job->room->fees.n; i++) {
        const duty_fee *f = &l->job->room->fees.row[i];
        if (here(l, &f->head, false) && strcmp(f->service, "courier") != 0 && !f->head.memory)
            add(l, &f->head, f->head.note);
    }
}

size_t sv_duty_limits(const sv_world *world, sv_arena *arena, sv_end from, sv_end to, const char *date,
                      sv_duty_limit *out, size_t room)
{
    sv_consignment way = {.from = from, .to = duty_whole_union(to)};
    duty_job job = {.world = world, .room = duty_room_of(world), .arena = arena, .c = &way, .date = date};
    if (!job.room || !way.to.place) return 0;
    duty_places_of(&job);
    if (job.same_customs && job.same_tax) return 0;
    limits l = {&job, out, 0, room};
    add_reliefs(&l);
    add_regimes(&l);
    add_taxes(&l);
    add_schemes(&l);
    add_fees(&l);
    return l.n;
}
