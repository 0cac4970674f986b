/* relief.c - what goes free of duty or of tax, and what of a line is still charged. */
#include <string.h>

#include "duty/duty.h"

typedef enum verdict { MET, OVER, CANNOT_TELL } verdict;

static sv_dec share_of(const duty_job *job, const duty_run *run)
{
    bool lower =
        run->scenario == LOWEST && job->method->low_share.known && strcmp(job->situation, "gift") != 0;
    return lower ? job->method->low_share : SV_DEC_UNKNOWN;
}

static bool too_heavy(const duty_job *job, const duty_relief *r)
{
    if (!r->weight.known) return false;
    sv_dec sum = SV_DEC(0, 0);
    for (size_t i = 0; i < job->n; i++)
        sum = sv_dec_add(sum, job->c->line[i].net_weight_g);
    return sum.known && sv_dec_cmp(sum, r->weight) > 0;
}

/* Every piece at its own price: goods of the line by its pieces. */
static verdict item_verdict(const duty_job *job, const duty_relief *r)
{
    bool same = strcmp(r->money, job->money) == 0;
    if (!same && strcmp(r->money, job->given_money) != 0) return CANNOT_TELL;
    for (size_t i = 0; i < job->n; i++) {
        const sv_duty_line *line = &job->c->line[i];
        sv_dec goods = same ? job->amount[i].goods : line->goods;
        sv_dec most = sv_dec_mul(r->limit, sv_dec_int(line->quantity > 0 ? line->quantity : 1));
        if (!goods.known) return CANNOT_TELL;
        if (sv_dec_cmp(goods, most) > 0) return OVER;
    }
    return MET;
}

static verdict limit_verdict(duty_job *job, const duty_run *run, const duty_relief *r)
{
    if (!r->limit.known) return MET;
    if (too_heavy(job, r)) return OVER;
    if (r->basis == BY_ITEM) return item_verdict(job, r);
    int order = duty_against(job, r->limit, r->money, r->basis == BY_CIF, share_of(job, run));
    if (order == -2) return CANNOT_TELL;
    if (order == 0) return r->charged_at ? OVER : MET;
    return order < 0 ? MET : OVER;
}

/* All is charged but the excess over the limit: each amount by the share of the excess in the whole. */
static void charge_excess(duty_job *job, const duty_relief *r, duty_charge *out)
{
    bool cif = r->basis == BY_CIF;
    sv_dec whole = duty_whole_value(job, cif), limit = duty_local(job, r->limit, r->money);
    sv_dec excess = sv_dec_sub(whole, limit);
    sv_dec *weight = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec),
           *share = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!weight || !share) return;
    for (int part = 0; part < 3; part++) {
        sv_dec sum = SV_DEC(0, 0);
        for (size_t i = 0; i < job->n; i++) {
            const duty_amounts *a = &out->amount[i];
            weight[i] = part == 0 ? a->goods : part == 1 ? a->freight : a->insurance;
            sum = sv_dec_add(sum, weight[i]);
        }
        sv_dec left = sv_dec_div(sv_dec_mul(sum, excess), whole, job->exponent, SV_HALF_UP);
        duty_spread(job, left, weight, share, job->n);
        for (size_t i = 0; i < job->n; i++)
            *(part == 0   ? &out->amount[i].goods
              : part == 1 ? &out->amount[i].freight
                          : &out->amount[i].insurance) = share[i];
    }
    for (size_t i = 0; i < job->n; i++)
        out->freedom[i] = PARTLY;
}

static bool goods_fit(const duty_relief *r, const char *code)
{
    if (*r->only && !duty_code_in(r->only, code)) return false;
    return !*r->except || !duty_code_in(r->except, code);
}

/* A relief that leaves goods out cannot be promised for goods without a code. */
static bool line_fits(const duty_run *run, const duty_relief *r, const char *code)
{
    if (strlen(code) < 4 && (*r->only || *r->except)) return run->scenario == LOWEST;
    return goods_fit(r, code);
}

static bool all_settled(const duty_job *job, const duty_charge *out)
{
    for (size_t i = 0; i < job->n; i++) {
        if (out->freedom[i] != FREE && out->freedom[i] != UNTOLD) return false;
    }
    return true;
}

static void apply(duty_job *job, duty_run *run, const duty_relief *r, verdict v, duty_charge *out)
{
    if (v == OVER && r->above == ABOVE_EXCESS) charge_excess(job, r, out);
    if (v == OVER && r->above == ABOVE_ARTICLES) duty_articles(job, duty_local(job, r->limit, r->money), out);
    if (v == OVER) {
        out->part |= r->above != ABOVE_FULL;
        if (r->above != ABOVE_FULL) duty_use(job, run, &r->head, r->head.note);
        return;
    }
    bool spoke = false;
    for (size_t i = 0; i < job->n; i++) {
        if (out->freedom[i] == FREE || out->freedom[i] == UNTOLD) continue;
        if (!line_fits(run, r, job->c->line[i].hs6)) continue;
        out->freedom[i] = v == CANNOT_TELL || r->head.memory ? UNTOLD : FREE;
        spoke = true;
    }
    if (spoke) duty_use(job, run, &r->head, r->head.note);
}

void duty_relieve(duty_job *job, duty_run *run, bool tax, duty_charge *out)
{
    const duty_chain *chain = tax ? &job->tax_places : &job->duty_places;
    for (size_t i = 0; i < job->room->reliefs.n; i++) {
        const duty_relief *r = &job->room->reliefs.row[i];
        if (!(tax ? r->tax : r->duty) || !duty_in_chain(chain, &r->head) || !duty_on(&r->head, job->date))
            continue;
        if (!duty_case_fits(job, &r->when)) continue;
        if (r->basis == BY_TAX) {
            out->by_tax = r;
            continue;
        }
        verdict v = limit_verdict(job, run, r);
        apply(job, run, r, v, out);
        if (all_settled(job, out)) return;
    }
}
