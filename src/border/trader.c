/* trader.c - what a destination asks of those who sell in the course of trade: a block of its own beside the
 * goods' verdict. A caution for a trader, a note for a private seller. */
#include <string.h>

#include "base/buf.h"
#include "border/judge.h"

static bool already_said(const sv_findings *findings, sv_code code)
{
    for (const sv_finding *f = findings->first; f; f = f->next) {
        if (f->code == code) return true;
    }
    return false;
}

static bool row_fits(const sv_case *c, size_t r)
{
    const sv_table *t = c->b->trader;
    const char *condition = sv_by_name(t, r, "condition"), *thing = sv_by_name(t, r, "thing");
    if (!sv_end_fits(&c->to, sv_by_name(t, r, "to")) || !sv_end_fits(&c->from, sv_by_name(t, r, "from")))
        return false;
    if (strcmp(condition, "new") == 0 && c->state == SV_STATE_USED) return false;
    if (strcmp(condition, "used") == 0 && c->state == SV_STATE_NEW) return false;
    return !*thing || sv_things_any(&c->things, thing, NULL);
}

static void add(sv_case *c, sv_code code, const char *place, const char *what, const char *remedy,
                const char *source, const char *as_of)
{
    sv_finding *f = sv_find(c->findings, code, place, SV_ARGS(what, remedy));
    sv_finding_source(f, source, as_of);
    if (strcmp(sv_or_empty(c->goods->sender_status), "trader") != 0)
        sv_finding_severity(c->findings, f, SV_NOTE);
}

/* Each part once. */
static void append(sv_buf *b, const char *text)
{
    if (b->length && strstr(b->data, text)) return;
    if (b->length) sv_put(b, "; ");
    sv_put(b, text);
}

/* Rows about any goods make one finding a parcel, rows about this piece one each. A return or a sample is no
 * sale. */
void sv_judge_trader(sv_case *c)
{
    const sv_table *t = c->b->trader;
    sv_buf what, remedy, source;
    sv_buf_init(&what, 0);
    sv_buf_init(&remedy, 0);
    sv_buf_init(&source, 0);
    const char *oldest = "";
    for (size_t r = 0; strcmp(c->situation, "sale") == 0 && r < t->rows; r++) {
        if (!row_fits(c, r)) continue;
        const char *text = sv_by_name(t, r, "what"), *mend = sv_by_name(t, r, "remedy");
        const char *from = sv_by_name(t, r, "source"), *as_of = sv_by_name(t, r, "as_of");
        if (*sv_by_name(t, r, "thing")) {
            add(c, SV_F_TRADER_PIECE, c->place, text, mend, from, as_of);
            continue;
        }
        append(&what, text);
        append(&remedy, mend);
        append(&source, from);
        if (!*oldest || strcmp(as_of, oldest) < 0) oldest = as_of;
    }
    if (what.length && !already_said(c->findings, SV_F_TRADER_DUTIES))
        add(c, SV_F_TRADER_DUTIES, "sender", sv_buf_copy(&what, c->arena), sv_buf_copy(&remedy, c->arena),
            sv_buf_copy(&source, c->arena), oldest);
    sv_buf_free(&what);
    sv_buf_free(&remedy);
    sv_buf_free(&source);
}
