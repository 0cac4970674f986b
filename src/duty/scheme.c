/* scheme.c - does the seller collect the tax at the sale, and what should they know of it? gates: limits
 * beyond which the rules for parcels end. */
#include <string.h>

#include "duty/duty.h"
#include "text/text.h"

/* A phrase among words, whole at both ends. */
static bool phrase_in(const char *words, const char *phrase)
{
    size_t n = strlen(phrase);
    for (const char *p = words; n && (p = strstr(p, phrase)); p++) {
        bool starts = p == words || p[-1] == ' ', ends = !p[n] || p[n] == ' ';
        if (starts && ends) return true;
    }
    return false;
}

/* The word of the seller, folded, against the scheme's own words. */
static bool scheme_named(const duty_job *job, const duty_scheme *s)
{
    const char *given = job->c->scheme;
    if (!given || !*given) return false;
    const char *folded = sv_fold(job->arena, given, strlen(given));
    const char *id = sv_fold(job->arena, s->head.id, strlen(s->head.id));
    return strcmp(folded, id) == 0 || phrase_in(s->words, folded) ||
           strcmp(folded, sv_fold(job->arena, s->name, strlen(s->name))) == 0;
}

static bool within(duty_job *job, const duty_scheme *s)
{
    if (!s->limit.known) return true;
    if (s->basis != SCHEME_ITEM) {
        int order = duty_against(job, s->limit, s->money, s->basis == SCHEME_CIF, SV_DEC_UNKNOWN);
        return order == -1 || order == 0;
    }
    sv_dec limit = duty_local(job, s->limit, s->money);
    for (size_t i = 0; i < job->n; i++) {
        int64_t pieces = job->c->line[i].quantity > 0 ? job->c->line[i].quantity : 1;
        sv_dec most = sv_dec_mul(limit, sv_dec_int(pieces));
        if (!job->amount[i].goods.known || !most.known || sv_dec_cmp(job->amount[i].goods, most) > 0)
            return false;
    }
    return true;
}

static const char *limit_text(const duty_job *job, const duty_scheme *s)
{
    return s->limit.known ? sv_format(job->arena, "%s %s", s->money, sv_dec_text_short(job->arena, s->limit))
                          : "";
}

/* A scheme that is open to the seller, or that only large sellers come under, is said and not supposed. */
static void offer(duty_job *job, const duty_scheme *s)
{
    if (s->floor.known) {
        const char *floor =
            sv_format(job->arena, "%s %s", s->floor_money, sv_dec_text_short(job->arena, s->floor));
        duty_find(job, &s->head, SV_F_DUTY_SCHEME_FLOOR, SV_ARGS(s->name, floor, limit_text(job, s)));
        return;
    }
    duty_find(job, &s->head, SV_F_DUTY_SCHEME_OPEN, SV_ARGS(s->name, limit_text(job, s), s->where));
}

void duty_scheme_pick(duty_job *job)
{
    bool sale = strcmp(job->situation, "sale") == 0, known = false;
    const char *given = job->c->scheme ? job->c->scheme : "";
    for (size_t i = 0; i < job->room->schemes.n; i++) {
        const duty_scheme *s = &job->room->schemes.row[i];
        if (!duty_on(&s->head, job->date) || !duty_in_chain(&job->tax_places, &s->head) || job->same_tax)
            continue;
        bool named = scheme_named(job, s);
        known |= named;
        if (!sale || job->scheme) continue;
        bool fits = within(job, s);
        if (named && !fits)
            duty_find(job, &s->head, SV_F_DUTY_SCHEME_LIMIT, SV_ARGS(s->name, limit_text(job, s)));
        if (fits && (named || s->required)) {
            job->scheme = s;
            duty_find(job, &s->head, SV_F_DUTY_SCHEME_USED, SV_ARGS(s->name, s->where));
        } else if (fits && !*given) {
            offer(job, s);
        }
    }
    if (*given && !known && !job->same_tax)
        sv_find(job->findings, SV_F_DUTY_SCHEME_UNKNOWN, "scheme", SV_ARGS(given));
}

/* ---- gates ---- */

static bool beyond(duty_job *job, const duty_gate *g)
{
    if (g->kind == GATE_VALUE) return duty_against(job, g->limit, g->money, g->by_cif, SV_DEC_UNKNOWN) == 1;
    sv_dec sum = SV_DEC(0, 0);
    for (size_t i = 0; i < job->n; i++) {
        const sv_duty_line *line = &job->c->line[i];
        if (!duty_code_in(g->goods, line->hs6)) continue;
        sv_dec pieces = sv_dec_int(line->quantity > 0 ? line->quantity : 1);
        sum = sv_dec_add(sum, g->kind == GATE_WEIGHT ? line->net_weight_g : pieces);
    }
    return sum.known && sv_dec_cmp(sum, g->limit) > 0;
}

void duty_gates(duty_job *job)
{
    for (size_t i = 0; i < job->room->gates.n; i++) {
        const duty_gate *g = &job->room->gates.row[i];
        if (!duty_on(&g->head, job->date) || !duty_in_chain(&job->duty_places, &g->head)) continue;
        if (!duty_case_fits(job, &g->when) || !beyond(job, g)) continue;
        duty_find(job, &g->head, SV_F_DUTY_GATE, SV_ARGS(g->head.note, g->remedy));
        return;
    }
}
