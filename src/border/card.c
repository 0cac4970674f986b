/* card.c - the border card of a destination: every row of the tables that is about it. */
#include <string.h>

#include "border/judge.h"

typedef struct card {
    const sv_border *b;
    sv_arena *arena;
    const sv_end *from, *to;
    sv_card_line *line;
    size_t lines, room;
} card;

static void add(card *c, const char *section, const char *text, const sv_table *t, size_t row)
{
    if (c->lines == c->room || !*text) return;
    const char *source = sv_by_name(t, row, "source");
    c->line[c->lines++] = (sv_card_line){.section = section,
                                         .text = text,
                                         .source = source,
                                         .as_of = sv_by_name(t, row, "as_of"),
                                         .memory = strcmp(source, "memory") == 0};
}

/* Rows about all places stand in the card's last part, not here. */
static bool about(const card *c, const char *cell)
{
    return strcmp(cell, "any") != 0 && sv_end_fits(c->to, cell);
}

static void add_used(card *c)
{
    const sv_table *t = c->b->used;
    bool any = false;
    for (size_t r = 0; r < t->rows; r++) {
        const char *place = sv_cell(t, r, 0), *goods = sv_cell(t, r, 1);
        if (!about(c, place) && (any || strcmp(place, "any") != 0)) continue;
        const char *which = strcmp(goods, "any") == 0 ? "" : sv_format(c->arena, " (%s)", goods);
        any = true;
        add(c, "used clothing",
            sv_format(c->arena, "%s%s: one parcel %s, a gift %s, in bulk %s; %s", sv_by_name(t, r, "rule"),
                      which, sv_by_name(t, r, "sale"), sv_by_name(t, r, "gift"), sv_by_name(t, r, "bulk"),
                      sv_by_name(t, r, "remedy")),
            t, r);
    }
}

static void add_goods(card *c, const char *verdict)
{
    const sv_table *t = c->b->goods;
    for (size_t r = 0; r < t->rows; r++) {
        if (strcmp(sv_by_name(t, r, "verdict"), verdict) != 0 || !about(c, sv_by_name(t, r, "to"))) continue;
        /* An unknown place of posting keeps every row in sight. */
        const char *from = sv_by_name(t, r, "from");
        bool unknown = !c->from->place;
        if (!unknown && !sv_end_fits(c->from, from)) continue;
        const char *lifted = sv_by_name(t, r, "lifted_by");
        const char *with = *lifted ? sv_format(c->arena, " (lifted by: %s)", lifted) : "";
        add(c, verdict, sv_format(c->arena, "%s%s", sv_by_name(t, r, "why"), with), t, r);
    }
}

static void add_numbers(card *c)
{
    const sv_table *t = c->b->asked;
    for (size_t r = 0; r < t->rows; r++) {
        if (!about(c, sv_by_name(t, r, "to"))) continue;
        add(c, "numbers",
            sv_format(c->arena, "of the %s: %s; %s; for %s", sv_by_name(t, r, "who"),
                      sv_by_name(t, r, "what"), sv_by_name(t, r, "place"), sv_by_name(t, r, "goods")),
            t, r);
    }
}

static void add_traders(card *c)
{
    const sv_table *t = c->b->trader;
    for (size_t r = 0; r < t->rows; r++) {
        if (about(c, sv_by_name(t, r, "to"))) add(c, "traders", sv_by_name(t, r, "what"), t, r);
    }
}

static void add_leaving(card *c)
{
    const sv_table *t = c->b->leaving;
    for (size_t r = 0; c->from->place && !sv_ends_in_one_union(c->from, c->to) && r < t->rows; r++) {
        if (!sv_end_fits(c->from, sv_cell(t, r, 0))) continue;
        const char *limit = sv_by_name(t, r, "limit"), *written = sv_by_name(t, r, "written_below");
        const char *upto =
            *limit ? sv_format(c->arena, "up to %s %s: %s; above: %s", limit, sv_by_name(t, r, "currency"),
                               sv_by_name(t, r, "below"), sv_by_name(t, r, "above"))
                   : sv_by_name(t, r, "below");
        add(c, "leaving", *written ? sv_format(c->arena, "%s; on the form: %s", upto, written) : upto, t, r);
        return;
    }
}

static void add_changes(card *c)
{
    const sv_table *t = c->b->changes;
    for (size_t r = 0; r < t->rows; r++) {
        if (!about(c, sv_by_name(t, r, "place"))) continue;
        add(c, "changes", sv_format(c->arena, "%s: %s", sv_cell(t, r, 0), sv_by_name(t, r, "what")), t, r);
    }
}

static void add_same_day(card *c)
{
    const sv_table *t = c->b->same_day;
    for (size_t r = 0; r < t->rows; r++) {
        if (about(c, sv_cell(t, r, 0))) add(c, "numbers", sv_by_name(t, r, "rule"), t, r);
    }
}

sv_status sv_border_card(const sv_world *world, sv_arena *arena, sv_end from, sv_end to, sv_card *out)
{
    const sv_border *b = sv_border_in(world);
    size_t room = b->goods->rows + b->used->rows + b->asked->rows + b->trader->rows + b->changes->rows + 16;
    card c = {b, arena, &from, &to, SV_NEW_ARRAY(arena, room, sv_card_line), 0, room};
    *out = (sv_card){.line = c.line, .oldest = ""};
    if (!c.line) return SV_NO_MEMORY;
    add_used(&c);
    add_goods(&c, "prohibited");
    add_goods(&c, "caution");
    bool crossed = !from.place || !sv_ends_in_one_union(&from, &to); /* a customs border lies between */
    if (crossed) add_numbers(&c);
    if (crossed) add_same_day(&c);
    add_traders(&c);
    add_leaving(&c);
    if (crossed) add_changes(&c);
    out->lines = c.lines;
    for (size_t i = 0; i < c.lines; i++) {
        out->from_memory += c.line[i].memory;
        if (!*out->oldest || strcmp(c.line[i].as_of, out->oldest) < 0) out->oldest = c.line[i].as_of;
    }
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
