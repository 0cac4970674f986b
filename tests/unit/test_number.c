/* test_number.c - identifiers: form, check digit, normal and printed form. */
#include "support.h"

#include <string.h>

#include "border/border.h"
#include "border/number_check.h"

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

static void identifiers(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    const sv_table *t = expected(a, "identifiers");
    for (size_t r = 0; r < t->rows; r++) {
        const char *kind = field(t, r, "kind"), *value = field(t, r, "value");
        const char *id = sv_format(a, "%s %s", kind, value);
        sv_number n;
        assert_int_equal(sv_number_check(world, a, kind, value, &n), SV_OK);
        same(id, "valid", field(t, r, "valid"), n.valid ? "1" : "0");
        if (*field(t, r, "normal")) same(id, "normal", field(t, r, "normal"), n.normal);
        if (*field(t, r, "printed")) same(id, "printed", field(t, r, "printed"), n.printed);
        assert_true(*n.reason);
        if (n.valid) assert_true(*n.use && *n.source && *n.as_of);
    }
    sv_arena_free(a);
}

/* UPU S10 names what any two letters mean: no pair may stand in no row, or in two. */
static void every_pair_of_letters(void **state)
{
    (void)state;
    const sv_table *t = sv_world_table(world, "border/s10");
    char pair[3] = "AA";
    for (pair[0] = 'A'; pair[0] <= 'Z'; pair[0]++) {
        for (pair[1] = 'A'; pair[1] <= 'Z'; pair[1]++) {
            int rows = 0;
            for (size_t r = 0; r < t->rows; r++)
                rows += strcmp(sv_cell(t, r, 0), pair) <= 0 && strcmp(pair, sv_cell(t, r, 1)) <= 0;
            if (rows != 1) fail_msg("%s stands in %d rows", pair, rows);
        }
    }
}

/* A row that names an arithmetic the code does not have would refuse every number. */
static void checks_are_known(void **state)
{
    (void)state;
    const sv_table *t = sv_world_table(world, "border/number-forms");
    const sv_table *kinds = sv_world_table(world, "border/numbers");
    for (size_t r = 0; r < t->rows; r++) {
        if (!sv_check_known(sv_cell(t, r, 2)))
            fail_msg("%s: no check is called %s", t->name, sv_cell(t, r, 2));
        assert_true(sv_table_find(kinds, sv_cell(t, r, 0)) != SV_NO_ROW);
    }
}

/* S10: all single wrong digits of the worked serials are caught, but where 0 and 6 remain both print 5. */
static void one_wrong_digit(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    char number[] = "RR473124829GB";
    for (int at = 2; at < 11; at++) {
        char was = number[at];
        for (char digit = '0'; digit <= '9'; digit++) {
            sv_number n;
            number[at] = digit;
            assert_int_equal(sv_number_check(world, a, "S10", number, &n), SV_OK);
            assert_int_equal(n.valid, digit == was);
        }
        number[at] = was;
    }
    sv_arena_free(a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(identifiers),
        cmocka_unit_test(every_pair_of_letters),
        cmocka_unit_test(checks_are_known),
        cmocka_unit_test(one_wrong_digit),
    };
    return cmocka_run_group_tests(tests, open_it, close_it);
}
