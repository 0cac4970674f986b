/* test_rulings.c - published rulings from words to subheading: once by columns, once by the free text alone.
 */
#include "support.h"

#include <string.h>

static sv_world *world;

static int open_all(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_ATLAS | SV_OPEN_LEXICON | SV_OPEN_TARIFF);
    return world ? 0 : -1;
}

static int close_all(void **state)
{
    (void)state;
    sv_world_close(world);
    return 0;
}

typedef struct score {
    size_t rows, subheading, heading, certain, certain_wrong, among, others, most_others;
} score;

static bool right(const sv_table *t, size_t r, const char *code, size_t digits)
{
    const char *one = field(t, r, "hs6"), *two = field(t, r, "or_hs6");
    if (strlen(code) < digits) return false;
    return strncmp(code, one, digits) == 0 || (*two && strncmp(code, two, digits) == 0);
}

static void judge(const sv_table *t, size_t r, bool columns, score *s)
{
    sv_arena *a = sv_arena_new();
    sv_garment_given given = {.text = field(t, r, "text")};
    if (columns) {
        given.garment = field(t, r, "garment");
        given.gender = field(t, r, "gender");
        given.construction = field(t, r, "construction");
        given.fibre = field(t, r, "fibre");
        given.features = field(t, r, "features");
    }
    sv_facts f;
    sv_heading h;
    sv_findings said = sv_findings_in(a);
    assert_int_equal(sv_garment_read(world, a, &given, &f, &said), SV_OK);
    assert_int_equal(sv_classify(world, a, &f, "", "2026-11-25", "", &h, &said), SV_OK);
    bool sub = right(t, r, h.hs6, 6), among = sub;
    for (size_t i = 0; i < h.others; i++)
        among |= right(t, r, h.other[i].hs6, 6);
    s->rows++;
    s->subheading += sub;
    s->heading += right(t, r, h.hs6, 4);
    s->certain += h.certainty == SV_CERTAIN;
    s->certain_wrong += h.certainty == SV_CERTAIN && !sub;
    s->among += among;
    s->others += h.others;
    if (h.others > s->most_others) s->most_others = h.others;
    if (!sub)
        print_message("%s %s: wanted %s, got %s (%s, article %s, fibres %s): %s\n", field(t, r, "id"),
                      given.text, field(t, r, "hs6"), h.hs6, sv_certainty_word(h.certainty), f.article,
                      sv_fibres_text(a, &f), field(t, r, "source"));
    sv_arena_free(a);
}

static score judge_all(const char *name, bool columns)
{
    sv_arena *a = sv_arena_new();
    const sv_table *t = expected(a, name);
    score s = {0};
    for (size_t r = 0; r < t->rows; r++)
        judge(t, r, columns, &s);
    sv_arena_free(a);
    print_message(
        "%s %s: %zu pieces, heading %zu, subheading %zu, among the answers %zu, others %zu, certain "
        "%zu (%zu wrong)\n",
        name, columns ? "by columns" : "by text", s.rows, s.heading, s.subheading, s.among, s.others,
        s.certain, s.certain_wrong);
    return s;
}

static void by_columns(void **state)
{
    (void)state;
    score s = judge_all("rulings", true);
    assert_true(s.heading * 100 >= s.rows * 96);
    assert_true(s.subheading * 100 >= s.rows * 92);
    assert_true(s.among * 100 >= s.rows * 98);
    assert_true(s.others * 2 <= s.rows * 3);
    assert_true(s.most_others <= 4);
    assert_true(s.certain_wrong <= 1);
    assert_true(s.certain * 100 >= s.rows * 40);
}

static void by_text(void **state)
{
    (void)state;
    score s = judge_all("rulings", false);
    assert_true(s.subheading * 100 >= s.rows * 90);
    assert_true(s.certain_wrong <= 1);
}

/* Our own cases, from memory: what rulings of each kind say, not any one of them. */
static void own_cases(void **state)
{
    (void)state;
    score s = judge_all("heading-cases", true);
    assert_true(s.heading * 100 >= s.rows * 96);
    assert_true(s.subheading * 100 >= s.rows * 95);
    assert_true(s.among * 100 >= s.rows * 98);
    assert_int_equal(s.certain_wrong, 0);
    s = judge_all("heading-cases", false);
    assert_true(s.subheading * 100 >= s.rows * 93);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(by_columns), cmocka_unit_test(by_text),
                                       cmocka_unit_test(own_cases)};
    return cmocka_run_group_tests(tests, open_all, close_all);
}
