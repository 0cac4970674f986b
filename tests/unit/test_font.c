/* test_font.c - shaping, the cut of fonts, what may not stand on a paper, and texts read back from the PDF.
 */
#include "base/utf8.h"
#include "papers/fit.h"
#include "papers/font_private.h"
#include "sample.h"

#include <stdio.h>
#include <unicode/unorm2.h>
#include <unicode/ustring.h>

static sv_fonts *fonts_of(studio *s)
{
    sv_fonts *fonts = NULL;
    sv_error err = {SV_OK, ""};
    if (sv_fonts_of(s->press, &fonts, &err) != SV_OK) fail_msg("%s", err.text);
    sv_fonts_start(fonts);
    sv_fonts_place(fonts, "");
    return fonts;
}

static const sv_shaped *shape(sv_fonts *fonts, const char *text)
{
    const sv_shaped *shaped = sv_shape(fonts, SV_FONT_REGULAR, SV_BASE_AUTO, text, strlen(text));
    assert_non_null(shaped);
    return shaped;
}

/* Widths of the OpenType table hmtx of Liberation Sans 2.1.5, which has the metrics of Helvetica: A 667, i
 * 222, space 278 thousandths of an em (Adobe core 14 font metrics). */
static void test_widths(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_fonts *fonts = fonts_of(&s);
    static const struct {
        const char *text;
        int64_t thousandths;
    } wanted[] = {{"A", 667}, {"i", 222}, {" ", 278}, {"0", 556}, {"W", 944}, {"Aii", 667 + 222 + 222}};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        int64_t got = shape(fonts, wanted[i].text)->width;
        if (llabs(got - wanted[i].thousandths * 1000) > 600)
            fail_msg("\"%s\" is %lld wide", wanted[i].text, (long long)got);
    }
    assert_int_equal(sv_at_size(1000000, 7200), 25400); /* 72 points are an inch */
    studio_close(&s);
}

static void test_kept(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_fonts *fonts = fonts_of(&s);
    const sv_shaped *a = shape(fonts, "Łódź");
    assert_ptr_equal(a, shape(fonts, "Łódź"));
    sv_fonts_start(fonts);
    assert_ptr_equal(a, shape(fonts, "Łódź"));
    studio_close(&s);
}

/* Every byte of the text belongs to exactly one glyph, in every script. */
static void test_glyphs_stand_for_all_text(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_fonts *fonts = fonts_of(&s);
    const sv_table *t = expected(s.arena, "scripts");
    for (size_t row = 0; row < t->rows; row++) {
        const char *text = field(t, row, "text"), *script = field(t, row, "script");
        size_t bytes = strlen(text), told = 0;
        sv_fonts_place(fonts, field(t, row, "place"));
        const sv_shaped *shaped = shape(fonts, text);
        if (shaped->missing != 0) fail_msg("%s: no font for U+%04X", script, shaped->missing);
        for (uint32_t r = 0; r < shaped->runs; r++)
            for (uint32_t i = 0; i < shaped->run[r].count; i++) {
                const sv_glyph *g = &shaped->run[r].glyph[i];
                if (g->from >= bytes) continue; /* marks of direction stand behind the text */
                told += g->to - g->from;
                if (!g->carrier && g->id == 0) fail_msg("%s: a glyph is missing", script);
            }
        if (told != bytes) fail_msg("%s: %zu of %zu bytes told", script, told, bytes);
    }
    studio_close(&s);
}

/* What is told without shaping is what HarfBuzz gives: every character of the European blocks, and whole
 * texts. */
static void compare_plain(sv_fonts *fonts, const char *text, size_t bytes, const char *what)
{
    sv_shaped plain = {.text = text, .bytes = (uint32_t)bytes}, full = plain;
    int64_t width = 0;
    if (!sv_plain_shape(fonts, SV_FONT_REGULAR, text, bytes, &plain)) return;
    assert_true(sv_plain_width(fonts, SV_FONT_REGULAR, text, bytes, &width));
    assert_true(sv_full_shape(fonts, SV_FONT_REGULAR, SV_BASE_AUTO, text, bytes, &full));
    uint32_t n = 0;
    for (uint32_t r = 0; r < full.runs; r++)
        for (uint32_t i = 0; i < full.run[r].count; i++, n++) {
            const sv_glyph *a = &plain.run[0].glyph[n], *b = &full.run[r].glyph[i];
            if (n >= plain.run[0].count || a->id != b->id || a->advance != b->advance || b->dx || b->dy ||
                a->from != b->from || a->to != b->to)
                fail_msg("%s: glyph %u differs from HarfBuzz", what, n);
        }
    if (n != plain.run[0].count || llabs(plain.width - full.width) > 4 || plain.top != full.top ||
        plain.bottom != full.bottom || width != plain.width)
        fail_msg("%s: measures differ from HarfBuzz", what);
}

static void test_plain(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_fonts *fonts = fonts_of(&s);
    size_t plain = 0;
    for (uint32_t c = 0x20; c < 0x2200; c++) {
        char text[4];
        if (c >= 0xD800 && c < 0xE000) continue;
        size_t n = sv_utf8_put(text, c);
        int64_t width = 0;
        plain += sv_plain_width(fonts, SV_FONT_REGULAR, text, n, &width);
        compare_plain(fonts, text, n, sv_format(s.arena, "U+%04X", c));
    }
    assert_true(plain > 1200);
    static const char *const lines[] = {"fi fl ffi AVAWATa To. Ty",
                                        "Żółć gęślą jaźń",
                                        "Ştefan Ţară ș ț",
                                        "Ђурђевић Ќ Ѓ",
                                        "Ϊ ΐ Ώ άέήίόύώ",
                                        "Nguyễn Thị Hồng Ngọc",
                                        "№ 5 – “x” … € ½ ×",
                                        "1/2 10-12 (a) [b] {c}"};
    for (size_t i = 0; i < sizeof lines / sizeof *lines; i++)
        compare_plain(fonts, lines[i], strlen(lines[i]), lines[i]);
    int64_t width = 0;
    assert_false(sv_plain_width(fonts, SV_FONT_REGULAR, "e\xCC\x81", 3, &width)); /* a mark needs placing */
    assert_false(sv_plain_width(fonts, SV_FONT_REGULAR, "\xD7\x90", 2, &width));
    assert_false(sv_plain_width(fonts, SV_FONT_REGULAR, "\xE4\xB8\x80", 3, &width));
    studio_close(&s);
}

static const char *nfc(sv_arena *a, const char *text)
{
    UErrorCode code = U_ZERO_ERROR;
    UChar u[512], n[512];
    char out[1536];
    int32_t length = 0;
    u_strFromUTF8(u, 512, &length, text, -1, &code);
    int32_t k = unorm2_normalize(unorm2_getNFCInstance(&code), u, length, n, 512, &code);
    u_strToUTF8(out, sizeof out, NULL, n, k, &code);
    assert_true(U_SUCCESS(code));
    return sv_copy(a, out);
}

/* Without marks of direction, with one blank for many. */
static const char *plain(sv_arena *a, const char *text)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    bool blank = false;
    for (const char *p = text; *p;) {
        bool mark =
            strncmp(p, "\xE2\x80\x8E", 3) == 0 || strncmp(p, "\xE2\x80\x8F", 3) == 0 ||
            (strncmp(p, "\xE2\x80", 2) == 0 && (unsigned char)p[2] >= 0xAA && (unsigned char)p[2] <= 0xAE);
        if (mark) {
            p += 3;
        } else if (strchr(" \n\f", *p)) {
            blank = b.length > 0;
            p++;
        } else {
            if (blank) sv_put_char(&b, ' ');
            blank = false;
            sv_put_char(&b, *p++);
        }
    }
    const char *out = b.length ? sv_buf_copy(&b, a) : "";
    sv_buf_free(&b);
    return nfc(a, out);
}

/* What a reader finds in the box, letter by letter and in the right order, right-to-left scripts with numbers
 * too. */
static void test_read_back(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    NEED(s.arena, "qpdf");
    const sv_table *t = expected(s.arena, "scripts");
    sv_form_options options = {.template_file = "tests/papers/scripts.xml"};
    for (size_t row = 0; row < t->rows; row++) {
        const char *script = field(t, row, "script"), *text = field(t, row, "text");
        sv_node *root = sv_node_root(s.arena);
        sample_put(s.arena, root, "note", text);
        sample_put(s.arena, root, "addressee.country", field(t, row, "place"));
        sv_findings found = sv_findings_in(s.arena);
        const char *path =
            studio_pdf(&s, "scripts", root, &options, sv_format(s.arena, "script-%s", script), &found);
        if (found.first) fail_msg("%s: %s %s", script, found.first->message, found.first->remedy);
        int status = 0;
        const char *got = run(
            s.arena, sv_format(s.arena, "pdftotext -r 254 -x 95 -y 95 -W 1410 -H 210 %s -", path), &status);
        same(script, "read back", nfc(s.arena, text), plain(s.arena, got));
        run(s.arena, sv_format(s.arena, "qpdf --check %s >/dev/null 2>&1", path), &status);
        assert_int_equal(status, 0);
    }
    studio_close(&s);
}

/* The glyphs of Han characters differ by destination: five faces of one font. */
static void test_han_by_destination(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_fonts *fonts = fonts_of(&s);
    static const struct {
        const char *place, *family;
    } wanted[] = {{"JP", "Noto Sans CJK JP"}, {"CN", "Noto Sans CJK SC"}, {"TW", "Noto Sans CJK TC"},
                  {"HK", "Noto Sans CJK HK"}, {"KR", "Noto Sans CJK KR"}, {"MO", "Noto Sans CJK TC"}};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        sv_fonts_place(fonts, wanted[i].place);
        const sv_shaped *shaped = shape(fonts, "骨");
        assert_int_equal(shaped->runs, 1);
        same(wanted[i].place, "face", wanted[i].family, sv_face_family(shaped->run[0].face));
    }
    studio_close(&s);
}

/* Unicode emoji and general categories; U+202E turns the direction. */
static void test_refused(void **state)
{
    (void)state;
    static const struct {
        uint32_t character;
        const char *why;
    } wanted[] = {{0x1F600, "emoji"},
                  {0x2764, "emoji"},
                  {0xFE0F, "emoji"},
                  {0x1F1EA, "emoji"},
                  {0x07, "control character"},
                  {0x85, "control character"},
                  {0x202E, "mark that turns the writing direction"},
                  {0xE000, "code without a character"},
                  {'A', NULL},
                  {'\n', NULL},
                  {'#', NULL},
                  {0xA9, NULL},
                  {0xAE, NULL},
                  {0x2122, NULL},
                  {0x200D, NULL},
                  {0x4E00, NULL},
                  {0x5D0, NULL}};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        const char *got = sv_character_refused(wanted[i].character);
        if ((got == NULL) != (wanted[i].why == NULL) || (got && strcmp(got, wanted[i].why) != 0))
            fail_msg("U+%04X: %s", wanted[i].character, got ? got : "allowed");
    }
}

static void test_findings(void **state)
{
    (void)state;
    studio s = studio_open();
    static const struct {
        const char *text;
        sv_code code;
    } wanted[] = {{"Ana \xF0\x9F\x98\x80", SV_F_CHARACTER_REFUSED},
                  {"Ana \xE2\x80\xAEx", SV_F_CHARACTER_REFUSED},
                  {"\xF0\x92\x80\x80", SV_F_GLYPH_MISSING}}; /* cuneiform: in no font of the table */
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        sv_node *root = sample(s.arena, "parcel");
        sample_put(s.arena, root, "addressee.recipient", wanted[i].text);
        sv_findings found = sv_findings_in(s.arena);
        studio_pdf(&s, "cn23", root, NULL, "findings", &found);
        assert_non_null(found.first);
        assert_int_equal(found.first->code, wanted[i].code);
        assert_int_equal(found.first->severity, SV_STOP);
        same(wanted[i].text, "place", "addressee.recipient", found.first->place);
    }
    studio_close(&s);
}

/* A world whose font table points nowhere: the message names the package. */
static sv_world *world_with_fonts(sv_arena *a, const char *rows)
{
    sv_error err = {SV_OK, ""};
    assert_int_equal(sv_folder_make("build/papers/data/papers", &err), SV_OK);
    const char *text = sv_format(
        a, "name\tfamily\tstyle\tpackage\tpaths\tface\tscripts\tplaces\tnote\tsource\tas_of\n%s", rows);
    assert_int_equal(sv_file_write("build/papers/data/papers/fonts.tsv", text, strlen(text), &err), SV_OK);
    sv_world *w = NULL;
    sv_world_options options = {
        .data_dir = "build/papers/data", .today = "2026-11-25", .rooms = SV_OPEN_ATLAS | SV_OPEN_PAPERS};
    if (sv_world_open(&options, &w, &err) != SV_OK) fail_msg("%s", err.text);
    if (sv_papers_open(w, &err) != SV_OK) fail_msg("%s", err.text);
    return w;
}

#define LOST(name, style, package, scripts)                                                                  \
    name "\tLost\t" style "\t" package "\t/nowhere/lost.ttf\t0\t" scripts "\t\t\ta test\t2026-11-25\n"

static void test_no_font(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    sv_world *w =
        world_with_fonts(a, LOST("sans-regular", "regular", "fonts-liberation2", "Latn Grek Cyrl Hebr")
                                LOST("noto-latin-regular", "regular", "fonts-noto-core", "Latn Grek Cyrl"));
    sv_press *press = sv_press_new(w);
    sv_error err = {SV_OK, ""};
    sv_fonts *fonts = NULL;
    /* another font of the table may have ASCII; then the papers can be made, else the package is named */
    if (sv_fonts_of(press, &fonts, &err) != SV_OK) assert_non_null(strstr(err.text, "fonts-liberation2"));
    sv_press_free(press);
    sv_world_close(w);

    w = world_with_fonts(a, LOST("noto-thai-regular", "regular", "fonts-noto-core", "Thai"));
    press = sv_press_new(w);
    sv_node *root = sample(a, "parcel");
    sample_put(a, root, "addressee.recipient", "สมชาย");
    sv_findings found = sv_findings_in(a);
    sv_buf out;
    sv_buf_init(&out, 0);
    if (sv_form_pdf(press, a, "cn23", root, NULL, &out, &found, &err) != SV_OK) fail_msg("%s", err.text);
    assert_non_null(found.first);
    assert_int_equal(found.first->code, SV_F_FONT_MISSING);
    assert_non_null(strstr(found.first->remedy, "fonts-noto-core"));
    sv_buf_free(&out);
    sv_press_free(press);
    sv_world_close(w);
    remove("build/papers/data/papers/fonts.tsv");
    sv_arena_free(a);
}

/* ---- fitting -------------------------------------------------------------------------------- */

static const char *text_of(sv_arena *a, const sv_text_block *b)
{
    sv_buf out;
    sv_buf_init(&out, 0);
    for (uint32_t i = 0; i < b->lines; i++) {
        if (i) sv_put_char(&out, '|');
        for (uint32_t k = 0; k < b->line[i].pieces; k++)
            sv_put(&out, sv_copy_n(a, b->line[i].piece[k]->text, b->line[i].piece[k]->bytes));
    }
    const char *text = out.length ? sv_buf_copy(&out, a) : "";
    sv_buf_free(&out);
    return text;
}

static sv_text_block fitted(studio *s, const char *text, int32_t w, int32_t h, const sv_style *style,
                            unsigned fit)
{
    sv_span span = {SV_FONT_REGULAR, text, strlen(text)};
    sv_text_block b;
    assert_true(sv_text_fit(fonts_of(s), s->arena, &span, 1, w, h, style, fit, &b));
    return b;
}

static void test_fit(void **state)
{
    (void)state;
    studio s = studio_open();
    const sv_style style = {.name = "t", .size = 1000, .floor = 600, .leading = 115};
    sv_text_block b = fitted(&s, "one two three", 100000, 5000, &style, SV_FIT_SHRINK);
    assert_int_equal(b.size, 1000);
    same("whole", "lines", "one two three", text_of(s.arena, &b));
    b = fitted(&s, "one two three four five", 30000, 5000, &style,
               SV_FIT_SHRINK); /* 111 units of 1/10 em: 39 mm at 10 pt */
    assert_true(b.size < 1000 && b.size >= 600 && b.lines == 1 && !b.too_small);
    b = fitted(&s, "one two three four five", 20000, 12000, &style, SV_FIT_WRAP | SV_FIT_WRAP_FIRST);
    assert_int_equal(b.size, 1000);
    assert_true(b.lines > 1);
    b = fitted(&s, "80 % cotton, 20 % wool", 16000, 30000, &style, SV_FIT_WRAP);
    assert_null(strstr(text_of(s.arena, &b), "80|%")); /* a number stays with its sign */
    b = fitted(&s, "first\nsecond", 100000, 12000, &style, SV_FIT_SHRINK);
    same("given lines", "lines", "first|second", text_of(s.arena, &b));
    b = fitted(&s, "", 1000, 1000, &style, SV_FIT_SHRINK);
    assert_int_equal(b.lines, 0);
    studio_close(&s);
}

/* Whatever the box, all letters are there: on the lines, or in what goes on later. */
static void test_nothing_is_cut(void **state)
{
    (void)state;
    studio s = studio_open();
    const sv_table *t = expected(s.arena, "scripts");
    const sv_style style = {.name = "t", .size = 900, .floor = 600, .leading = 112};
    static const int32_t box[][2] = {
        {100000, 6000}, {30000, 6000}, {12000, 4000}, {5000, 2500}, {60000, 1500}};
    static const unsigned fit[] = {SV_FIT_SHRINK, SV_FIT_WRAP | SV_FIT_SHRINK,
                                   SV_FIT_WRAP | SV_FIT_WRAP_FIRST,
                                   SV_FIT_WRAP | SV_FIT_SHRINK | SV_FIT_CONTINUE};
    for (size_t row = 0; row < t->rows; row++)
        for (size_t i = 0; i < 5; i++)
            for (size_t f = 0; f < 4; f++) {
                const char *text = field(t, row, "text");
                sv_text_block b = fitted(&s, text, box[i][0], box[i][1], &style, fit[f]);
                sv_buf got, want;
                sv_buf_init(&got, 0);
                sv_buf_init(&want, 0);
                for (const char *p = sv_format(s.arena, "%s%s", text_of(s.arena, &b), b.rest); *p; p++)
                    if (*p != ' ' && *p != '|') sv_put_char(&got, *p);
                for (const char *p = text; *p; p++)
                    if (*p != ' ') sv_put_char(&want, *p);
                same(field(t, row, "script"), "letters", want.data, got.length ? got.data : "");
                if (!b.too_small && b.height > box[i][1])
                    fail_msg("%s: higher than its box", field(t, row, "script"));
                sv_buf_free(&got);
                sv_buf_free(&want);
            }
    studio_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_widths),
        cmocka_unit_test(test_kept),
        cmocka_unit_test(test_glyphs_stand_for_all_text),
        cmocka_unit_test(test_plain),
        cmocka_unit_test(test_read_back),
        cmocka_unit_test(test_han_by_destination),
        cmocka_unit_test(test_refused),
        cmocka_unit_test(test_findings),
        cmocka_unit_test(test_no_font),
        cmocka_unit_test(test_fit),
        cmocka_unit_test(test_nothing_is_cut),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
