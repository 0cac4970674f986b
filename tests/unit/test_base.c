/* test_base.c - arena, decimals, buffer and escapers, findings, tables, records, nodes. */
#include "support.h"

#include <string.h>

#include "base/buf.h"
#include "base/cells.h"
#include "base/files.h"
#include "base/node.h"
#include "base/rows.h"

static sv_arena *arena;

static int setup(void **state)
{
    (void)state;
    arena = sv_arena_new();
    return arena ? 0 : -1;
}

static int teardown(void **state)
{
    (void)state;
    sv_arena_free(arena);
    return 0;
}

static sv_dec dec(const char *text)
{
    sv_dec d;
    assert_true(sv_dec_read(text, &d));
    return d;
}

static void arena_keeps_and_fails(void **state)
{
    (void)state;
    sv_arena *small = sv_arena_new_limited(1000);
    assert_non_null(sv_alloc(small, 500));
    assert_null(sv_alloc(small, 600));
    assert_true(sv_arena_failed(small));
    assert_string_equal(sv_copy(small, "x"), "");
    sv_arena_reset(small);
    assert_string_equal(sv_format(small, "%d pairs", 3), "3 pairs");
    sv_arena_free(small);
    assert_null(sv_alloc_array(arena, SIZE_MAX / 4, 8));
    sv_arena_reset(arena);
}

static void decimals_are_exact(void **state)
{
    (void)state;
    char out[24];
    assert_string_equal(sv_dec_write(sv_dec_mul(dec("7.4"), dec("28.349523125")), out), "209.7864711250");
    assert_string_equal(sv_dec_write(sv_dec_round(dec("2.345"), 2, SV_HALF_UP), out), "2.35");
    assert_string_equal(sv_dec_write(sv_dec_round(dec("-2.345"), 2, SV_HALF_UP), out), "-2.35");
    assert_string_equal(sv_dec_write(sv_dec_round(dec("2.345"), 2, SV_HALF_EVEN), out), "2.34");
    assert_string_equal(sv_dec_write(sv_dec_div(dec("1"), dec("3"), 4, SV_UP), out), "0.3334");
    assert_string_equal(sv_dec_write(dec("-0.05"), out), "-0.05");
    assert_string_equal(sv_dec_write(dec("0"), out), "0");
    assert_string_equal(sv_dec_write(sv_dec_sub(dec("0.1"), dec("0.10")), out), "0.00");
    assert_int_equal(sv_dec_cmp(dec("1.50"), dec("1.5")), 0);
    assert_false(sv_dec_mul(dec("999999999999999999"), dec("999999999999999999")).known);
    sv_dec none;
    const char *wrong[] = {"", "-", ".", "1e3", "1,5", "1.2.3", "12 ", "1234567890123456789"};
    for (size_t i = 0; i < sizeof wrong / sizeof *wrong; i++)
        assert_false(sv_dec_read(wrong[i], &none));
}

static void each_format_has_its_escaper(void **state)
{
    (void)state;
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put_xml(&b, "a<b>&\"c\x01");
    assert_string_equal(b.data, "a&lt;b&gt;&amp;&quot;c");
    sv_buf_reset(&b);
    sv_put_json(&b, "a\"\\\n\x1f");
    assert_string_equal(b.data, "\"a\\\"\\\\\\n\\u001f\"");
    sv_buf_reset(&b);
    sv_put_tsv(&b, "a\tb\nc\\d\re\xE2\x80\xA8"
                   "f\xC2\x85g\"");
    assert_string_equal(b.data, "a\\tb\\nc\\\\d e f g\"");
    sv_buf_reset(&b);
    sv_put_csv(&b, "say \"hi\", you");
    assert_string_equal(b.data, "\"say \"\"hi\"\", you\"");
    sv_buf_free(&b);
    sv_buf_init(&b, 4);
    sv_put(&b, "12345");
    assert_int_equal(b.failed, SV_LIMIT);
    sv_put(&b, "1");
    assert_int_equal(b.length, 0);
    sv_buf_free(&b);
}

static void a_finding_says_what_and_where(void **state)
{
    (void)state;
    sv_findings list = sv_findings_in(arena);
    sv_finding *f = sv_find(&list, SV_F_DATA_OLD, "piece[2]", SV_ARGS("2020-01-01", "a law"));
    assert_non_null(strstr(f->message, "2020-01-01"));
    assert_non_null(strstr(f->remedy, "a law"));
    assert_int_equal(list.cautions, 1);
    sv_finding_severity(&list, f, SV_STOP);
    assert_int_equal(list.cautions, 0);
    assert_int_equal(list.stops, 1);
    sv_findings other = sv_findings_in(arena);
    sv_findings_move(&other, &list, "parcel");
    assert_string_equal(other.first->place, "parcel.piece[2]");
}

static void tables_name_the_bad_cell(void **state)
{
    (void)state;
    const char good[] =
        "cc\tname\tsource\tas_of\n#key\ttext!\tsource\tas_of\n# a remark\nJP\tJapan\\tx\tmemory\t2026-11-25\n"
        "AT\tAustria\tmemory\t2026-11-25\n";
    sv_table t;
    sv_error err = {SV_OK, ""};
    assert_int_equal(sv_table_read(arena, "t", "t.tsv", good, strlen(good), true, &t, &err), SV_OK);
    assert_int_equal(t.rows, 2);
    assert_string_equal(sv_cell(&t, sv_table_find(&t, "JP"), 1), "Japan\tx");
    assert_true(sv_table_find(&t, "XX") == SV_NO_ROW);
    const char bad[] = "cc\tname\tsource\tas_of\n#key\ttext!\tsource\tas_of\nJP\tJapan\tmemory\t2026-02-30\n";
    sv_table b;
    assert_int_equal(sv_table_read(arena, "t", "t.tsv", bad, strlen(bad), true, &b, &err), SV_BAD_FORMAT);
    assert_non_null(strstr(err.text, "t.tsv:3:4:"));
    const char mine[] = "cc\tname\tsource\tas_of\n-AT\t\tmine\t2026-11-25\nJP\tNippon\tmine\t2026-11-"
                        "25\nXK\tKosovo\tmine\t2026-11-25\n";
    assert_int_equal(sv_table_read(arena, "t", "mine.tsv", mine, strlen(mine), false, &b, &err), SV_OK);
    assert_int_equal(sv_table_override(arena, &t, &b, "mine.tsv", &err), SV_OK);
    assert_int_equal(t.rows, 2);
    assert_string_equal(sv_cell(&t, sv_table_find(&t, "JP"), 1), "Nippon");
    assert_true(sv_table_find(&t, "AT") == SV_NO_ROW);
}

/* What stands in the program is what the file says. */
static void same_as_built_in(sv_arena *memory, const sv_table *t, const sv_builtin *b)
{
    sv_table made;
    sv_error err = {SV_OK, ""};
    if (sv_table_map(memory, b->name, b->text, (size_t)(b->end - b->text), &made, &err) != SV_OK)
        fail_msg("%s", err.text);
    assert_int_equal(made.rows, t->rows);
    assert_int_equal(made.columns, t->columns);
    assert_int_equal(made.keys, t->keys);
    for (int c = 0; c < t->columns; c++) {
        assert_string_equal(made.column[c], t->column[c]);
        assert_string_equal(made.type[c], t->type[c]);
        for (size_t r = 0; r < t->rows; r++)
            assert_string_equal(sv_cell(&made, r, c), sv_cell(t, r, c));
    }
    for (size_t r = 0; r < t->rows; r++)
        assert_int_equal(made.by_key[r], t->by_key[r]);
}

static void every_built_in_table_is_sound(void **state)
{
    (void)state;
    size_t tables = 0;
    for (size_t i = 0; i < sv_builtin_count; i++) {
        const sv_builtin *b = &sv_builtins[i];
        if (strncmp(b->name, "forms/", 6) == 0) continue;
        sv_arena *one = sv_arena_new();
        sv_table t;
        sv_error err = {SV_OK, ""};
        const char *file = sv_format(one, "data/%s.tsv", b->name), *text;
        size_t bytes;
        if (sv_file_read(one, file, (size_t)1 << 26, &text, &bytes, &err) != SV_OK ||
            sv_table_read(one, b->name, file, text, bytes, true, &t, &err) != SV_OK)
            fail_msg("%s", err.text);
        same_as_built_in(one, &t, b);
        int source = sv_table_column(&t, "source"), as_of = sv_table_column(&t, "as_of");
        if (source < 0 || as_of < 0) fail_msg("%s has no source or as_of column", file);
        for (size_t r = 0; r < t.rows; r++) {
            if (strcmp(sv_cell(&t, r, as_of), "2026-12-31") > 0)
                fail_msg("%s: a date in the future in row %zu", file, r + 1);
        }
        tables++;
        sv_arena_free(one);
    }
    assert_true(tables > 0);
}

static void records_of_both_formats(void **state)
{
    (void)state;
    sv_error err = {SV_OK, ""};
    sv_rows *rows;
    const char *const *cell;
    size_t line;
    const char csv[] = "\xEF\xBB\xBF"
                       "a,b\r\n\"x, \"\"y\"\"\nz\",2\r\n\r\n3\r\n";
    assert_int_equal(sv_rows_over("f.csv", csv, strlen(csv), 0, &rows, &err), SV_OK);
    assert_int_equal(sv_rows_columns(rows), 2);
    assert_int_equal(sv_rows_next(rows, arena, &cell, &line, &err), SV_OK);
    assert_string_equal(cell[0], "x, \"y\"\nz");
    assert_string_equal(cell[1], "2");
    assert_int_equal(line, 2);
    assert_int_equal(sv_rows_next(rows, arena, &cell, &line, &err), SV_OK);
    assert_int_equal(line, 5);
    assert_string_equal(cell[1], "");
    assert_int_equal(sv_rows_next(rows, arena, &cell, &line, &err), SV_OK);
    assert_null(cell);
    sv_rows_close(rows);
    const char tsv[] = "a\tb\n1 \"q\\t\\n\\\\\tend\n";
    assert_int_equal(sv_rows_over("f.tsv", tsv, strlen(tsv), 0, &rows, &err), SV_OK);
    assert_int_equal(sv_rows_next(rows, arena, &cell, &line, &err), SV_OK);
    assert_string_equal(cell[0], "1 \"q\t\n\\");
    assert_string_equal(cell[1], "end");
    sv_rows_close(rows);
    const char stray[] = "a,b\n1,x\"y\n";
    assert_int_equal(sv_rows_over("f.csv", stray, strlen(stray), 0, &rows, &err), SV_OK);
    assert_int_equal(sv_rows_next(rows, arena, &cell, &line, &err), SV_BAD_FORMAT);
    assert_non_null(strstr(err.text, "f.csv:2:2:"));
    sv_rows_close(rows);
}

static void a_path_finds_its_node(void **state)
{
    (void)state;
    sv_node *root = sv_node_root(arena), *lines = sv_node_list(arena, root, "line");
    for (int i = 0; i < 3; i++)
        sv_node_text(arena, sv_node_record(arena, lines, ""), "value", sv_format(arena, "%d.00", i));
    assert_string_equal(sv_text_at(root, "line[2].value"), "2.00");
    assert_string_equal(sv_text_at(root, "line[3].value"), "");
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_node_json(root, &b);
    assert_non_null(strstr(b.data, "\"value\": \"1.00\""));
    sv_buf_free(&b);
}

static void days_of_the_calendar(void **state)
{
    (void)state;
    assert_true(sv_is_date("2024-02-29"));
    assert_false(sv_is_date("2026-02-29"));
    assert_false(sv_is_date("2026-13-01"));
    assert_false(sv_is_date("2026-1-01"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(arena_keeps_and_fails),       cmocka_unit_test(decimals_are_exact),
        cmocka_unit_test(each_format_has_its_escaper), cmocka_unit_test(a_finding_says_what_and_where),
        cmocka_unit_test(tables_name_the_bad_cell),    cmocka_unit_test(every_built_in_table_is_sound),
        cmocka_unit_test(records_of_both_formats),     cmocka_unit_test(a_path_finds_its_node),
        cmocka_unit_test(days_of_the_calendar),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
