/* articles.c - a relief for whole articles: of several, as many go free as fit under the limit together
 * (Regulation (EC) No 1186/2009 art. 26: the value of one article cannot be divided). */
#include <string.h>

#include "duty/duty.h"

#define MOST_ARTICLES 200
#define MOST_LIMIT    200000 /* minor units; beyond it the largest articles that fit are taken one by one */

typedef struct article {
    size_t line;
    int64_t price; /* minor units */
    bool free;
} article;

static size_t list_articles(const duty_job *job, const duty_charge *out, article *a)
{
    size_t n = 0;
    for (size_t i = 0; i < job->n; i++) {
        int64_t pieces = job->c->line[i].quantity > 0 ? job->c->line[i].quantity : 1;
        sv_dec goods = duty_minor(job, out->amount[i].goods);
        if (!goods.known || n + (size_t)pieces > MOST_ARTICLES) return 0;
        for (int64_t k = 0; k < pieces; k++) {
            int64_t price = goods.units / pieces + (k < goods.units % pieces ? 1 : 0);
            a[n++] = (article){i, price, false};
        }
    }
    return n;
}

/* The set of greatest value that fits: reach[s] is the last article of a set of sum s. */
static void choose(const duty_job *job, article *a, size_t n, int64_t limit)
{
    size_t width = (size_t)limit + 1;
    uint16_t *last = SV_NEW_ARRAY(job->arena, width, uint16_t);
    if (!last) return;
    int64_t best = 0;
    for (size_t k = 0; k < n; k++) {
        int64_t p = a[k].price;
        if (p <= 0 || p > limit) {
            a[k].free = p == 0;
            continue;
        }
        for (int64_t s = limit; s >= p; s--) {
            bool reached = s == p || last[s - p];
            if (!last[s] && reached && (s == p || last[s - p] <= k)) last[s] = (uint16_t)(k + 1);
        }
    }
    for (best = limit; best > 0 && !last[best]; best--)
        ;
    while (best > 0) {
        article *taken = &a[last[best] - 1];
        taken->free = true;
        best -= taken->price;
    }
}

static void choose_largest(article *a, size_t n, int64_t limit)
{
    for (;;) {
        article *pick = NULL;
        for (size_t k = 0; k < n; k++) {
            if (!a[k].free && a[k].price <= limit && (!pick || a[k].price > pick->price)) pick = &a[k];
        }
        if (!pick) return;
        pick->free = true;
        limit -= pick->price;
    }
}

/* Freight and insurance of a line go with the charged part of its price. */
static void keep_part(const duty_job *job, duty_amounts *a, sv_dec charged)
{
    a->freight = sv_dec_div(sv_dec_mul(a->freight, charged), a->goods, job->exponent, SV_HALF_UP);
    a->insurance = sv_dec_div(sv_dec_mul(a->insurance, charged), a->goods, job->exponent, SV_HALF_UP);
    a->goods = charged;
}

void duty_articles(duty_job *job, sv_dec limit, duty_charge *out)
{
    article *a = SV_NEW_ARRAY(job->arena, MOST_ARTICLES, article);
    sv_dec most = duty_minor(job, limit);
    size_t n = a && most.known ? list_articles(job, out, a) : 0;
    if (n == 0) return;
    if (most.units <= MOST_LIMIT) {
        choose(job, a, n, most.units);
    } else {
        choose_largest(a, n, most.units);
    }
    for (size_t i = 0; i < job->n; i++) {
        int64_t charged = 0;
        for (size_t k = 0; k < n; k++) {
            if (a[k].line == i && !a[k].free) charged += a[k].price;
        }
        sv_dec goods = duty_minor(job, out->amount[i].goods);
        if (charged == goods.units) continue;
        out->freedom[i] = charged ? PARTLY : FREE;
        if (charged) keep_part(job, &out->amount[i], SV_DEC(charged, (uint8_t)job->exponent));
    }
}
