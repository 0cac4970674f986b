/* declare.c - must a customs declaration go with goods between two ends? The first row of border/declaration
 * that fits both decides; the user's own rows are asked first. */
#include <string.h>

#include "border/border.h"

static bool row_fits(const sv_table *t, size_t row, const sv_end *from, const sv_end *to)
{
    if (strcmp(sv_by_name(t, row, "same"), "yes") == 0 && !sv_same_end(from, to)) return false;
    const char *one = sv_by_name(t, row, "from"), *two = sv_by_name(t, row, "to");
    if (sv_end_fits(from, one) && sv_end_fits(to, two)) return true;
    bool either = strcmp(sv_by_name(t, row, "way"), "both") == 0;
    return either && sv_end_fits(from, two) && sv_end_fits(to, one);
}

static size_t deciding_row(const sv_table *t, const sv_end *from, const sv_end *to)
{
    for (int users = t->users ? 1 : 0; users >= 0; users--) {
        for (size_t r = 0; r < t->rows; r++) {
            bool mine = t->users && t->users[r];
            if (mine == (users == 1) && row_fits(t, r, from, to)) return r;
        }
    }
    return SV_NO_ROW;
}

sv_status sv_border_declaration(const sv_world *world, sv_arena *arena, sv_end from, sv_end to,
                                const char *date, sv_declaration *out)
{
    (void)date;
    const sv_table *t = sv_border_in(world)->declaration;
    *out = (sv_declaration){.needed = true,
                            .doubtful = true,
                            .why = "no rule for these two places is in the table",
                            .rule = "",
                            .source = "",
                            .as_of = ""};
    size_t row = deciding_row(t, &from, &to);
    if (row != SV_NO_ROW) {
        const char *needed = sv_by_name(t, row, "needed");
        *out = (sv_declaration){.needed = strcmp(needed, "no") != 0,
                                .doubtful = strcmp(needed, "doubtful") == 0,
                                .why = sv_by_name(t, row, "why"),
                                .rule = sv_cell(t, row, 0),
                                .source = sv_by_name(t, row, "source"),
                                .as_of = sv_by_name(t, row, "as_of")};
    }
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
