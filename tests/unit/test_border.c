/* test_border.c - is a declaration needed, which form, and what may go. */
#include "support.h"

#include <string.h>

#include "border/border.h"

static sv_world *world;

static int open_it(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_ATLAS | SV_OPEN_BORDER);
    return 0;
}

static int close_it(void **state)
{
    (void)state;
    sv_world_close(world);
    return 0;
}

/* Union rules and the exceptions of territories, from both ends. */
static void declaration_pairs(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    const sv_table *t = expected(a, "declaration-pairs");
    for (size_t r = 0; r < t->rows; r++) {
        sv_end from, to;
        assert_true(sv_end_read(world, a, field(t, r, "from"), &from));
        assert_true(sv_end_read(world, a, field(t, r, "to"), &to));
        sv_declaration d;
        assert_int_equal(sv_border_declaration(world, a, from, to, "2026-11-25", &d), SV_OK);
        const char *id = sv_format(a, "%s-%s by %s", field(t, r, "from"), field(t, r, "to"), d.rule);
        same(id, "needed", field(t, r, "needed"), d.needed ? "yes" : "no");
        assert_true(*d.source && *d.as_of && *d.why);
    }
    sv_arena_free(a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(declaration_pairs),
    };
    return cmocka_run_group_tests(tests, open_it, close_it);
}
