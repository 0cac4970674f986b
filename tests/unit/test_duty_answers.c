/* test_duty_answers.c - what the duty room says: doubts about values, the note to the buyer, the command. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "selvedge/duty.h"

static sv_world *world;

static int open_all(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_ATLAS | SV_OPEN_DUTY);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    sv_world_close(world);
    return 0;
}

static sv_dec amount(const char *text)
{
    sv_dec value;
    if (!*text) return SV_DEC_UNKNOWN;
    assert_true(sv_dec_read(text, &value));
    return value;
}

static bool said(const sv_findings *list, const char *code)
{
    const sv_finding *f = list->first;
    while (f && strcmp(sv_code_word(f->code), code) != 0)
        f = f->next;
    return f != NULL;
}

static void values_are_doubted_where_an_examiner_would(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    static const struct {
        const char *price, *usual, *material, *finding;
    } cases[] = {{"2", "20", "", "value-far-below"},
                 {"5", "", "silk", "value-material"},
                 {"0", "", "", "value-none"},
                 {"19", "20", "cotton", ""},
                 {"25", "", "cashmere", ""}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sv_findings findings = sv_findings_in(arena);
        sv_value_facts f = {.place = "piece[0].unit_value",
                            .currency = "EUR",
                            .price = amount(cases[i].price),
                            .usual = amount(cases[i].usual),
                            .material = cases[i].material};
        assert_int_equal(sv_value_advise(world, arena, &f, &findings), SV_OK);
        if (*cases[i].finding) {
            assert_true(said(&findings, cases[i].finding));
        } else {
            assert_null(findings.first);
        }
    }
    sv_arena_free(arena);
}

static void the_buyer_is_told_in_their_language(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    sv_duty_line line = {.hs6 = "620442", .goods = SV_DEC(9000, 2), .quantity = 1};
    sv_consignment c = {.date = "2026-11-25",
                        .from = sv_duty_end(world, arena, "GB"),
                        .currency = "EUR",
                        .line = &line,
                        .lines = 1};
    static const char *const contents[] = {"1 woman's woven dress, 100 % cotton, used"};
    static const struct {
        const char *to, *language, *part;
    } cases[] = {{"DE", "de", "Zoll und Steuer"},
                 {"FR", "fr", "droits"},
                 {"JP", "ja", "関税"},
                 {"US", "en", "before posting"},
                 {"GR", "en", "duty and tax"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        c.to = sv_duty_end(world, arena, cases[i].to);
        sv_duty d;
        sv_findings findings = sv_findings_in(arena);
        assert_int_equal(sv_duty_estimate(world, arena, &c, &d, &findings), SV_OK);
        const char *text, *used;
        assert_int_equal(
            sv_buyer_note(world, arena, &d, &c.to, contents, 1, "RR123456785GB", "", &text, &used), SV_OK);
        assert_string_equal(used, cases[i].language);
        assert_non_null(strstr(text, cases[i].part));
        assert_non_null(strstr(text, contents[0]));
        assert_non_null(strstr(text, "RR123456785GB"));
        assert_null(strstr(text, "{1}"));
    }
    sv_arena_free(arena);
}

/* ---- the command ---- */

static const char *ask(sv_arena *arena, const char *table, const char *options)
{
    const char *build = getenv("BUILD");
    int status;
    const char *out = run(arena,
                          sv_format(arena, "printf '%s' | %s/selvedge duty --table - --as tsv %s", table,
                                    build ? build : "build", options),
                          &status);
    assert_int_equal(status, 0);
    return out;
}

static void rows_of_a_parcel_may_stand_apart(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const char *out =
        ask(arena,
            "id\\tparcel\\tdate\\tdestination\\tfrom\\tcurrency\\tgoods\\tfreight\\ths6\\tduty\\n"
            "1\\tA\\t2026-08-01\\tDE\\tGB\\tEUR\\t30\\t10\\t620442\\tmine\\n"
            "2\\tB\\t2026-08-01\\tDE\\tGB\\tEUR\\t50\\t\\t620442\\t\\n"
            "3\\tA\\t\\t\\t\\t\\t30\\t\\t620442\\t\\n"
            "4\\t\\t2026-08-01\\tDE\\tGB\\tEUR\\t50\\t\\t620442\\t\\n"
            "5\\tA\\t\\t\\t\\t\\t40\\t\\t620520\\t\\n",
            "| cut -f1,10,11,12");
    assert_string_equal(out, "id\tgiven_duty\tcustoms_value\tduty\n"
                             "1\tmine\t33.00\t1.50\n"
                             "2\t\t50.00\t3.00\n"
                             "3\t\t33.00\t1.50\n"
                             "4\t\t50.00\t3.00\n"
                             "5\t\t44.00\t3.00\n");
    sv_arena_free(arena);
}

static void what_cannot_be_read_is_a_finding(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const char *out =
        ask(arena, "destination\\tgoods\\ths6\\tdate\\nDE\\tmuch\\tshirt\\tsoon\\nNowhere\\t5\\t\\t\\n", "");
    static const char *const wanted[] = {"duty-number", "duty-code", "duty-date", "duty-value-missing",
                                         "duty-destination"};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
        assert_non_null(strstr(out, wanted[i]));
    sv_arena_free(arena);
}

static sv_end end_of(sv_arena *arena, const char *code)
{
    return sv_duty_end(world, arena, code);
}

static bool among(const sv_duty_limit *limit, size_t n, const char *words)
{
    for (size_t i = 0; i < n; i++) {
        if (strstr(limit[i].text, words)) return true;
    }
    return false;
}

/* Limits and rates of Customs Tariff Act of Japan art. 14(18) and annex table, Regulation (EU) 2026/382. */
static void a_place_tells_its_limits(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    sv_duty_limit limit[32];
    sv_end none = {0};
    size_t n = sv_duty_limits(world, arena, none, end_of(arena, "JP"), "2026-11-25", limit, 32);
    assert_true(among(limit, n, "JPY 10000"));
    assert_true(among(limit, n, "goods of 62: 10 %"));
    assert_true(among(limit, n, "consumption tax 10 %"));
    n = sv_duty_limits(world, arena, none, end_of(arena, "DE"), "2026-06-30", limit, 32);
    assert_true(among(limit, n, "no duty to EUR 150"));
    assert_false(among(limit, n, "EUR 3"));
    n = sv_duty_limits(world, arena, none, end_of(arena, "DE"), "2026-07-01", limit, 32);
    assert_false(among(limit, n, "no duty to EUR 150"));
    assert_true(among(limit, n, "EUR 3"));
    n = sv_duty_limits(world, arena, none, end_of(arena, "NG"), "2026-11-25", limit, 32);
    assert_int_equal(n, 1);
    assert_true(limit[0].memory && among(limit, n, "not known"));
    n = sv_duty_limits(world, arena, end_of(arena, "FR"), end_of(arena, "DE"), "2026-11-25", limit, 32);
    assert_int_equal(n, 0);
    assert_int_equal(sv_duty_limits(world, arena, none, end_of(arena, "JP"), "2026-11-25", limit, 1), 1);
    sv_arena_free(arena);
}

/* Missing postage: told where it is charged on or counts toward the limit, not where nothing turns on it. */
static void missing_postage_is_told_where_it_matters(void **state)
{
    (void)state;
    static const struct {
        const char *to, *money, *goods, *code, *finding;
    } cases[] = {{"DE", "EUR", "40", "611020", "duty-freight-missing"},
                 {"JP", "JPY", "9000", "620442", "duty-freight-limit"},
                 {"AU", "AUD", "40", "611020", ""},
                 {"US", "USD", "40", "611020", ""}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sv_arena *arena = sv_arena_new();
        sv_findings findings = sv_findings_in(arena);
        sv_dec no = SV_DEC_UNKNOWN;
        sv_duty_line line = {.hs6 = cases[i].code,
                             .goods = amount(cases[i].goods),
                             .net_weight_g = no,
                             .duty_rate_pct = no,
                             .vat_rate_pct = no};
        sv_consignment c = {.date = "2026-11-25",
                            .from = end_of(arena, "GB"),
                            .to = end_of(arena, cases[i].to),
                            .currency = cases[i].money,
                            .freight = no,
                            .insurance = no,
                            .fx_to_local = no,
                            .line = &line,
                            .lines = 1};
        sv_duty duty;
        assert_int_equal(sv_duty_estimate(world, arena, &c, &duty, &findings), SV_OK);
        bool missing = said(&findings, "duty-freight-missing"), limit = said(&findings, "duty-freight-limit");
        assert_int_equal(missing, strcmp(cases[i].finding, "duty-freight-missing") == 0);
        assert_int_equal(limit, strcmp(cases[i].finding, "duty-freight-limit") == 0);
        sv_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_are_doubted_where_an_examiner_would),
        cmocka_unit_test(the_buyer_is_told_in_their_language),
        cmocka_unit_test(rows_of_a_parcel_may_stand_apart),
        cmocka_unit_test(what_cannot_be_read_is_a_finding),
        cmocka_unit_test(a_place_tells_its_limits),
        cmocka_unit_test(missing_postage_is_told_where_it_matters),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
