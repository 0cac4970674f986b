/* leaving.c - what the sending country asks when goods leave it: border/leaving, the first row that fits. */
#include <string.h>

#include "border/judge.h"

static size_t row_for(const sv_table *t, const sv_end *from)
{
    for (int users = t->users ? 1 : 0; users >= 0; users--) {
        for (size_t r = 0; r < t->rows; r++) {
            bool mine = t->users && t->users[r];
            if (mine == (users == 1) && sv_end_fits(from, sv_cell(t, r, 0))) return r;
        }
    }
    return SV_NO_ROW;
}

/* 1 over the limit, -1 within it, 0 not to be told (the value or a rate is unknown). */
static int compare(const sv_world *world, size_t row, int64_t value_minor, const char *currency)
{
    const sv_border *b = sv_border_in(world);
    sv_dec limit;
    int exponent = sv_currency_exponent(world, currency);
    if (value_minor < 0 || exponent < 0 || !sv_dec_read(sv_by_name(b->leaving, row, "limit"), &limit))
        return 0;
    const char *money = sv_by_name(b->leaving, row, "currency");
    sv_dec value = sv_convert(b, SV_DEC(value_minor, (uint8_t)exponent), currency, money);
    if (!value.known) return 0;
    return sv_dec_cmp(value, limit) > 0 ? 1 : -1;
}

static void speak(const sv_leaving *l, int side, sv_findings *findings)
{
    sv_finding *f = NULL;
    if (side > 0) {
        const char *written = *l->written ? l->written : "nothing more";
        f = sv_find(findings, SV_F_EXPORT_OVER_LIMIT, "value", SV_ARGS(l->limit, l->rule, written));
    } else if (*l->written) {
        f = sv_find(findings, SV_F_EXPORT_WRITE, "declaration", SV_ARGS(l->written, l->rule));
    }
    sv_finding_source(f, l->source, l->as_of);
}

sv_status sv_border_leaving(const sv_world *world, sv_arena *arena, sv_end from, sv_end to,
                            int64_t value_minor, const char *currency, sv_leaving *out, sv_findings *findings)
{
    const sv_table *t = sv_border_in(world)->leaving;
    *out = (sv_leaving){.limit = "", .rule = "", .written = "", .permits = "", .source = "", .as_of = ""};
    if (sv_ends_in_one_union(&from, &to)) return SV_OK;
    size_t row = row_for(t, &from);
    if (row == SV_NO_ROW) return SV_OK;
    int side = compare(world, row, value_minor, sv_or_empty(currency));
    const char *below = sv_by_name(t, row, "below"), *above = sv_by_name(t, row, "above");
    const char *limit = sv_by_name(t, row, "limit");
    out->over = side > 0;
    out->limit = *limit ? sv_format(arena, "%s %s", limit, sv_by_name(t, row, "currency")) : "";
    out->rule = side > 0 ? above : below;
    if (side == 0 && *limit)
        out->rule = sv_format(arena, "up to %s: %s; above: %s", out->limit, below, above);
    out->written = sv_by_name(t, row, side > 0 ? "written_above" : "written_below");
    out->permits = sv_by_name(t, row, "permits");
    out->source = sv_by_name(t, row, "source");
    out->as_of = sv_by_name(t, row, "as_of");
    speak(out, side, findings);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
