/* estimate.c - the estimate of one consignment: what was given is put in order, then computed at its lowest,
 * usual and highest. */
#include <string.h>

#include "base/cells.h"
#include "duty/duty.h"

/* ---- what was given, in order ---- */

static const char *filled(const char *text)
{
    return text ? text : "";
}

/* Digits of a code without its dots and blanks; what is no code is unknown. */
static const char *digits(sv_arena *arena, const char *text)
{
    char *out = sv_alloc(arena, strlen(text) + 1);
    size_t n = 0;
    for (const char *p = text; out && *p; p++) {
        if (*p >= '0' && *p <= '9') out[n++] = *p;
        if ((*p < '0' || *p > '9') && *p != '.' && *p != ' ') return "";
    }
    return out && n >= 4 && n <= 12 ? out : "";
}

static bool copy_given(duty_job *job, const sv_consignment *c)
{
    sv_consignment *own = SV_NEW(job->arena, sv_consignment);
    sv_duty_line *line = SV_NEW_ARRAY(job->arena, c->lines + 1, sv_duty_line);
    if (!own || !line) return false;
    *own = *c;
    own->to = duty_whole_union(c->to);
    for (size_t i = 0; i < c->lines; i++) {
        line[i] = c->line[i];
        line[i].hs6 = digits(job->arena, filled(line[i].hs6));
        line[i].made_in = filled(line[i].made_in);
        line[i].wearer = filled(line[i].wearer);
    }
    own->line = line;
    job->c = own;
    job->n = c->lines;
    return true;
}

static const char *situation_of(duty_job *job)
{
    static const char *const words[] = {"sale", "gift", "return", "sample"};
    const char *given = filled(job->c->situation);
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(given, words[i]) == 0) return words[i];
    }
    if (*given) sv_find(job->findings, SV_F_DUTY_SITUATION, "situation", SV_ARGS(given));
    return "sale";
}

static const char *date_of(duty_job *job)
{
    const char *given = filled(job->c->date), *today = filled(job->world->today);
    if (sv_is_date(given)) return given;
    if (*given) sv_find(job->findings, SV_F_DUTY_DATE, "date", SV_ARGS(given));
    return *today ? today : "9999-12-31";
}

/* The nearest place's row; that for any place last. */
static const duty_method *method_of(const duty_job *job)
{
    const duty_chain *chains[] = {&job->tax_places, &job->duty_places};
    for (size_t c = 0; c < 2; c++) {
        for (size_t k = 0; k < chains[c]->n; k++) {
            for (size_t i = 0; i < job->room->methods.n; i++) {
                const duty_method *m = &job->room->methods.row[i];
                if (strcmp(m->head.place, chains[c]->key[k]) == 0 && duty_on(&m->head, job->date)) return m;
            }
        }
    }
    for (size_t i = 0; i < job->room->methods.n; i++) {
        if (strcmp(job->room->methods.row[i].head.place, "any") == 0) return &job->room->methods.row[i];
    }
    return NULL;
}

static const char *money_of(const duty_job *job)
{
    const char *own = job->c->to.place->currency;
    bool exact = strcmp(job->method->head.place, job->c->to.place->code) == 0 || !*own;
    return *job->method->money && (exact || job->c->to.territory) ? job->method->money : own;
}

static bool known_money(duty_job *job)
{
    const char *given = job->c->currency;
    job->given_money = given && *given ? given : job->money;
    job->exponent = sv_currency_exponent(job->world, job->money);
    if (job->exponent < 0) job->exponent = 2;
    if (given && *given && sv_currency_exponent(job->world, given) < 0 && !job->c->fx_to_local.known) {
        sv_find(job->findings, SV_F_DUTY_CURRENCY, "currency", SV_ARGS(given));
        return false;
    }
    duty_exchange(job);
    if (!job->fx.known)
        sv_find(job->findings, SV_F_DUTY_FX_MISSING, "currency", SV_ARGS(job->given_money, job->money));
    return true;
}

/* ---- converting and sharing out ---- */

/* Freight goes by value; by weight where duty on every line is by weight alone. */
static bool by_weight(duty_job *job)
{
    for (size_t i = 0; i < job->n; i++) {
        const sv_duty_line *line = &job->c->line[i];
        if (line->duty_rate_pct.known || !line->net_weight_g.known || !*line->hs6) return false;
        duty_group g = {line->hs6,      line->made_in,      SV_DEC(0, 0),
                        SV_DEC_UNKNOWN, line->net_weight_g, line->quantity};
        duty_found f = duty_tariff(job, USUAL, &g);
        bool alone =
            f.rate && f.rate->each.known && strcmp(f.rate->unit, "kg") == 0 && f.rate->pct.units == 0;
        if (!alone) return false;
    }
    return job->n > 0;
}

/* Each amount by itself at the rate, rounded to the minor unit, then shared over the lines. */
static bool convert(duty_job *job, bool arithmetic)
{
    job->amount = SV_NEW_ARRAY(job->arena, job->n + 1, duty_amounts);
    sv_dec *weight = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec),
           *share = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!job->amount || !weight || !share) return false;
    bool weighed = !arithmetic && by_weight(job);
    for (size_t i = 0; i < job->n; i++) {
        const sv_duty_line *line = &job->c->line[i];
        job->amount[i].goods = duty_minor(job, sv_dec_mul(line->goods, job->fx));
        weight[i] = weighed ? line->net_weight_g : job->amount[i].goods;
        if (!line->goods.known) sv_find(job->findings, SV_F_DUTY_VALUE_MISSING, "goods", SV_NO_ARGS);
    }
    const sv_dec given[] = {job->c->freight, job->c->insurance};
    for (size_t part = 0; part < 2; part++) {
        sv_dec amount = given[part].known ? duty_minor(job, sv_dec_mul(given[part], job->fx))
                                          : SV_DEC(0, (uint8_t)job->exponent);
        duty_spread(job, amount, weight, share, job->n);
        for (size_t i = 0; i < job->n; i++)
            *(part ? &job->amount[i].insurance : &job->amount[i].freight) = share[i];
    }
    return true;
}

/* ---- one run ---- */

static bool new_charge(const duty_job *job, duty_charge *charge)
{
    charge->freedom = SV_NEW_ARRAY(job->arena, job->n + 1, duty_freedom);
    charge->amount = SV_NEW_ARRAY(job->arena, job->n + 1, duty_amounts);
    charge->by_tax = NULL;
    charge->part = false;
    if (!charge->freedom || !charge->amount) return false;
    memcpy(charge->amount, job->amount, job->n * sizeof *charge->amount);
    return true;
}

/* Where only a part is charged, the value shown is that of the part. */
static const duty_amounts *shown(const duty_job *job, const duty_charge *duty, const duty_charge *tax,
                                 size_t i)
{
    return duty->part ? &duty->amount[i] : tax->part ? &tax->amount[i] : &job->amount[i];
}

static void close_run(const duty_job *job, duty_run *run, const duty_charge *duty, const duty_charge *tax,
                      const sv_dec fee[])
{
    sv_dec zero = SV_DEC(0, (uint8_t)job->exponent);
    run->whole = (sv_duty_part){zero, zero, zero, zero, zero, zero, SV_DEC_UNKNOWN, SV_DEC_UNKNOWN};
    for (size_t i = 0; i < job->n; i++) {
        sv_duty_part *p = &run->line[i], *w = &run->whole;
        p->customs_value = duty_value(shown(job, duty, tax, i), job->value_cif);
        p->fees = fee[i];
        p->total = sv_dec_add(sv_dec_add(p->duty, p->vat), p->fees);
        w->customs_value = sv_dec_add(w->customs_value, p->customs_value);
        w->duty = sv_dec_add(w->duty, p->duty);
        w->vat_base = sv_dec_add(w->vat_base, p->vat_base);
        w->vat = sv_dec_add(w->vat, p->vat);
        w->fees = sv_dec_add(w->fees, p->fees);
        w->total = sv_dec_add(w->total, p->total);
    }
}

/* Only the method of the destination: its value, its order, its rounding. */
static bool arithmetic_run(duty_job *job, duty_run *run)
{
    duty_charge charge;
    sv_dec *none = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!none || !new_charge(job, &charge)) return false;
    for (size_t i = 0; i < job->n; i++)
        none[i] = SV_DEC(0, (uint8_t)job->exponent);
    duty_by_given(job, run, &charge);
    duty_taxes(job, run, &charge, none);
    close_run(job, run, &charge, &charge, none);
    return true;
}

static bool estimate_run(duty_job *job, duty_run *run)
{
    duty_charge duty, tax;
    sv_dec *in_base = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec),
           *fee = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!in_base || !fee || !new_charge(job, &duty) || !new_charge(job, &tax)) return false;
    if (job->same_customs) {
        for (size_t i = 0; i < job->n; i++)
            duty.freedom[i] = FREE;
    } else {
        duty_relieve(job, run, false, &duty);
    }
    duty_duties(job, run, &duty);
    if (!job->same_tax) duty_relieve(job, run, true, &tax);
    for (size_t i = 0; i < job->n; i++)
        run->line[i].vat = SV_DEC(0, (uint8_t)job->exponent);
    duty_fees(job, run, true, in_base);
    duty_taxes(job, run, &tax, in_base);
    duty_fees(job, run, false, fee);
    for (size_t i = 0; i < job->n; i++)
        fee[i] = sv_dec_add(fee[i], in_base[i]);
    close_run(job, run, &duty, &tax, fee);
    return true;
}

static bool all_given(const duty_job *job)
{
    for (size_t i = 0; i < job->n; i++) {
        if (!job->c->line[i].duty_rate_pct.known || !job->c->line[i].vat_rate_pct.known) return false;
    }
    return job->n > 0;
}

/* Rows without a first day were read in texts of 2021 and later. */
#define FIRST_SURE_DAY "2021-07-01"

static void say_gaps(duty_job *job)
{
    if (strcmp(job->date, FIRST_SURE_DAY) < 0)
        sv_find(job->findings, SV_F_DUTY_OLD_DATE, "date", SV_ARGS(job->date));
}

static sv_status run_all(duty_job *job, sv_duty *out)
{
    bool arithmetic = all_given(job);
    duty_run run[3] = {{.scenario = LOWEST}, {.scenario = USUAL, .note = true}, {.scenario = HIGHEST}};
    if (!convert(job, arithmetic)) return SV_NO_MEMORY;
    if (!arithmetic) {
        say_gaps(job);
        duty_scheme_pick(job);
        duty_gates(job);
    }
    for (int s = 0; s < 3; s++) {
        if (arithmetic && s != USUAL) continue;
        run[s].line = SV_NEW_ARRAY(job->arena, job->n + 1, sv_duty_part);
        if (!run[s].line) return SV_NO_MEMORY;
        if (!(arithmetic ? arithmetic_run(job, &run[s]) : estimate_run(job, &run[s]))) return SV_NO_MEMORY;
    }
    if (arithmetic) run[LOWEST] = run[HIGHEST] = run[USUAL];
    duty_say(job, run, arithmetic, out);
    return sv_arena_failed(job->arena) ? SV_NO_MEMORY : SV_OK;
}

sv_status sv_duty_estimate(const sv_world *world, sv_arena *arena, const sv_consignment *c, sv_duty *out,
                           sv_findings *findings)
{
    sv_dec no = SV_DEC_UNKNOWN;
    *out = (sv_duty){.whole = {no, no, no, no, no, no, no, no}, .low = no, .high = no};
    out->currency = out->collected_by = out->incoterm = out->tax_name = "";
    out->why = out->source = out->as_of = out->fx_note = "";
    duty_job job = {.world = world, .room = duty_room_of(world), .arena = arena, .findings = findings};
    if (!job.room) return SV_USAGE; /* the world was opened without this room */
    sv_duty_part *line = SV_NEW_ARRAY(arena, c->lines + 1, sv_duty_part);
    if (!line || !copy_given(&job, c)) return SV_NO_MEMORY;
    for (size_t i = 0; i < c->lines; i++)
        line[i] = out->whole;
    out->line = line;
    if (!job.c->to.place) {
        sv_find(findings, SV_F_DUTY_DESTINATION, "destination", SV_NO_ARGS);
        return SV_OK;
    }
    job.situation = situation_of(&job);
    job.date = date_of(&job);
    job.service = strstr(filled(c->service), "courier") ? "courier" : "post";
    duty_places_of(&job);
    job.method = method_of(&job);
    if (!job.method) return SV_OK;
    bool gift = strcmp(job.situation, "gift") == 0;
    job.value_cif = gift ? job.method->gift_cif : job.method->value_cif;
    job.money = money_of(&job);
    out->currency = job.money;
    if (c->lines == 0 || !known_money(&job)) return SV_OK;
    return run_all(&job, out);
}
