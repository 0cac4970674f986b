/* test_describe.c - the content line, and the judge of descriptions. */
#include <string.h>

#include "base/utf8.h"
#include "support.h"

static sv_world *world;

static int open_all(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_LEXICON);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    sv_world_close(world);
    return 0;
}

static void lines(sv_arena *arena, const char *text, const char *language, const char **line,
                  const char **short_line)
{
    sv_garment_given given = {.text = text};
    sv_facts facts;
    assert_int_equal(sv_garment_read(world, arena, &given, &facts, NULL), SV_OK);
    assert_int_equal(sv_content_line(world, arena, &facts, facts.pieces, language, line, short_line), SV_OK);
}

static void lines_are_written(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "content-lines");
    for (size_t i = 0; i < t->rows; i++) {
        const char *line, *short_line;
        lines(arena, field(t, i, "text"), field(t, i, "language"), &line, &short_line);
        same(sv_cell(t, i, 0), "line", field(t, i, "line"), line);
        same(sv_cell(t, i, 0), "short", field(t, i, "short"), short_line);
    }
    sv_arena_free(arena);
}

/* Some operators' interfaces cut at 40. */
static void short_lines_are_short(void **state)
{
    (void)state;
    static const char *const languages[] = {"en", "fr", "de", "es", "it", "nl", "pl", "pt", "ja", "ko", "zh"};
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "labels");
    for (size_t i = 0; i < t->rows; i++) {
        const char *text = sv_format(arena, "women's quilted jacket, used, %s", field(t, i, "text"));
        for (size_t l = 0; l < sizeof languages / sizeof *languages; l++) {
            const char *line, *short_line;
            lines(arena, text, languages[l], &line, &short_line);
            if (sv_utf8_length(short_line) > 40) fail_msg("%s: %s", languages[l], short_line);
            assert_true(*short_line != 0);
        }
    }
    sv_arena_free(arena);
}

/* Nothing is known of it: nothing is written. */
static void no_article_no_line(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const char *line, *short_line;
    lines(arena, "60% cotton", "en", &line, &short_line);
    assert_string_equal(line, "");
    assert_string_equal(short_line, "");
    sv_arena_free(arena);
}

/* The line we propose passes our own judge, where user or material is known. */
static void our_lines_are_fit(void **state)
{
    (void)state;
    static const char *const languages[] = {"en", "fr", "de", "es", "it", "nl", "pl", "pt", "ja", "ko", "zh"};
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "content-lines");
    size_t unfit = 0;
    for (size_t i = 0; i < t->rows; i++) {
        for (size_t l = 0; l < sizeof languages / sizeof *languages; l++) {
            const char *line, *short_line, *reason;
            bool fit = false;
            lines(arena, field(t, i, "text"), languages[l], &line, &short_line);
            assert_int_equal(sv_description_judge(world, arena, line, languages[l], &fit, &reason), SV_OK);
            if (fit) continue;
            print_message("%s %s: \"%s\": %s\n", sv_cell(t, i, 0), languages[l], line, reason);
            unfit++;
        }
    }
    assert_int_equal(unfit, 0);
    sv_arena_free(arena);
}

static void descriptions_are_judged(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "descriptions");
    for (size_t i = 0; i < t->rows; i++) {
        bool fit = false;
        const char *reason = "";
        assert_int_equal(sv_description_judge(world, arena, field(t, i, "text"), "en", &fit, &reason), SV_OK);
        same(sv_cell(t, i, 0), sv_format(arena, "%s (%s)", field(t, i, "text"), reason),
             field(t, i, "acceptable"), fit ? "1" : "0");
        assert_true(*reason != 0);
    }
    sv_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(lines_are_written),       cmocka_unit_test(short_lines_are_short),
        cmocka_unit_test(no_article_no_line),      cmocka_unit_test(our_lines_are_fit),
        cmocka_unit_test(descriptions_are_judged),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
