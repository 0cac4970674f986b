/* say.c - the answer in words: what it rests on, who asks for it, what is not sure. */
#include <string.h>

#include "base/buf.h"
#include "duty/duty.h"

void duty_use(duty_job *job, const duty_run *run, const duty_head *head, const char *said)
{
    if (!run->note) return;
    for (size_t i = 0; i < job->uses; i++) {
        if (job->used[i] == head) return;
    }
    if (job->uses == DUTY_USED) return;
    job->used[job->uses] = head;
    job->said[job->uses++] = said;
}

void duty_find(duty_job *job, const duty_head *head, sv_code code, const char *const args[])
{
    sv_finding_source(sv_find(job->findings, code, "", args), head->source, head->as_of);
}

/* Parts apart by "; ", each once. */
static void add_once(duty_job *job, sv_buf *b, const char *part)
{
    (void)job;
    if (!*part || (b->data && strstr(b->data, part))) return;
    if (b->length) sv_put(b, "; ");
    sv_put(b, part);
}

static const char *why_text(duty_job *job)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (size_t i = 0; i < job->uses; i++) {
        if (!job->used[i]->memory) add_once(job, &b, job->said[i]);
    }
    const char *text = b.length ? sv_buf_copy(&b, job->arena) : "";
    sv_buf_free(&b);
    return text;
}

static const char *source_text(duty_job *job)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (size_t i = 0; i < job->uses; i++)
        add_once(job, &b, job->used[i]->source);
    if (!b.length) add_once(job, &b, job->method->head.source);
    const char *text = sv_buf_copy(&b, job->arena);
    sv_buf_free(&b);
    return text;
}

static const char *oldest(const duty_job *job)
{
    const char *day = job->method->head.as_of;
    for (size_t i = 0; i < job->uses; i++) {
        if (strcmp(job->used[i]->as_of, day) < 0) day = job->used[i]->as_of;
    }
    return day;
}

/* ---- who asks ---- */

static const duty_collect *collector(const duty_job *job)
{
    const duty_collect *best = NULL;
    for (size_t i = 0; i < job->room->collects.n; i++) {
        const duty_collect *k = &job->room->collects.row[i];
        bool any = strcmp(k->head.place, "any") == 0;
        if (!duty_on(&k->head, job->date) || (!any && !duty_in_chain(&job->duty_places, &k->head))) continue;
        if (strcmp(k->service, "any") != 0 && strcmp(k->service, job->service) != 0) continue;
        if (!best || !any) best = k;
    }
    return best;
}

static bool charged(sv_dec amount)
{
    return !amount.known || amount.units != 0;
}

static void say_collector(duty_job *job, const duty_run *run, sv_duty *out)
{
    const sv_duty_part *w = &run->whole;
    bool rest = charged(w->duty) || charged(w->fees) || (!job->scheme && charged(w->vat));
    bool at_sale = job->scheme && (charged(w->vat) || (job->scheme->all && rest));
    if (job->scheme && job->scheme->all) rest = false;
    const duty_collect *k = collector(job);
    const char *by = k ? k->by : "operator";
    out->incoterm = rest ? (k ? k->incoterm : "DAP") : at_sale ? "DDP" : "DAP";
    out->collected_by = rest && at_sale ? sv_format(job->arena, "seller %s", by)
                        : rest          ? by
                        : at_sale       ? "seller"
                                        : "nobody";
    if (rest && k && strcmp(k->incoterm, "DDP") == 0)
        duty_find(job, &k->head, SV_F_DUTY_PREPAID, SV_ARGS(k->head.note));
}

/* ---- what is not sure ---- */

static void say_doubts(duty_job *job)
{
    if (job->same_customs && job->same_tax) return;
    for (size_t i = 0; i < job->room->doubts.n; i++) {
        const duty_head *h = &job->room->doubts.row[i];
        bool here = duty_in_chain(&job->duty_places, h) || duty_in_chain(&job->tax_places, h);
        if (here && duty_on(h, job->date)) duty_find(job, h, SV_F_DUTY_DOUBT, SV_ARGS(h->note));
    }
}

static void say_gift(duty_job *job)
{
    if (strcmp(job->situation, "gift") != 0) return;
    const char *status = job->c->sender_status;
    if (status && strcmp(status, "trader") == 0)
        sv_find(job->findings, SV_F_DUTY_GIFT_TRADER, "category", SV_NO_ARGS);
    for (size_t i = 0; i < job->uses; i++) {
        for (size_t k = 0; k < job->room->reliefs.n; k++) {
            const duty_relief *r = &job->room->reliefs.row[k];
            if (&r->head != job->used[i] || r->basis != BY_GOODS || !r->limit.known) continue;
            if (duty_against(job, r->limit, r->money, false, SV_DEC_UNKNOWN) <= 0 &&
                duty_against(job, r->limit, r->money, true, SV_DEC_UNKNOWN) > 0)
                duty_find(job, &r->head, SV_F_DUTY_LIMIT_EDGE,
                          SV_ARGS(sv_format(job->arena, "%s %s", r->money,
                                            sv_dec_text_short(job->arena, r->limit))));
        }
    }
}

/* Is what went free measured with the postage in it, or on a tax that holds it? */
static bool free_with_freight(const duty_job *job)
{
    for (size_t i = 0; i < job->uses; i++) {
        for (size_t k = 0; k < job->room->reliefs.n; k++) {
            const duty_relief *r = &job->room->reliefs.row[k];
            if (&r->head == job->used[i] && r->limit.known && (r->basis == BY_CIF || r->basis == BY_TAX))
                return true;
        }
    }
    return false;
}

/* Missing postage matters where it is charged on, or counts toward a limit. */
static void say_freight(duty_job *job, const sv_duty *out)
{
    if (job->c->freight.known || !job->method->base_cif || (job->same_customs && job->same_tax)) return;
    bool due = charged(out->whole.duty) || charged(out->whole.vat);
    if (due) sv_find(job->findings, SV_F_DUTY_FREIGHT_MISSING, "freight", SV_NO_ARGS);
    if (!due && free_with_freight(job))
        sv_find(job->findings, SV_F_DUTY_FREIGHT_LIMIT, "freight", SV_NO_ARGS);
}

static void say_exchange(duty_job *job)
{
    if (!job->fx_table || !*job->fx_note) return;
    sv_finding *f = sv_find(job->findings, job->fx_memory ? SV_F_DUTY_FX_MEMORY : SV_F_DUTY_FX_TABLE,
                            "currency", SV_ARGS(job->fx_note));
    if (job->fx_old) sv_finding_severity(job->findings, f, SV_CAUTION);
}

/* Why there is no figure: from memory only, or nothing on file. */
static void say_unknown(duty_job *job, const sv_duty *out)
{
    const duty_head *memory = NULL;
    for (size_t i = 0; i < job->uses; i++) {
        if (job->used[i]->memory) memory = job->used[i];
    }
    const char *name = job->c->to.place->common_en;
    if (out->low.known && out->high.known) {
        sv_find(job->findings, SV_F_DUTY_BETWEEN, "",
                SV_ARGS(name, sv_format(job->arena, "%s %s", job->money, sv_dec_text(job->arena, out->low)),
                        sv_dec_text(job->arena, out->high)));
        return;
    }
    if (memory || job->uses) {
        sv_find(job->findings, SV_F_DUTY_UNKNOWN, "", SV_ARGS(name));
    } else if (!out->known) {
        sv_find(job->findings, SV_F_DUTY_NO_RULE, "", SV_ARGS(name, job->date));
    }
}

static sv_dec smaller(sv_dec a, sv_dec b)
{
    if (!a.known || !b.known) return a.known ? a : b;
    return sv_dec_cmp(a, b) <= 0 ? a : b;
}

static void set_range(const duty_job *job, const duty_run run[3], sv_duty *out)
{
    bool back = strcmp(job->situation, "return") == 0;
    bool open = run[USUAL].open || run[HIGHEST].open;
    sv_duty_part *line = SV_NEW_ARRAY(job->arena, job->n + 1, sv_duty_part);
    if (!line) return;
    sv_dec low = SV_DEC(0, (uint8_t)job->exponent), high = low;
    for (size_t i = 0; i < job->n; i++) {
        const sv_duty_part *l = &run[LOWEST].line[i], *u = &run[USUAL].line[i], *h = &run[HIGHEST].line[i];
        line[i] = *u;
        line[i].low = back ? SV_DEC(0, (uint8_t)job->exponent) : smaller(l->total, u->total);
        line[i].high = open ? SV_DEC_UNKNOWN : u->total.known ? duty_most(h->total, u->total) : h->total;
        low = sv_dec_add(low, line[i].low);
        high = sv_dec_add(high, line[i].high);
    }
    out->line = line;
    out->whole = run[USUAL].whole;
    out->low = out->whole.low = low;
    out->high = out->whole.high = high;
    out->lower_bound = open && out->whole.total.known;
    out->known = out->whole.total.known;
}

void duty_say(duty_job *job, const duty_run run[3], bool arithmetic, sv_duty *out)
{
    set_range(job, run, out);
    out->fx_note = job->fx_note;
    out->tax_name = job->tax_name ? job->tax_name : "none";
    out->why = why_text(job);
    if (job->same_customs && job->same_tax && !arithmetic)
        out->why = "no customs border between these places";
    if (arithmetic) out->why = sv_format(job->arena, "the rates given; %s", job->method->head.note);
    out->source = source_text(job);
    out->as_of = oldest(job);
    say_collector(job, &run[USUAL], out);
    say_exchange(job);
    say_freight(job, out);
    const char *today = job->world->today;
    if (today && *today && duty_year_old(out->as_of, today))
        sv_find(job->findings, SV_F_DATA_OLD, "", SV_ARGS(out->as_of));
    if (arithmetic) return;
    if (!out->known) say_unknown(job, out);
    if (out->lower_bound) sv_find(job->findings, SV_F_DUTY_LOWER_BOUND, "", SV_ARGS(out->why));
    bool any = charged(out->whole.total);
    if (any && strcmp(job->situation, "return") == 0)
        sv_find(job->findings, SV_F_DUTY_RETURN, "category", SV_NO_ARGS);
    if (strcmp(job->situation, "sample") == 0)
        sv_find(job->findings, SV_F_DUTY_SAMPLE, "category", SV_NO_ARGS);
    say_gift(job);
    say_doubts(job);
}
