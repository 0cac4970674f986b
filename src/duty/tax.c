/* tax.c - VAT, GST and the like of one run. */
#include <string.h>

#include "duty/duty.h"

static bool child(const char *wearer)
{
    return strcmp(wearer, "boys") == 0 || strcmp(wearer, "girls") == 0 || strcmp(wearer, "baby") == 0;
}

/* The nearest place's row with the most digits of the code; rows for children only when asked for. */
static const duty_tax *tax_row(const duty_job *job, const char *code, bool for_child)
{
    const duty_tax *best = NULL;
    for (size_t k = 0; k < job->tax_places.n && !best; k++) {
        for (size_t i = 0; i < job->room->taxes.n; i++) {
            const duty_tax *t = &job->room->taxes.row[i];
            bool fits = strcmp(t->head.place, job->tax_places.key[k]) == 0 && duty_on(&t->head, job->date) &&
                        duty_code_in(t->goods, code) && (for_child || strcmp(t->wearer, "any") == 0);
            bool star = strcmp(t->goods, "*") == 0;
            if (fits && (!best || (!star && (strcmp(best->goods, "*") == 0 ||
                                             strlen(t->goods) > strlen(best->goods)))))
                best = t;
        }
    }
    return best;
}

static void say_rate(duty_job *job, const duty_run *run, const sv_duty_line *line, const duty_tax *t)
{
    const char *what = "";
    if (!t->head.memory && !t->pct.known) what = sv_format(job->arena, "%s %s", t->name, t->head.note);
    if (!t->head.memory && t->pct.known && t->pct.units)
        what = sv_format(job->arena, "%s %s %%", t->name, sv_dec_text_short(job->arena, t->pct));
    if (!t->head.memory && t->pct.known && !t->pct.units) what = t->head.note;
    duty_use(job, run, &t->head, what);
    const duty_tax *lower = run->note && !*line->wearer ? tax_row(job, line->hs6, true) : NULL;
    if (!lower || lower == t || sv_dec_cmp(lower->pct, t->pct) >= 0 || job->child_said) return;
    job->child_said = true;
    duty_find(job, &lower->head, SV_F_DUTY_CHILD_RATE,
              SV_ARGS(sv_dec_text_short(job->arena, lower->pct), lower->name));
}

/* Where the wearer is not known a child's rate is the low end. */
static sv_dec rate_of(duty_job *job, const duty_run *run, size_t i, bool charged)
{
    const sv_duty_line *line = &job->c->line[i];
    const duty_tax *t = tax_row(job, line->hs6, child(line->wearer));
    if (t && strcmp(t->name, "none") != 0) job->tax_name = t->name;
    if (line->vat_rate_pct.known) return line->vat_rate_pct;
    if (!t) return SV_DEC_UNKNOWN;
    if (charged) say_rate(job, run, line, t);
    if (t->head.memory) return SV_DEC_UNKNOWN;
    if (run->scenario == HIGHEST) return t->high;
    if (run->scenario == USUAL) return t->pct;
    const duty_tax *lower = *line->wearer ? NULL : tax_row(job, line->hs6, true);
    return lower && sv_dec_cmp(lower->low, t->low) < 0 ? lower->low : t->low;
}

static sv_dec base_of(const duty_job *job, const duty_run *run, const duty_charge *charge, size_t i,
                      sv_dec in_base)
{
    if (job->scheme && !job->scheme->all) return duty_value(&job->amount[i], true); /* the price paid */
    const duty_amounts *a = &charge->amount[i];
    sv_dec base = duty_value(a, job->method->base_cif);
    if (job->method->uplift.known) {
        sv_dec value = duty_value(a, job->value_cif);
        base = sv_dec_add(base, duty_minor(job, duty_percent(value, job->method->uplift)));
    }
    return sv_dec_add(sv_dec_add(base, run->line[i].duty), in_base);
}

/* A tax that is part of its own base: base / (1 - rate). */
static sv_dec inside(const duty_job *job, sv_dec base, sv_dec rate)
{
    if (!job->method->inside) return base;
    sv_dec left = sv_dec_sub(SV_DEC(1, 0), sv_dec_mul(rate, SV_DEC(1, 2)));
    return sv_dec_div(base, left, job->exponent, SV_HALF_UP);
}

static sv_dec tax_on(const duty_job *job, sv_dec base, sv_dec rate)
{
    const duty_method *m = job->method;
    sv_dec taken = duty_rounded(job, base, m->tax_on);
    if (!m->part.known) return duty_rounded(job, duty_percent(taken, rate), m->tax_to);
    sv_dec first = duty_rounded(job, duty_percent(taken, duty_percent(rate, m->part)), m->tax_to);
    sv_dec second = sv_dec_div(sv_dec_mul(first, m->rest), m->part, 6, SV_DOWN);
    return sv_dec_add(first, duty_rounded(job, second, m->tax_to));
}

typedef struct taxed {
    sv_dec *rate, *base, *weight, *share;
    bool *done;
} taxed;

/* Lines of one rate are taxed together where the place rounds over the declaration, else each by itself. */
static void tax_group(duty_job *job, duty_run *run, taxed *t, size_t first)
{
    sv_dec sum = SV_DEC(0, 0);
    for (size_t i = 0; i < job->n; i++) {
        bool with = i == first || (job->method->whole && i > first && !t->done[i] && t->rate[i].known &&
                                   t->rate[first].known && sv_dec_cmp(t->rate[i], t->rate[first]) == 0);
        t->weight[i] = with ? t->base[i] : SV_DEC(0, 0);
        if (!with) continue;
        t->done[i] = true;
        sum = sv_dec_add(sum, t->base[i]);
    }
    sv_dec tax = tax_on(job, sum, t->rate[first]);
    duty_spread(job, tax, t->weight, t->share, job->n);
    for (size_t i = first; i < job->n; i++) {
        if (i == first || (t->done[i] && t->weight[i].units)) run->line[i].vat = t->share[i];
    }
}

static void forgive_small(duty_job *job, duty_run *run, const duty_relief *r)
{
    sv_dec sum = SV_DEC(0, 0);
    for (size_t i = 0; i < job->n; i++)
        sum = sv_dec_add(sum, run->line[i].vat);
    sv_dec limit = duty_local(job, r->limit, r->money);
    if (!sum.known || !limit.known || sum.units == 0 || sv_dec_cmp(sum, limit) > 0) return;
    for (size_t i = 0; i < job->n; i++)
        run->line[i].vat = SV_DEC(0, (uint8_t)job->exponent);
    duty_use(job, run, &r->head, r->head.note);
}

void duty_taxes(duty_job *job, duty_run *run, const duty_charge *charge, const sv_dec in_base[])
{
    size_t n = job->n + 1;
    sv_dec zero = SV_DEC(0, (uint8_t)job->exponent);
    taxed t = {.rate = SV_NEW_ARRAY(job->arena, n, sv_dec),
               .base = SV_NEW_ARRAY(job->arena, n, sv_dec),
               .weight = SV_NEW_ARRAY(job->arena, n, sv_dec),
               .share = SV_NEW_ARRAY(job->arena, n, sv_dec),
               .done = SV_NEW_ARRAY(job->arena, n, bool)};
    if (!t.rate || !t.base || !t.weight || !t.share || !t.done) return;
    bool at_sale = job->scheme != NULL;
    for (size_t i = 0; i < job->n; i++) {
        sv_duty_part *part = &run->line[i];
        part->vat = part->vat_base = zero;
        t.done[i] = true;
        if ((run->tax_way != WAY_USUAL && !at_sale) || job->same_tax) continue;
        bool free = !at_sale && (charge->freedom[i] == FREE || charge->freedom[i] == UNTOLD);
        t.rate[i] = rate_of(job, run, i, !free);
        t.base[i] = base_of(job, run, charge, i, in_base[i]);
        part->vat_base = t.base[i] = duty_minor(job, inside(job, t.base[i], t.rate[i]));
        if (charge->freedom[i] == UNTOLD && !at_sale) part->vat = SV_DEC_UNKNOWN;
        t.done[i] = free;
        bool none = t.rate[i].known && t.rate[i].units == 0;
        if (none && job->tax_name && strcmp(job->tax_name, "none") == 0) part->vat_base = zero;
    }
    for (size_t i = 0; i < job->n; i++) {
        if (!t.done[i]) tax_group(job, run, &t, i);
    }
    if (charge->by_tax && !at_sale) forgive_small(job, run, charge->by_tax);
}
