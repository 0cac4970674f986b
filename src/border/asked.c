/* asked.c - numbers a destination asks for: border/asked. */
#include <string.h>

#include "border/border.h"

size_t sv_border_asked(const sv_world *world, sv_end to, sv_asked *out, size_t room)
{
    const sv_table *t = sv_border_in(world)->asked;
    size_t n = 0;
    for (size_t r = 0; r < t->rows; r++) {
        if (!sv_end_fits(&to, sv_by_name(t, r, "to"))) continue;
        if (n < room)
            out[n] = (sv_asked){.who = sv_by_name(t, r, "who"),
                                .kinds = sv_by_name(t, r, "kinds"),
                                .what = sv_by_name(t, r, "what"),
                                .place = sv_by_name(t, r, "place"),
                                .goods = sv_by_name(t, r, "goods"),
                                .must = strcmp(sv_by_name(t, r, "must"), "yes") == 0,
                                .source = sv_by_name(t, r, "source"),
                                .as_of = sv_by_name(t, r, "as_of")};
        n++;
    }
    return n;
}

/* Well formed by one of the kinds; *why is why the first is not. */
static sv_status is_one_of(const sv_world *world, sv_arena *arena, const char *kinds, const char *number,
                           bool *fits, const char **why)
{
    *fits = false;
    for (const char *p = kinds; *p && !*fits;) {
        size_t n = strcspn(p, " ");
        sv_number checked;
        sv_status s = sv_number_check(world, arena, sv_copy_n(arena, p, n), number, &checked);
        if (s) return s;
        *fits = checked.valid;
        if (p == kinds) *why = checked.reason;
        p += n + (p[n] == ' ');
    }
    return SV_OK;
}

#define MOST_ASKED 8
sv_status sv_border_addressee_number(const sv_world *world, sv_arena *arena, sv_end to, const char *number,
                                     sv_findings *findings)
{
    sv_asked asked[MOST_ASKED];
    size_t n = sv_border_asked(world, to, asked, MOST_ASKED);
    for (size_t i = 0; i < n && i < MOST_ASKED; i++) {
        const sv_asked *a = &asked[i];
        if (strcmp(a->who, "addressee") != 0) continue;
        sv_finding *f = NULL;
        if (!*sv_or_empty(number)) {
            f = sv_find(findings, a->must ? SV_F_ADDRESSEE_NUMBER_MISSING : SV_F_ADDRESSEE_NUMBER_WANTED,
                        "addressee_number", SV_ARGS(a->what, a->place));
        } else if (*a->kinds && a->must) {
            bool fits;
            const char *why = "";
            sv_status s = is_one_of(world, arena, a->kinds, number, &fits, &why);
            if (s) return s;
            if (!fits)
                f = sv_find(findings, SV_F_NUMBER_FORM, "addressee_number", SV_ARGS(a->what, number, why));
        }
        sv_finding_source(f, a->source, a->as_of);
    }
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
