/* test_tariff.c - the sums of Section XI note 2, the engine's promises, the list of codes, the stated code.
 */
#include "support.h"

#include <stdlib.h>

#include "base/files.h"
#include "tariff_pieces.h"

static sv_world *world;
static sv_arena *arena;

static int open_all(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_LEXICON | SV_OPEN_TARIFF);
    arena = sv_arena_new();
    return world && arena ? 0 : -1;
}

static int close_all(void **state)
{
    (void)state;
    sv_arena_free(arena);
    sv_world_close(world);
    return 0;
}

static const char *code_of(const char *article, const char *said, const char *fibres, const char *destination)
{
    sv_facts f;
    piece(world, arena, &f, article, said, fibres);
    return classify(world, arena, &f, destination).hs6;
}

/* ---- sums ---- */

static const char *const group_words[SV_GROUPS] = {"silk",        "wool",   "cashmere",  "fine-hair",
                                                   "coarse-hair", "cotton", "vegetable", "synthetic",
                                                   "artificial",  "other"};

static void chief_weight(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "chief-weight");
    for (size_t r = 0; r < t->rows; r++) {
        sv_facts f = {.article = "jumper"};
        sv_weighed w;
        label(arena, &f, field(t, r, "fibres"));
        sv_weigh(sv_tariff_of(world), arena, &f, &w);
        assert_true(w.sure);
        same(field(t, r, "id"), "group", field(t, r, "groups"), group_words[sv_lowest(w.groups) - 1]);
    }
}

/* Note 2(A): the heaviest, and of equals the last; note 2(B)(c): 54 and 55 are one. */
static void notes_as_functions(void **state)
{
    (void)state;
    bool tie;
    sv_sum equal[] = {{52, SV_DEC(50, 0)}, {54, SV_DEC(50, 0)}};
    assert_int_equal(sv_note_2a_heaviest_or_last(equal, 2, &tie), 1);
    assert_true(tie);
    sv_sum three[] = {{52, SV_DEC(45, 0)}, {54, SV_DEC(30, 0)}, {55, SV_DEC(25, 0)}}, out[SV_SUMS_MAX];
    assert_int_equal(sv_note_2b_by_chapter(three, 3, out), 2);
    assert_int_equal(sv_note_2a_heaviest_or_last(out, 2, &tie), 1);
    assert_false(tie);
    assert_int_equal(out[1].weight.units, 55);
}

static void close_blend_is_said(void **state)
{
    (void)state;
    sv_facts f;
    piece(world, arena, &f, "jumper", "wearer=women", "51 cotton, 49 acrylic");
    sv_heading h = classify(world, arena, &f, "");
    assert_string_equal(h.hs6, "611020");
    assert_int_equal(h.certainty, SV_LIKELY);
    assert_non_null(strstr(h.why, "4 points or less"));
    assert_true(h.others >= 1);
    assert_string_equal(h.other[0].hs6, "611030");
}

/* Where chapters 54 and 55 win only together, the note is followed and the dispute shown (NY N327446). */
static void disputed_blend(void **state)
{
    (void)state;
    sv_facts f;
    piece(world, arena, &f, "blazer", "wearer=men construction=woven",
          "42 cotton, 25 lyocell, 22 polyester, 8 linen, 3 elastane");
    sv_heading h = classify(world, arena, &f, "");
    assert_string_equal(h.hs6, "620339");
    assert_int_not_equal(h.certainty, SV_CERTAIN);
    bool shown = false;
    for (size_t i = 0; i < h.others; i++)
        shown |= strcmp(h.other[i].hs6, "620332") == 0;
    assert_true(shown);
}

/* ---- promises of the engine ---- */

static uint32_t seed = 20261125;
static uint32_t dice(uint32_t sides)
{
    seed = seed * 1664525u + 1013904223u;
    return (seed >> 8) % sides;
}

static const char *const labels[] = {"100 cotton",
                                     "100 polyester",
                                     "80 wool, 20 polyamide",
                                     "55 linen, 45 viscose",
                                     "95 viscose, 5 elastane",
                                     "50 cotton, 50 polyester",
                                     "40 cotton, 30 acrylic, 20 viscose, 10 silk",
                                     "100 silk",
                                     "30 cashmere, 70 mohair",
                                     ""};
#define LABELS (sizeof labels / sizeof *labels)

static const char *any_article(void)
{
    const sv_table *a = sv_world_table(world, "tariff/articles");
    return sv_cell(a, dice((uint32_t)a->rows), 0);
}

static void say_any(sv_facts *f)
{
    int fact = (int)dice(SV_FACT_COUNT), values = sv_tariff_of(world)->meta[fact].values;
    if (f->fact[fact].from >= SV_FROM_TEXT) return;
    f->fact[fact] = (sv_fact){(uint16_t)(1 + dice((uint32_t)values)), SV_FROM_STATED, "test"};
}

static void random_piece(sv_arena *a, sv_facts *f)
{
    static const char *const said[] = {"wearer=women construction=knit",
                                       "wearer=men construction=woven",
                                       "wearer=girls construction=woven",
                                       "wearer=boys construction=knit",
                                       "construction=woven",
                                       "wearer=women",
                                       ""};
    piece(world, a, f, any_article(), said[dice(7)], labels[dice(LABELS)]);
    for (uint32_t n = dice(4); n; n--)
        say_any(f);
}

/* Adding a fact never turns one certain answer into another. */
static void certain_stays(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    size_t certain = 0;
    for (int i = 0; i < 60000; i++) {
        sv_facts f;
        sv_arena_reset(a);
        random_piece(a, &f);
        sv_heading before = classify(world, a, &f, "");
        if (before.certainty != SV_CERTAIN) continue;
        certain++;
        sv_facts more = f;
        say_any(&more);
        sv_heading after = classify(world, a, &more, "");
        if (after.certainty != SV_CERTAIN || strcmp(before.hs6, after.hs6) == 0) continue;
        for (int k = 0; k < SV_FACT_COUNT; k++) {
            if (more.fact[k].value != f.fact[k].value)
                print_message("added %s=%s\n", sv_fact_name(k), sv_fact_value_word(k, more.fact[k].value));
            if (f.fact[k].value)
                print_message("  %s=%s\n", sv_fact_name(k), sv_fact_value_word(k, f.fact[k].value));
        }
        fail_msg("%s: certain %s became certain %s", f.article, before.hs6, after.hs6);
    }
    assert_true(certain > 5000);
    sv_arena_free(a);
}

static sv_facts shuffled(sv_arena *a, const sv_facts *f, int64_t factor)
{
    sv_facts g = *f;
    size_t n = f->part[0].count;
    sv_fibre *list = SV_NEW_ARRAY(a, n + 1, sv_fibre);
    for (size_t i = 0; i < n; i++) {
        list[i] = f->part[0].fibre[n - 1 - i];
        list[i].percent = sv_dec_mul(list[i].percent, sv_dec_int(factor));
    }
    g.part[0].fibre = list;
    return g;
}

/* The order of fibres never matters, nor does their scale. (4 points are points of a hundred.) */
static void order_and_scale(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    for (int i = 0; i < 20000; i++) {
        sv_facts f;
        sv_arena_reset(a);
        random_piece(a, &f);
        if (!f.parts) continue;
        sv_facts g = shuffled(a, &f, 1 + (int64_t)dice(9));
        sv_heading one = classify(world, a, &f, ""), two = classify(world, a, &g, "");
        same(f.article, "hs6", one.hs6, two.hs6);
        same(f.article, "certainty", sv_certainty_word(one.certainty), sv_certainty_word(two.certainty));
    }
    sv_arena_free(a);
}

static bool in_list(const sv_table *list, const char *code)
{
    for (size_t r = 0; r < list->rows; r++) {
        if (strcmp(field(list, r, "code"), code) == 0) return true;
    }
    return false;
}

/* Every code the tables may answer stands in the published list. */
static void codes_are_of_the_edition(void **state)
{
    (void)state;
    const sv_table *list = expected(arena, "hs2022");
    const sv_tariff *t = sv_tariff_of(world);
    for (size_t i = 0; i < t->codes; i++) {
        if (*t->code[i].to) continue;
        if (!in_list(list, t->code[i].code)) fail_msg("%s is not in the published list", t->code[i].code);
    }
    for (size_t i = 0; i < t->lines; i++) {
        for (size_t p = 0; p < t->line[i].parts; p++) {
            for (int g = 0; g < SV_GROUPS; g++) {
                int at = t->line[i].part[p].code[g];
                if (at < 0 || *t->code[at].to)
                    fail_msg("line %s: group %d has no code in force", t->line[i].name, g);
            }
        }
    }
}

/* Old codes stand outside the published list and lead into it. */
static void old_codes_are_mapped(void **state)
{
    (void)state;
    const sv_table *list = expected(arena, "hs2022");
    const sv_tariff *t = sv_tariff_of(world);
    size_t old = 0;
    for (size_t i = 0; i < t->codes; i++) {
        if (!*t->code[i].to) continue;
        old++;
        assert_false(in_list(list, t->code[i].code));
        for (const char *p = t->code[i].now; *p; p += strspn(p, " ")) {
            size_t n = strcspn(p, " ");
            assert_int_equal(n, 6);
            assert_true(in_list(list, sv_copy_n(arena, p, n)));
            p += n;
        }
    }
    assert_true(old > 40);
}

/* ---- every subheading of chapters 61 and 62 ---- */

static const char *const fibre_of_group[] = {"100 silk",   "100 wool",  "100 cashmere",  "100 mohair",
                                             "100 cotton", "100 linen", "100 polyester", "100 viscose"};
static const char *const features[] = {"",
                                       "part=yes",
                                       "coated=yes",
                                       "same_fabric=yes",
                                       "square=yes side_over_60=no",
                                       "decitex=from-67",
                                       "compression=yes",
                                       "worn_as=sleep",
                                       "bust_support=yes",
                                       "shaping=yes",
                                       "palm=rubber"};
static const char *const who[] = {"wearer=men", "wearer=women", "wearer=baby"};
static const char *const made[] = {"construction=knit", "construction=woven", "construction=nonwoven"};

static void mark(bool *seen, const char *article, const char *said, const char *fibres, sv_arena *a)
{
    sv_facts f;
    piece(world, a, &f, article, said, fibres);
    sv_heading h = classify(world, a, &f, "");
    int at = *h.hs6 ? sv_code_find(sv_tariff_of(world), h.hs6) : -1;
    if (at >= 0) seen[at] = true;
}

static void every_subheading_reached(void **state)
{
    (void)state;
    const sv_table *list = expected(arena, "hs2022"), *articles = sv_world_table(world, "tariff/articles");
    const sv_tariff *t = sv_tariff_of(world);
    bool *seen = SV_NEW_ARRAY(arena, t->codes, bool);
    sv_arena *a = sv_arena_new();
    for (size_t r = 0; r < articles->rows; r++) {
        for (size_t i = 0; i < 3 * 3 * 11; i++) {
            const char *said = sv_format(arena, "%s %s %s", who[i % 3], made[i / 3 % 3], features[i / 9]);
            for (size_t g = 0; g < 8; g++) {
                sv_arena_reset(a);
                mark(seen, sv_cell(articles, r, 0), said, fibre_of_group[g], a);
            }
        }
    }
    sv_arena_free(a);
    size_t missed = 0;
    for (size_t r = 0; r < list->rows; r++) {
        const char *code = field(list, r, "code");
        if (strncmp(code, "61", 2) != 0 && strncmp(code, "62", 2) != 0) continue;
        int at = sv_code_find(t, code);
        if (at >= 0 && seen[at]) continue;
        print_message("never reached: %s\n", code);
        missed++;
    }
    assert_int_equal(missed, 0);
}

/* ---- practice, questions, stated codes ---- */

static void practice_of_the_destination(void **state)
{
    (void)state;
    const char *said = "wearer=men construction=woven padded=yes";
    same("UK Advance Tariff Ruling 600009193", "GB", "620333",
         code_of("quilted-jacket", said, "100 polyester", "GB"));
    same("US rulings on quilted jackets", "US", "620140",
         code_of("quilted-jacket", said, "100 polyester", "US"));
    same("notes", "none", "620140", code_of("quilted-jacket", said, "100 polyester", ""));
    const char *camisole = "wearer=women construction=knit shoulders=thin-straps bust_support=shelf";
    same("CBSA TRS 271774", "CA", "610910",
         code_of("camisole", camisole, "57 cotton, 38 polyester, 5 elastane", "CA"));
    same("US rulings on camisoles", "US", "611420",
         code_of("camisole", camisole, "57 cotton, 38 polyester, 5 elastane", "US"));
}

static void question_divides(void **state)
{
    (void)state;
    sv_facts f;
    piece(world, arena, &f, "dress", "", "100 cotton");
    sv_heading h = classify(world, arena, &f, "");
    assert_string_equal(h.ask_fact, "construction");
    assert_non_null(strstr(h.ask, "610442"));
    assert_non_null(strstr(h.ask, "620442"));
    assert_non_null(strchr(h.ask, '?'));
    piece(world, arena, &f, "jumper", "wearer=women", "");
    h = classify(world, arena, &f, "");
    assert_string_equal(h.ask_fact, "fibre");
}

static sv_findings judged(const char *stated, const char *destination)
{
    sv_facts f;
    sv_heading h;
    sv_findings said = sv_findings_in(arena);
    piece(world, arena, &f, "jumper", "wearer=women", "100 cotton");
    assert_int_equal(sv_classify(world, arena, &f, destination, "2026-11-25", stated, &h, &said), SV_OK);
    assert_string_equal(h.hs6, "611020");
    return said;
}

static bool found(const sv_findings *list, sv_code code)
{
    for (const sv_finding *f = list->first; f; f = f->next) {
        if (f->code == code) return true;
    }
    return false;
}

static void stated_codes(void **state)
{
    (void)state;
    sv_findings s = judged("6110.20.2079", "US");
    assert_true(found(&s, SV_F_CODE_AGREES) && found(&s, SV_F_CODE_WHOLE));
    s = judged("611030", "US");
    assert_true(found(&s, SV_F_CODE_DIFFERS) && found(&s, SV_F_CODE_LONGER));
    assert_int_equal(s.cautions, 1);
    s = judged("62019300", ""); /* left the list with HS 2022 */
    assert_true(found(&s, SV_F_CODE_LEFT));
    assert_non_null(strstr(s.first->remedy, "620140"));
    s = judged("6110", "");
    assert_true(found(&s, SV_F_CODE_FORM));
    s = judged("61102O", "");
    assert_true(found(&s, SV_F_CODE_FORM));
    s = judged("999999", "");
    assert_true(found(&s, SV_F_CODE_UNKNOWN));
    s = judged("", "");
    assert_null(s.first);
    s = judged("", "DE"); /* a member state asks for what the union asks for */
    assert_true(found(&s, SV_F_CODE_LONGER));
}

static void titles(void **state)
{
    (void)state;
    assert_non_null(sv_hs_title(world, "611020", "2026-11-25"));
    assert_null(sv_hs_title(world, "620193", "2026-11-25"));
    assert_non_null(sv_hs_title(world, "620193", "2020-06-01"));
    assert_null(sv_hs_title(world, "123456", "2026-11-25"));
}

static void put_file(const char *path, const char *text)
{
    sv_error err;
    if (sv_file_write(path, text, strlen(text), &err) != SV_OK) fail_msg("%s", err.text);
}

/* An edition to come is rows: a code that starts in 2028 and one that ends with 2027, and a line that leads
 * there. (The code is invented: the test is of the dates, not of the edition.) */
static void an_edition_is_rows(void **state)
{
    (void)state;
    char dir[] = "/tmp/selvedge-edition-XXXXXX";
    assert_non_null(mkdtemp(dir));
    sv_error err;
    assert_int_equal(sv_folder_make(sv_format(arena, "%s/tariff", dir), &err), SV_OK);
    put_file(sv_format(arena, "%s/tariff/codes.tsv", dir),
             "code\tfrom\tto\ttitle\tsource\tas_of\n"
             "611025\t2028-01-01\t\tInvented\tinvented for a test\t2026-11-25\n"
             "611020\t2022-01-01\t2027-12-31\tPullovers of cotton\tinvented for a test\t2026-11-25\n");
    put_file(sv_format(arena, "%s/tariff/lines.tsv", dir),
             "line\tpart\twhen\tcodes\tsays\tfrom\tto\trule\tsource\tas_of\n"
             "pullovers\t0\tconstruction=knit\tcotton=611025 rest=611090\tinvented\t2028-01-01\t\tinvented\t"
             "invented for a test\t2026-11-25\n");
    sv_world *own = NULL;
    sv_world_options options = {
        .data_dir = dir, .today = "2026-11-25", .rooms = SV_OPEN_LEXICON | SV_OPEN_TARIFF};
    if (sv_world_open(&options, &own, &err) != SV_OK) fail_msg("%s", err.text);
    const struct {
        const char *date, *code, *edition;
    } wanted[] = {{"2027-12-31", "611020", "HS 2022"}, {"2028-01-01", "611025", "HS 2028"}};
    for (size_t i = 0; i < 2; i++) {
        sv_facts f;
        sv_heading h;
        sv_findings said = sv_findings_in(arena);
        piece(own, arena, &f, "jumper", "wearer=women", "100 cotton");
        assert_int_equal(sv_classify(own, arena, &f, "", wanted[i].date, "611020", &h, &said), SV_OK);
        same(wanted[i].date, "hs6", wanted[i].code, h.hs6);
        same(wanted[i].date, "edition", wanted[i].edition, h.edition);
        assert_true(found(&said, i ? SV_F_CODE_LEFT : SV_F_CODE_AGREES));
    }
    sv_world_close(own);
    int status;
    run(arena, sv_format(arena, "rm -r %s", dir), &status);
}

static void unknown_article(void **state)
{
    (void)state;
    sv_facts f;
    memset(&f, 0, sizeof f);
    f.article = f.article_word = "";
    sv_heading h = classify(world, arena, &f, "");
    assert_string_equal(h.hs6, "");
    assert_int_equal(h.certainty, SV_OPEN);
    assert_true(*h.ask);
}

/* What the notes say, case by case; where several codes stand, any of them. */
static void notes_by_facts(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "tariff-cases");
    size_t wrong = 0;
    for (size_t r = 0; r < t->rows; r++) {
        sv_facts f;
        piece(world, arena, &f, field(t, r, "article"), field(t, r, "said"), field(t, r, "label"));
        sv_heading h = classify(world, arena, &f, "");
        if (*h.hs6 && strstr(field(t, r, "hs6"), h.hs6)) continue;
        print_message("%s (%s): wanted %s, got %s %s\n", field(t, r, "id"), field(t, r, "source"),
                      field(t, r, "hs6"), h.hs6, sv_certainty_word(h.certainty));
        wrong++;
    }
    assert_int_equal(wrong, 0);
}

/* The rulings by their facts, without the reader of words: the engine alone. */
static void rulings_by_facts(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "rulings");
    size_t wrong = 0, certain = 0, wrong_certain = 0, others = 0;
    for (size_t r = 0; r < t->rows; r++) {
        sv_facts f;
        piece(world, arena, &f, field(t, r, "article"), field(t, r, "said"), field(t, r, "label"));
        sv_heading h = classify(world, arena, &f, "");
        bool right = strcmp(h.hs6, field(t, r, "hs6")) == 0 || strcmp(h.hs6, field(t, r, "or_hs6")) == 0;
        certain += h.certainty == SV_CERTAIN;
        wrong_certain += h.certainty == SV_CERTAIN && !right;
        others += h.others;
        if (right) continue;
        wrong++;
        print_message("%s (%s): wanted %s, got %s %s\n", field(t, r, "id"), field(t, r, "source"),
                      field(t, r, "hs6"), h.hs6, sv_certainty_word(h.certainty));
    }
    print_message("rulings by facts: %zu of %zu right, %zu certain, %zu others\n", t->rows - wrong, t->rows,
                  certain, others);
    assert_int_equal(wrong, 0);
    assert_int_equal(wrong_certain, 0);
    assert_true(certain * 10 >= t->rows * 4);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(chief_weight),
        cmocka_unit_test(notes_as_functions),
        cmocka_unit_test(close_blend_is_said),
        cmocka_unit_test(disputed_blend),
        cmocka_unit_test(certain_stays),
        cmocka_unit_test(order_and_scale),
        cmocka_unit_test(codes_are_of_the_edition),
        cmocka_unit_test(old_codes_are_mapped),
        cmocka_unit_test(every_subheading_reached),
        cmocka_unit_test(practice_of_the_destination),
        cmocka_unit_test(question_divides),
        cmocka_unit_test(stated_codes),
        cmocka_unit_test(titles),
        cmocka_unit_test(an_edition_is_rows),
        cmocka_unit_test(unknown_article),
        cmocka_unit_test(rulings_by_facts),
        cmocka_unit_test(notes_by_facts),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
