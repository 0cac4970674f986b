/* fee.c - fees and levies beside duty and tax. */
#include <string.h>

#include "duty/duty.h"

static bool in_band(duty_job *job, const duty_fee *f)
{
    if (f->over.known && duty_against(job, f->over, f->limit_money, f->by_cif, SV_DEC_UNKNOWN) <= 0)
        return false;
    if (!f->up_to.known) return true;
    int order = duty_against(job, f->up_to, f->limit_money, f->by_cif, SV_DEC_UNKNOWN);
    return order == -1 || order == 0;
}

/* Is anything charged at the border? Unknown amounts count as charges. */
static bool is_taxed(const duty_job *job, const duty_run *run)
{
    for (size_t i = 0; i < job->n; i++) {
        const sv_duty_part *p = &run->line[i];
        if (!p->duty.known || p->duty.units || !p->vat.known || p->vat.units) return true;
    }
    return false;
}

static sv_dec amount_of(duty_job *job, const duty_run *run, const duty_fee *f)
{
    if (f->head.memory) return SV_DEC_UNKNOWN;
    sv_dec each = duty_local(job, f->amount, f->money);
    if (f->per == PER_VALUE) return duty_percent(duty_whole_value(job, true), f->pct);
    if (f->per == PER_PARCEL) return each;
    if (f->per == PER_ITEMS) {
        duty_freedom *all = SV_NEW_ARRAY(job->arena, job->n + 1, duty_freedom);
        duty_charge charge = {.freedom = all};
        if (!all) return SV_DEC_UNKNOWN;
        return sv_dec_mul(each, sv_dec_int((int64_t)duty_count_items(job, &charge, run->scenario)));
    }
    sv_dec weight = SV_DEC(0, 0);
    for (size_t i = 0; i < job->n; i++)
        weight = sv_dec_add(weight, job->c->line[i].net_weight_g);
    return sv_dec_mul(each, sv_dec_mul(weight, SV_DEC(1, 3)));
}

/* A fee that is charged in an amount not on file leaves the answer open at the top; what the operator or
 * nobody yet asks is said and not counted. */
static void take(duty_job *job, duty_run *run, const duty_fee *f, const sv_dec weight[], sv_dec share[],
                 sv_dec out[])
{
    bool counted = f->payer == PAID_BY_ADDRESSEE;
    bool unknown_amount = !f->amount.known && !f->pct.known;
    if (run->note && (!counted || unknown_amount))
        duty_find(job, &f->head, SV_F_DUTY_FEE_NOTE, SV_ARGS(f->head.note));
    if (!counted) return;
    if (unknown_amount) {
        run->open = true;
        return;
    }
    duty_use(job, run, &f->head, f->head.note);
    sv_dec fee = duty_rounded(job, amount_of(job, run, f), job->method->duty_to);
    duty_spread(job, fee, weight, share, job->n);
    for (size_t i = 0; i < job->n; i++)
        out[i] = sv_dec_add(out[i], share[i]);
}

void duty_fees(duty_job *job, duty_run *run, bool in_base, sv_dec out[])
{
    sv_dec *weight = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec),
           *share = SV_NEW_ARRAY(job->arena, job->n + 1, sv_dec);
    if (!weight || !share) return;
    for (size_t i = 0; i < job->n; i++) {
        out[i] = SV_DEC(0, (uint8_t)job->exponent);
        weight[i] = duty_value(&job->amount[i], true);
    }
    if (job->same_customs && job->same_tax) return;
    for (size_t k = 0; k < job->room->fees.n; k++) {
        const duty_fee *f = &job->room->fees.row[k];
        if (f->in_base != in_base || !duty_on(&f->head, job->date)) continue;
        if (!duty_in_chain(&job->duty_places, &f->head)) continue;
        if (strcmp(f->service, "any") != 0 && strcmp(f->service, job->service) != 0) continue;
        if (f->taxed && !is_taxed(job, run)) continue;
        if (in_band(job, f)) take(job, run, f, weight, share, out);
    }
}
