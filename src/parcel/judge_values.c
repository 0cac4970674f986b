/* judge_values.c - money: what was paid, what counts for customs, and that both sum to the parcel's. */
#include <string.h>

#include "parcel/judges.h"

int64_t sv_minor(sv_dossier *d, sv_dec amount, const char *place)
{
    if (!amount.known) return -1;
    sv_dec exact = sv_dec_round(amount, d->exponent, SV_HALF_UP);
    bool fits = exact.known && amount.units >= 0;
    if (fits && sv_dec_cmp(exact, amount) != 0)
        sv_find(&d->findings, SV_F_AMOUNT_DIGITS, place,
                SV_ARGS(sv_dec_text(d->arena, amount), d->currency, sv_dec_text(d->arena, exact)));
    if (!fits) sv_find(&d->findings, SV_F_AMOUNT_FORM, place, SV_ARGS(sv_dec_text(d->arena, amount)));
    return fits ? exact.units : -1;
}

const char *sv_amount_text(sv_arena *arena, int64_t minor, int exponent)
{
    return sv_dec_text(arena, SV_DEC(minor, (uint8_t)exponent));
}

void sv_spread(int64_t total, const int64_t weight[], int64_t share[], size_t n)
{
    int64_t sum = 0, given = 0;
    size_t largest = 0;
    for (size_t i = 0; i < n; i++) {
        sum += weight[i];
        if (weight[i] > weight[largest]) largest = i;
    }
    for (size_t i = 0; i < n; i++) {
        /* weight * total may pass 64 bits: by way of the exact decimals, which work in 128 */
        sv_dec part =
            sv_dec_div(sv_dec_mul(sv_dec_int(total), sv_dec_int(weight[i])), sv_dec_int(sum), 0, SV_DOWN);
        share[i] = part.known ? part.units : 0;
        given += share[i];
    }
    if (n) share[largest] += total - given;
}

static void judge_line_value(sv_dossier *d, size_t i)
{
    sv_line *line = &d->line[i];
    const char *place = sv_piece_place(d, i, "unit_value");
    int64_t unit = sv_minor(d, line->piece->unit_value, place);
    if (unit <= 0)
        sv_find(&d->findings, line->piece->free ? SV_F_VALUE_OF_EXTRA_MISSING : SV_F_VALUE_MISSING, place,
                SV_NO_ARGS);
    if (unit < 0) unit = 0;
    line->unit_paid = unit;
    line->value = unit * line->quantity;
    line->paid = line->piece->free ? 0 : line->value;
}

/* A discount on the whole lowers each paid line by its share of the price, so that the lines sum to what the
 * buyer paid. */
static sv_status spread_discount(sv_dossier *d, sv_error *err)
{
    if (d->discount <= 0) return SV_OK;
    int64_t *weight = SV_NEW_ARRAY(d->arena, d->lines + 1, int64_t),
            *share = SV_NEW_ARRAY(d->arena, d->lines + 1, int64_t);
    if (!weight || !share) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", d->reference);
    int64_t paid = 0;
    for (size_t i = 0; i < d->lines; i++)
        paid += weight[i] = d->line[i].paid;
    if (d->discount > paid) {
        sv_find(&d->findings, SV_F_DISCOUNT_TOO_LARGE, "discount",
                SV_ARGS(sv_amount_text(d->arena, d->discount, d->exponent),
                        sv_amount_text(d->arena, paid, d->exponent)));
        d->discount = 0;
        return SV_OK;
    }
    sv_spread(d->discount, weight, share, d->lines);
    for (size_t i = 0; i < d->lines; i++) {
        d->line[i].paid -= share[i];
        d->line[i].value -= share[i];
    }
    return SV_OK;
}

sv_status sv_judge_values(sv_dossier *d, sv_error *err)
{
    const sv_parcel *p = d->parcel;
    for (size_t i = 0; i < d->lines; i++)
        judge_line_value(d, i);
    d->discount = sv_minor(d, p->discount, "discount");
    d->postage = sv_minor(d, p->postage, "postage");
    d->insurance = sv_minor(d, p->insurance, "insurance");
    sv_status s = spread_discount(d, err);
    if (s) return s;
    for (size_t i = 0; i < d->lines; i++) {
        d->goods_paid += d->line[i].paid;
        d->goods_value += d->line[i].value;
    }
    d->invoice_total =
        d->goods_paid + (d->postage > 0 ? d->postage : 0) + (d->insurance > 0 ? d->insurance : 0);
    return SV_OK;
}
