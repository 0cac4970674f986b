/* regime.c - the duty of one run: the charge that takes the place of the tariff where there is one, else the
 * tariff. */
#include <string.h>

#include "duty/duty.h"

static const char *code6(const duty_job *job, size_t i)
{
    const char *code = job->c->line[i].hs6;
    return strlen(code) > 6 ? sv_copy_n(job->arena, code, 6) : code;
}

/* Distinct subheadings among what is charged. A line without a code counts by itself; at the least all such
 * lines are one with another. */
size_t duty_count_items(const duty_job *job, const duty_charge *charge, duty_scenario scenario)
{
    size_t n = 0;
    bool unknown = false;
    for (size_t i = 0; i < job->n; i++) {
        if (charge->freedom[i] == FREE) continue;
        const char *code = code6(job, i);
        bool seen = false;
        for (size_t k = 0; k < i && *code; k++)
            seen |= charge->freedom[k] != FREE && strcmp(code6(job, k), code) == 0;
        if (!*code && scenario == LOWEST) {
            unknown = true;
        } else if (!seen) {
            n++;
        }
    }
    return n ? n : unknown;
}

/* ---- which regime ---- */

static bool in_band(duty_job *job, const duty_run *run, const duty_regime *r)
{
    bool lower =
        run->scenario == LOWEST && job->method->low_share.known && strcmp(job->situation, "gift") != 0;
    sv_dec share = lower ? job->method->low_share : SV_DEC_UNKNOWN;
    if (r->over.known && duty_against(job, r->over, r->money, r->by_cif, share) <= 0) return false;
    if (!r->up_to.known) return true;
    int order = duty_against(job, r->up_to, r->money, r->by_cif, share);
    return order == -1 || order == 0;
}

static const duty_regime *regime_of(duty_job *job, const duty_run *run, const char *code)
{
    for (size_t i = 0; i < job->room->regimes.n; i++) {
        const duty_regime *r = &job->room->regimes.row[i];
        if (!duty_in_chain(&job->duty_places, &r->head) || !duty_on(&r->head, job->date)) continue;
        if (!duty_case_fits(job, &r->when) || !duty_code_in(r->goods, code)) continue;
        if (in_band(job, run, r)) return r;
    }
    return NULL;
}

/* ---- the value a duty is taken on ---- */

static sv_dec duty_base(const duty_job *job, const duty_run *run, const duty_charge *charge, size_t i)
{
    sv_dec value = duty_value(&charge->amount[i], job->value_cif);
    bool lower =
        run->scenario == LOWEST && job->method->low_share.known && strcmp(job->situation, "gift") != 0;
    return lower ? duty_minor(job, sv_dec_mul(value, job->method->low_share)) : value;
}

static bool is_charged(const duty_charge *charge, size_t i)
{
    return charge->freedom[i] == CHARGED || charge->freedom[i] == PARTLY;
}

/* ---- by the tariff, in groups ---- */

static bool same_group(const duty_job *job, size_t a, size_t b)
{
    const sv_duty_line *x = &job->c->line[a], *y = &job->c->line[b];
    if (strcmp(x->hs6, y->hs6) != 0 || strcmp(x->made_in, y->made_in) != 0) return false;
    if (x->duty_rate_pct.known != y->duty_rate_pct.known) return false;
    return !x->duty_rate_pct.known || sv_dec_cmp(x->duty_rate_pct, y->duty_rate_pct) == 0;
}

typedef struct gathered {
    size_t *line;
    sv_dec *base;
    size_t n;
    duty_group group;
} gathered;

static void gather(const duty_job *job, const duty_run *run, const duty_charge *charge, size_t first,
                   bool *done, gathered *out)
{
    const sv_duty_line *line = &job->c->line[first];
    out->n = 0;
    out->group = (duty_group){line->hs6, line->made_in, SV_DEC(0, 0), line->duty_rate_pct, SV_DEC(0, 0), 0};
    for (size_t i = first; i < job->n; i++) {
        if (done[i] || !is_charged(charge, i)) continue;
        if (i != first && (!job->method->whole || !same_group(job, first, i))) continue;
        const sv_duty_line *other = &job->c->line[i];
        done[i] = true;
        out->line[out->n] = i;
        out->base[out->n] = duty_base(job, run, charge, i);
        out->group.value = sv_dec_add(out->group.value, out->base[out->n++]);
        out->group.weight_g = sv_dec_add(out->group.weight_g, other->net_weight_g);
        out->group.quantity += other->quantity > 0 ? other->quantity : 1;
    }
    out->group.value = duty_rounded(job, out->group.value, job->method->duty_on);
}

/* A tariff of four years or more before the day. */
static bool old_edition(const duty_job *job, const duty_rate *r)
{
    sv_dec edition, year;
    bool read = sv_dec_read(r->edition, &edition) && sv_dec_read(sv_copy_n(job->arena, job->date, 4), &year);
    return read && !r->head.memory && sv_dec_cmp(sv_dec_add(edition, sv_dec_int(4)), year) <= 0;
}

static void say_rate(duty_job *job, const duty_run *run, const duty_group *g, const duty_found *found)
{
    if (!run->note) return;
    const char *code = *g->code ? g->code : "?";
    if (found->no_rate) sv_find(job->findings, SV_F_DUTY_RATE_MISSING, "code", SV_ARGS(code));
    if (found->no_weight) sv_find(job->findings, SV_F_DUTY_WEIGHT_MISSING, "net_weight", SV_ARGS(code));
    if (!found->rate) return;
    const duty_rate *r = found->rate;
    const char *pct = r->pct.known ? sv_dec_text_short(job->arena, r->pct) : "?";
    const char *what = r->pct.known && !r->head.memory ? sv_format(job->arena, "duty %s %%", pct) : "";
    if (*what && *r->head.note) what = sv_format(job->arena, "%s (%s)", what, r->head.note);
    duty_use(job, run, &r->head, what);
    if (old_edition(job, r)) duty_find(job, &r->head, SV_F_DUTY_OLD_EDITION, SV_ARGS(r->edition));
    if (found->range) duty_find(job, &r->head, SV_F_DUTY_RANGE, SV_ARGS(code));
}

static sv_dec add_regime(const duty_regime *r, const duty_run *run, sv_dec duty, sv_dec value)
{
    if (!r || r->kind != REGIME_ADD) return duty;
    sv_dec pct = run->scenario == LOWEST ? r->low : run->scenario == HIGHEST ? r->high : r->pct;
    return sv_dec_add(duty, duty_percent(value, pct));
}

static void by_tariff(duty_job *job, duty_run *run, const duty_charge *charge,
                      const duty_regime *const regime[], bool *done)
{
    gathered g = {.line = SV_NEW_ARRAY(job->arena, job->n + 1, size_t),
                  .base = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec)};
    sv_dec *share = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!g.line || !g.base || !share) return;
    for (size_t i = 0; i < job->n; i++) {
        if (done[i] || !is_charged(charge, i)) continue;
        gather(job, run, charge, i, done, &g);
        duty_found found = duty_tariff(job, run->scenario, &g.group);
        sv_dec duty = add_regime(regime[i], run, found.duty, g.group.value);
        if (found.open || (regime[i] && regime[i]->open)) run->open = true;
        say_rate(job, run, &g.group, &found);
        duty_spread(job, duty_rounded(job, duty, job->method->duty_to), g.base, share, g.n);
        for (size_t k = 0; k < g.n; k++)
            run->line[g.line[k]].duty = share[k];
    }
}

/* ---- by a regime ---- */

/* "16:80 25:160 :200": the amount of the first band whose rate is not passed ("under 16" is the first). */
static sv_dec band_amount(const duty_job *job, const char *bands, sv_dec pct, bool last)
{
    sv_dec amount = SV_DEC_UNKNOWN;
    for (const char *p = bands; *p;) {
        size_t length = strcspn(p, " "), colon = strcspn(p, ":");
        sv_dec bound = SV_DEC_UNKNOWN;
        bool open = colon == 0 || !sv_dec_read(sv_copy_n(job->arena, p, colon), &bound);
        if (!sv_dec_read(sv_copy_n(job->arena, p + colon + 1, length - colon - 1), &amount))
            return SV_DEC_UNKNOWN;
        bool first = p == bands;
        int order = open ? -1 : sv_dec_cmp(pct, bound);
        if (!last && (open || order < 0 || (!first && order == 0))) return amount;
        p += length + strspn(p + length, " ");
    }
    return amount;
}

/* By value at the rate of the country of making, or one amount a parcel by the band of that rate: the seller
 * does not choose, so both ends are shown. */
static sv_dec by_bands(duty_job *job, const duty_run *run, const duty_regime *r, sv_dec value, sv_dec given)
{
    sv_dec first =
        duty_local(job, band_amount(job, r->bands, given.known ? given : SV_DEC(0, 0), false), r->money);
    sv_dec last = given.known ? first : duty_local(job, band_amount(job, r->bands, given, true), r->money);
    sv_dec low = duty_percent(value, given.known ? given : r->low);
    sv_dec high = duty_percent(value, given.known ? given : r->high);
    if (run->scenario == USUAL) return given.known ? low : SV_DEC_UNKNOWN;
    if (run->scenario == HIGHEST) return duty_most(high, last);
    return sv_dec_cmp(low, first) <= 0 ? low : first;
}

static sv_dec by_percent(duty_job *job, const duty_run *run, const duty_regime *r, sv_dec value)
{
    sv_dec pct = run->scenario == LOWEST ? r->low : run->scenario == HIGHEST ? r->high : r->pct;
    sv_dec duty = duty_percent(value, pct);
    if (r->less.known) duty = sv_dec_sub(duty, duty_local(job, r->less, r->money));
    if (duty.known && duty.units < 0) duty = SV_DEC(0, 0);
    bool floor = run->scenario != LOWEST || sv_dec_cmp(r->low, r->pct) == 0;
    if (r->least.known && floor) duty = duty_most(duty, duty_local(job, r->least, r->money));
    return duty;
}

/* EUR 2 per kg of what passes the weight that goes free with the relief of the place. */
static sv_dec by_weight(duty_job *job, const duty_regime *r, sv_dec duty)
{
    sv_dec weight = SV_DEC(0, 0), free = SV_DEC_UNKNOWN;
    for (size_t i = 0; i < job->n; i++)
        weight = sv_dec_add(weight, job->c->line[i].net_weight_g);
    for (size_t i = 0; i < job->room->reliefs.n; i++) {
        const duty_relief *relief = &job->room->reliefs.row[i];
        if (strcmp(relief->head.place, r->head.place) == 0 && relief->weight.known) free = relief->weight;
    }
    sv_dec over = sv_dec_sub(weight, free);
    if (!over.known || over.units <= 0) return duty;
    sv_dec kg = sv_dec_mul(over, SV_DEC(1, 3));
    return duty_most(duty, duty_local(job, sv_dec_mul(kg, r->per_kg), r->money));
}

static bool whole_amount(const duty_regime *r)
{
    return r->kind == REGIME_PARCEL || r->kind == REGIME_BANDS || r->less.known || r->least.known ||
           r->per_kg.known;
}

/* A regime that is worked out over the consignment: its amount is shared by value. */
static void by_whole(duty_job *job, duty_run *run, const duty_charge *charge,
                     const duty_regime *const regime[], const duty_regime *r, bool *done)
{
    sv_dec *base = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec),
           *share = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!base || !share) return;
    sv_dec sum = SV_DEC(0, 0), given = SV_DEC_UNKNOWN;
    for (size_t i = 0; i < job->n; i++) {
        base[i] = SV_DEC(0, 0);
        if (done[i] || regime[i] != r || !is_charged(charge, i)) continue;
        base[i] = duty_base(job, run, charge, i);
        sum = sv_dec_add(sum, base[i]);
        given = job->c->line[i].duty_rate_pct;
    }
    sv_dec duty = r->kind == REGIME_PARCEL  ? duty_local(job, r->amount, r->money)
                  : r->kind == REGIME_BANDS ? by_bands(job, run, r, sum, given)
                                            : by_percent(job, run, r, sum);
    if (r->per_kg.known) duty = by_weight(job, r, duty);
    duty_spread(job, duty_rounded(job, duty, job->method->duty_to), base, share, job->n);
    for (size_t i = 0; i < job->n; i++) {
        if (done[i] || regime[i] != r || !is_charged(charge, i)) continue;
        run->line[i].duty = share[i];
        done[i] = true;
    }
}

/* So much for each subheading, shared by value among its lines. */
static void by_items(duty_job *job, duty_run *run, const duty_charge *charge, const duty_regime *r,
                     bool *done)
{
    sv_dec amount = duty_local(job, r->amount, r->money);
    sv_dec *base = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec),
           *share = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!base || !share) return;
    /* at the least, lines without a code are one item with another: only one of them bears it, or none */
    bool lowest = run->scenario == LOWEST, borne = false;
    for (size_t i = 0; i < job->n && lowest; i++)
        borne |= is_charged(charge, i) && *code6(job, i);
    for (size_t i = 0; i < job->n; i++) {
        if (done[i] || !is_charged(charge, i)) continue;
        const char *code = code6(job, i);
        for (size_t k = 0; k < job->n; k++) {
            bool with = k == i || (*code && strcmp(code6(job, k), code) == 0);
            base[k] = with && k >= i && is_charged(charge, k) ? duty_base(job, run, charge, k) : SV_DEC(0, 0);
        }
        bool bears = *code || !lowest || !borne;
        borne = borne || lowest;
        duty_spread(job, bears ? amount : SV_DEC(0, 0), base, share, job->n);
        for (size_t k = i; k < job->n; k++) {
            bool with = k == i || (*code && strcmp(code6(job, k), code) == 0);
            if (!with || !is_charged(charge, k)) continue;
            run->line[k].duty = share[k];
            done[k] = true;
        }
    }
}

static void by_rate(duty_job *job, duty_run *run, const duty_charge *charge, const duty_regime *r, size_t i,
                    bool *done)
{
    sv_dec value = duty_rounded(job, duty_base(job, run, charge, i), job->method->duty_on);
    sv_dec given = job->c->line[i].duty_rate_pct;
    sv_dec duty = given.known ? duty_percent(value, given) : by_percent(job, run, r, value);
    run->line[i].duty = duty_rounded(job, duty, job->method->duty_to);
    done[i] = true;
}

void duty_duties(duty_job *job, duty_run *run, const duty_charge *charge)
{
    const duty_regime **regime = (const duty_regime **)sv_alloc_array(job->arena, job->n + 1, sizeof *regime);
    bool *done = SV_NEW_ARRAY(job->arena, job->n + 1, bool);
    if (!regime || !done) return;
    for (size_t i = 0; i < job->n; i++) {
        run->line[i].duty = charge->freedom[i] == UNTOLD ? SV_DEC_UNKNOWN : SV_DEC(0, (uint8_t)job->exponent);
        if (!is_charged(charge, i)) continue;
        regime[i] = regime_of(job, run, job->c->line[i].hs6);
        if (!regime[i]) continue;
        duty_use(job, run, &regime[i]->head, regime[i]->head.note);
        if (regime[i]->tax == TAX_INCLUDED) run->tax_way = WAY_INCLUDED;
        if (regime[i]->tax == TAX_NONE) run->tax_way = WAY_NONE;
        if (regime[i]->head.memory) {
            run->line[i].duty = SV_DEC_UNKNOWN;
            done[i] = true;
        }
    }
    for (size_t i = 0; i < job->n; i++) {
        const duty_regime *r = regime[i];
        if (!r || done[i] || r->kind == REGIME_ADD || !is_charged(charge, i)) continue;
        if (r->kind == REGIME_ITEMS) {
            by_items(job, run, charge, r, done);
        } else if (whole_amount(r)) {
            by_whole(job, run, charge, regime, r, done);
        } else {
            by_rate(job, run, charge, r, i, done);
        }
        if (r->open) run->open = true;
    }
    by_tariff(job, run, charge, regime, done);
}

void duty_by_given(duty_job *job, duty_run *run, const duty_charge *charge)
{
    const duty_regime **none = (const duty_regime **)sv_alloc_array(job->arena, job->n + 1, sizeof *none);
    bool *done = SV_NEW_ARRAY(job->arena, job->n + 1, bool);
    if (none && done) by_tariff(job, run, charge, none, done);
}
