/* form.c - none, CN 22 or CN 23. The rules and their limits are rows of border/form; what 300 SDR are in
 * money stands in border/form-limits as operators print it, and in border/sdr for all others. */
#include <stdlib.h>
#include <string.h>

#include "border/border.h"

typedef struct chooser {
    const sv_world *world;
    sv_arena *arena;
    const sv_border *b;
    sv_form_choice *out;
    sv_findings *findings;
} chooser;

/* The row's form is chosen; {1} of its why is the figure that decided. */
static void choose(const chooser *c, const char *id, const char *figure)
{
    const sv_table *t = c->b->form;
    size_t row = sv_table_find(t, id);
    if (row == SV_NO_ROW) return;
    const char *why = sv_by_name(t, row, "why"), *hole = strstr(why, "{1}");
    c->out->form = sv_by_name(t, row, "form");
    c->out->why =
        hole ? sv_format(c->arena, "%.*s%s%s", (int)(hole - why), why, figure, hole + strlen("{1}")) : why;
    c->out->source = sv_by_name(t, row, "source");
    c->out->as_of = sv_by_name(t, row, "as_of");
}

static int64_t limit_of(const chooser *c, const char *id)
{
    size_t row = sv_table_find(c->b->form, id);
    return row == SV_NO_ROW ? 0 : strtoll(sv_by_name(c->b->form, row, "limit"), NULL, 10);
}

static sv_dec cell_dec(const sv_table *t, size_t row, const char *column)
{
    sv_dec d;
    return sv_dec_read(sv_by_name(t, row, column), &d) ? d : SV_DEC_UNKNOWN;
}

/* The operator's printed figure for 300 SDR where it prints one. */
static size_t printed_row(const chooser *c, const sv_end *from)
{
    const sv_table *t = c->b->limits;
    for (size_t r = 0; r < t->rows; r++) {
        if (sv_end_fits(from, sv_by_name(t, r, "from"))) return r;
    }
    return SV_NO_ROW;
}

/* How many SDR an amount is, to four places. */
static sv_dec in_sdr(const chooser *c, sv_dec amount, const char *currency, size_t *row)
{
    *row = sv_table_find(c->b->sdr, currency);
    if (*row == SV_NO_ROW) return SV_DEC_UNKNOWN;
    return sv_dec_div(amount, cell_dec(c->b->sdr, *row, "per_sdr"), 4, SV_HALF_UP);
}

static void rest_on(const chooser *c, const sv_table *t, size_t row)
{
    c->out->source = sv_format(c->arena, "%s; %s", c->out->source, sv_by_name(t, row, "source"));
    const char *as_of = sv_by_name(t, row, "as_of");
    if (strcmp(as_of, c->out->as_of) < 0) c->out->as_of = as_of;
}

/* By the operator's figure, both in the same currency. */
static bool by_printed(const chooser *c, const sv_end *from, sv_dec value, const char *currency)
{
    const sv_table *t = c->b->limits;
    size_t row = printed_row(c, from);
    if (row == SV_NO_ROW || strcmp(sv_by_name(t, row, "currency"), currency) != 0) return false;
    const char *figure = sv_format(c->arena, "%s %s", sv_by_name(t, row, "amount"), currency);
    bool over = sv_dec_cmp(value, cell_dec(t, row, "amount")) > 0;
    choose(c, over ? "letter-over" : "letter", figure);
    rest_on(c, t, row);
    return true;
}

/* By the rate of the table; near the limit the rate of the day may turn it. */
static void by_rate(const chooser *c, sv_dec value, const char *currency)
{
    int64_t limit = limit_of(c, "letter");
    size_t row;
    sv_dec sdr = in_sdr(c, value, currency, &row);
    if (!sdr.known) {
        choose(c, "letter-unknown", currency);
        return;
    }
    const char *figure =
        sv_format(c->arena, "%s SDR", sv_dec_text_short(c->arena, sv_dec_round(sdr, 2, SV_HALF_UP)));
    choose(c, sv_dec_cmp(sdr, sv_dec_int(limit)) > 0 ? "letter-over" : "letter", figure);
    rest_on(c, c->b->sdr, row);
    /* Within 5 % of the limit on either side. */
    sv_dec off = sv_dec_sub(sdr, sv_dec_int(limit));
    if (off.units < 0) off.units = -off.units;
    if (sv_dec_cmp(sv_dec_mul(off, sv_dec_int(20)), sv_dec_int(limit)) > 0) return;
    sv_finding *f = sv_find(c->findings, SV_F_FORM_NEAR_LIMIT, "declaration.form",
                            SV_ARGS(figure, sv_by_name(c->b->sdr, row, "day"), c->out->form));
    sv_finding_source(f, sv_by_name(c->b->sdr, row, "source"), sv_by_name(c->b->sdr, row, "as_of"));
}

static void letter(const chooser *c, const sv_end *from, size_t lines, int64_t value_minor,
                   const char *currency, int64_t gross_g)
{
    int64_t most_g = limit_of(c, "heavy"), most_lines = limit_of(c, "lines");
    int exponent = sv_currency_exponent(c->world, currency);
    if (gross_g > most_g) {
        choose(c, "heavy", "");
    } else if (value_minor < 0 || exponent < 0) {
        choose(c, "letter-unknown", *currency ? currency : "no currency");
    } else {
        sv_dec value = SV_DEC(value_minor, (uint8_t)exponent);
        if (!by_printed(c, from, value, currency)) by_rate(c, value, currency);
    }
    /* Only a small form can be too small. */
    if (strcmp(c->out->form, "CN22") == 0 && (int64_t)lines > most_lines) choose(c, "lines", "");
}

sv_status sv_border_form(const sv_world *world, sv_arena *arena, sv_end from, const sv_declaration *need,
                         const char *service, const char *category, size_t lines, int64_t value_minor,
                         const char *currency, int64_t gross_g, const char *date, sv_form_choice *out,
                         sv_findings *findings)
{
    (void)date;
    *out = (sv_form_choice){.form = "CN23", .why = "", .source = "", .as_of = ""};
    chooser c = {world, arena, sv_border_in(world), out, findings};
    service = sv_or_empty(service);
    if (!need->needed) {
        *out =
            (sv_form_choice){.form = "none", .why = need->why, .source = need->source, .as_of = need->as_of};
    } else if (strcmp(sv_or_empty(category), "documents") == 0) {
        choose(&c, "documents", "");
    } else if (strcmp(service, "parcel-post") == 0 || strcmp(service, "ems") == 0) {
        choose(&c, service, "");
    } else if (strcmp(service, "letter-post") == 0 || !*service) {
        letter(&c, &from, lines, value_minor, sv_or_empty(currency), gross_g);
    } else {
        choose(&c, "other-service", service);
    }
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
