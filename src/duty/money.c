/* money.c - exchange, rounding, sharing out, comparing with a limit. Exact decimals throughout. */
#include <string.h>

#include "duty/duty.h"

/* ---- exchange ---- */

/* The rate of the last day not after `date`; the first on file when there is none. */
static const duty_fx *rate_on(const duty_room *room, const char *money, const char *date)
{
    const duty_fx *best = NULL;
    for (size_t i = 0; i < room->fx.n; i++) {
        const duty_fx *f = &room->fx.row[i];
        if (strcmp(f->head.place, money) != 0) continue;
        if (!best || strcmp(f->head.from, date) <= 0) best = f;
    }
    return best;
}

/* The price of one unit of `from` in `to`, by our table; *used are the two rows. */
static sv_dec cross(duty_job *job, const char *from, const char *to, const duty_fx *used[2])
{
    used[0] = rate_on(job->room, from, job->date);
    used[1] = rate_on(job->room, to, job->date);
    if (!used[0] || !used[1]) return SV_DEC_UNKNOWN;
    return sv_dec_div(used[1]->per_euro, used[0]->per_euro, 8, SV_HALF_UP);
}

static const char *fx_text(const duty_job *job, const duty_fx *const used[2])
{
    const duty_fx *weak = used[0]->head.memory ? used[0] : used[1];
    if (weak->head.memory) return "from memory";
    bool same = strcmp(used[0]->head.source, used[1]->head.source) == 0;
    const duty_fx *shown = strcmp(used[0]->head.place, "EUR") == 0 ? used[1] : used[0];
    if (same || shown != used[0] || strcmp(used[1]->head.place, "EUR") == 0)
        return sv_format(job->arena, "table of %s (%s)", shown->head.from, shown->head.source);
    return sv_format(job->arena, "tables of %s (%s) and %s (%s)", used[0]->head.from, used[0]->head.source,
                     used[1]->head.from, used[1]->head.source);
}

bool duty_year_old(const char *day, const char *date)
{
    char last[11];
    if (strlen(day) != 10) return false;
    memcpy(last, day, sizeof last);
    for (int i = 3; i >= 0; i--) { /* the same day a year later */
        if (last[i]++ != '9') break;
        last[i] = '0';
    }
    return strcmp(last, date) < 0;
}

/* The euro itself has no age. */
static bool old_rate(const duty_fx *f, const char *date)
{
    return strcmp(f->head.place, "EUR") != 0 && duty_year_old(f->head.from, date);
}

void duty_exchange(duty_job *job)
{
    const char *one = job->given_money, *local = job->money;
    job->fx_note = "";
    if (job->c->fx_to_local.known) {
        job->fx = job->c->fx_to_local;
        if (strcmp(one, local) != 0)
            job->fx_note = sv_format(job->arena, "1 %s = %s %s, as given", one,
                                     sv_dec_text_short(job->arena, job->fx), local);
        return;
    }
    job->fx = SV_DEC(1, 0);
    if (strcmp(one, local) == 0) return;
    const duty_fx *used[2];
    job->fx = cross(job, one, local, used);
    if (!job->fx.known) return;
    job->fx_table = true;
    job->fx_memory = used[0]->head.memory || used[1]->head.memory;
    job->fx_old = old_rate(used[0], job->date) || old_rate(used[1], job->date);
    job->fx_note = sv_format(job->arena, "1 %s = %s %s, %s", one,
                             sv_dec_text_short(job->arena, sv_dec_round(job->fx, 6, SV_HALF_UP)), local,
                             fx_text(job, used));
}

sv_dec duty_local(duty_job *job, sv_dec amount, const char *money)
{
    if (!*money || strcmp(money, job->money) == 0) return duty_minor(job, amount);
    if (strcmp(money, job->given_money) == 0) return duty_minor(job, sv_dec_mul(amount, job->fx));
    const duty_fx *used[2];
    sv_dec fx = cross(job, money, job->money, used);
    if (fx.known) job->fx_table = true;
    return duty_minor(job, sv_dec_mul(amount, fx));
}

/* ---- rounding ---- */

sv_dec duty_minor(const duty_job *job, sv_dec amount)
{
    return sv_dec_round(amount, job->exponent, SV_HALF_UP);
}

sv_dec duty_rounded(const duty_job *job, sv_dec amount, duty_round how)
{
    if (!amount.known) return amount;
    sv_dec step = how.step.known ? how.step : SV_DEC(1, (uint8_t)job->exponent);
    sv_dec steps = sv_dec_div(amount, step, 0, how.how == ROUND_DOWN ? SV_DOWN : SV_HALF_UP);
    sv_dec rounded = sv_dec_mul(steps, step);
    if (how.how == ROUND_HALF_DOWN) {
        sv_dec twice = sv_dec_mul(sv_dec_sub(rounded, amount), sv_dec_int(2));
        if (sv_dec_cmp(twice, step) == 0) rounded = sv_dec_sub(rounded, step);
    }
    return duty_minor(job, rounded);
}

sv_dec duty_percent(sv_dec amount, sv_dec pct)
{
    return sv_dec_mul(sv_dec_mul(amount, pct), SV_DEC(1, 2));
}

sv_dec duty_most(sv_dec a, sv_dec b)
{
    if (!a.known || !b.known) return SV_DEC_UNKNOWN;
    return sv_dec_cmp(a, b) >= 0 ? a : b;
}

void duty_spread(const duty_job *job, sv_dec total, const sv_dec weight[], sv_dec share[], size_t n)
{
    sv_dec sum = SV_DEC(0, 0), given = SV_DEC(0, 0);
    size_t largest = 0;
    for (size_t i = 0; i < n; i++) {
        sum = sv_dec_add(sum, weight[i]);
        if (sv_dec_cmp(weight[i], weight[largest]) > 0) largest = i;
    }
    bool even = sum.known && sum.units == 0; /* nothing to go by: all to the first */
    for (size_t i = 0; i < n; i++) {
        sv_dec part = sv_dec_div(sv_dec_mul(total, weight[i]), sum, job->exponent, SV_HALF_UP);
        share[i] = !total.known ? SV_DEC_UNKNOWN : even ? SV_DEC(0, 0) : part;
        given = sv_dec_add(given, share[i]);
    }
    if (n) share[largest] = sv_dec_add(share[largest], sv_dec_sub(total, given));
}

/* ---- values ---- */

sv_dec duty_value(const duty_amounts *a, bool cif)
{
    return cif ? sv_dec_add(sv_dec_add(a->goods, a->freight), a->insurance) : a->goods;
}

sv_dec duty_whole_value(const duty_job *job, bool cif)
{
    sv_dec sum = SV_DEC(0, 0);
    for (size_t i = 0; i < job->n; i++)
        sum = sv_dec_add(sum, duty_value(&job->amount[i], cif));
    return sum;
}

/* The same in the currency the amounts were given in. */
static sv_dec given_value(const duty_job *job, bool cif)
{
    sv_dec sum = SV_DEC(0, 0);
    for (size_t i = 0; i < job->n; i++)
        sum = sv_dec_add(sum, job->c->line[i].goods);
    if (cif && job->c->freight.known) sum = sv_dec_add(sum, job->c->freight);
    if (cif && job->c->insurance.known) sum = sv_dec_add(sum, job->c->insurance);
    return sum;
}

/* Our table's rate may be off by some per cent: then a value within a tenth of a limit is no sure thing. */
static void say_near(duty_job *job, sv_dec value, sv_dec limit, sv_dec shown, const char *money)
{
    if (job->near) return;
    sv_dec low = sv_dec_mul(limit, SV_DEC(9, 1)), high = sv_dec_mul(limit, SV_DEC(11, 1));
    if (sv_dec_cmp(value, low) < 0 || sv_dec_cmp(value, high) > 0) return;
    job->near = true;
    sv_find(job->findings, SV_F_DUTY_NEAR_LIMIT, "value",
            SV_ARGS(sv_dec_text_short(job->arena, shown), money));
}

int duty_against(duty_job *job, sv_dec limit, const char *money, bool cif, sv_dec share)
{
    sv_dec value, bound = limit;
    bool ours = false;
    if (strcmp(money, job->money) == 0) {
        value = duty_whole_value(job, cif);
        ours = job->fx_table;
    } else if (strcmp(money, job->given_money) == 0) {
        value = given_value(job, cif);
    } else {
        value = duty_whole_value(job, cif);
        bound = duty_local(job, limit, money);
        ours = true;
    }
    if (share.known) value = sv_dec_mul(value, share);
    if (!value.known || !bound.known) return -2;
    if (ours && bound.units > 0) say_near(job, value, bound, limit, money);
    return sv_dec_cmp(value, bound);
}
