/* schemes.c - tax schemes of one parcel: one scheme, one number, of this destination, of this order. */
#include <string.h>

#include "border/border.h"

/* The first item of a list apart by ; or ,; *list moves behind it. */
static const char *next_item(sv_arena *arena, const char **list)
{
    size_t n = strcspn(*list, ";,");
    const char *item = sv_trim(arena, *list, n);
    *list += n + ((*list)[n] != 0);
    return item;
}

/* Two items of the list that differ: the list is mixed. */
static bool is_mixed(sv_arena *arena, const char *list)
{
    const char *first = "";
    for (const char *p = list; *p;) {
        const char *item = sv_upper_ascii(arena, next_item(arena, &p));
        if (!*item) continue;
        if (!*first) first = item;
        if (strcmp(first, item) != 0) return true;
    }
    return false;
}

/* Is this number one of the sender's own? `own` holds `IOSS IM...` pairs apart by ;. */
static bool is_own(const sv_world *world, sv_arena *arena, const char *own, const char *scheme,
                   const char *number)
{
    size_t n = strlen(scheme);
    for (const char *p = own; *p;) {
        const char *pair = next_item(arena, &p);
        if (strncmp(sv_upper_ascii(arena, pair), scheme, n) != 0 || pair[n] != ' ') continue;
        const char *mine = sv_trim(arena, pair + n, strlen(pair + n));
        sv_number a, b;
        if (sv_number_check(world, arena, scheme, mine, &a) ||
            sv_number_check(world, arena, scheme, number, &b))
            return false;
        bool same = a.valid && b.valid ? strcmp(a.normal, b.normal) == 0 : strcmp(mine, number) == 0;
        if (same) return true;
    }
    return false;
}

bool sv_border_scheme_outside(const sv_world *world, const char *scheme)
{
    const sv_table *t = sv_border_in(world)->schemes;
    size_t row = sv_table_find(t, scheme);
    return row != SV_NO_ROW && strcmp(sv_by_name(t, row, "outside"), "yes") == 0;
}

static bool several(const char *orders)
{
    const char *p = orders + strspn(orders, " ");
    p += strcspn(p, " ");
    return *(p + strspn(p, " ")) != 0;
}

sv_status sv_border_schemes(const sv_world *world, sv_arena *arena, const sv_scheme_use *use,
                            sv_findings *findings)
{
    const sv_table *t = sv_border_in(world)->schemes;
    const char *all = sv_or_empty(use->scheme), *numbers = sv_or_empty(use->scheme_number);
    if (!*all) return SV_OK;
    const char *scheme = sv_upper_ascii(arena, sv_copy_n(arena, all, strcspn(all, " ;,")));
    size_t row = sv_table_find(t, scheme);
    sv_finding *f = NULL;
    if (is_mixed(arena, all) || is_mixed(arena, numbers)) {
        f = sv_find(findings, SV_F_SCHEME_MIXED, "scheme", SV_ARGS(all, numbers));
    } else if (row != SV_NO_ROW && !sv_end_fits(&use->to, sv_by_name(t, row, "to"))) {
        f = sv_find(findings, SV_F_SCHEME_PLACE, "scheme", SV_ARGS(scheme, sv_by_name(t, row, "rule")));
    } else if (*numbers && !is_own(world, arena, sv_or_empty(use->own), scheme, numbers)) {
        f = sv_find(findings, SV_F_SCHEME_OF_MARKETPLACE, "scheme_number", SV_ARGS(scheme));
        if (several(sv_or_empty(use->orders))) sv_finding_severity(findings, f, SV_CAUTION);
    }
    if (row != SV_NO_ROW) sv_finding_source(f, sv_by_name(t, row, "source"), sv_by_name(t, row, "as_of"));
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}

void sv_border_same_day(const sv_world *world, sv_end to, const char *place, sv_findings *findings)
{
    const sv_table *t = sv_border_in(world)->same_day;
    for (size_t r = 0; r < t->rows; r++) {
        if (!sv_end_fits(&to, sv_cell(t, r, 0))) continue;
        sv_finding *f = sv_find(findings, SV_F_SAME_DAY, place, SV_ARGS(sv_by_name(t, r, "rule")));
        sv_finding_source(f, sv_by_name(t, r, "source"), sv_by_name(t, r, "as_of"));
        return;
    }
}
