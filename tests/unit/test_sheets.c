/* test_sheets.c - barcodes, further sheets, bundles, and what each paper must say. */
#include "papers/layout.h"
#include "papers/ubl.h"
#include "sample.h"

#include <stdio.h>

/* ---- barcode -------------------------------------------------------------------------------- */

/* S10 item numbers with their check digits as worked in public summaries of UPU S10. */
static void test_barcode(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "zbarimg");
    NEED(s.arena, "pdftoppm");
    static const char *const numbers[] = {"RR473124829GB", "RR123456785GB", "RR287043775IN", "CX000000120IE",
                                          "CP001020307BR"};
    static const char *const forms[] = {"cn23", "address-label", "label-cn22", "label-cn23"};
    static const int dpi[] = {203, 300};
    for (size_t i = 0; i < 5; i++)
        for (size_t f = 0; f < 4; f++)
            for (size_t d = 0; d < 2; d++) {
                sv_node *root = sample(s.arena, "parcel");
                sample_put(s.arena, root, "item_number", numbers[i]);
                const char *path = studio_pdf(&s, forms[f], root, NULL, "barcode", NULL);
                const char *got = run(s.arena,
                                      sv_format(s.arena,
                                                "pdftoppm -r %d -gray -singlefile %s build/papers/barcode && "
                                                "zbarimg -q --nodbus --raw "
                                                "build/papers/barcode.pgm",
                                                dpi[d], path),
                                      NULL);
                same(sv_format(s.arena, "%s at %d dpi", forms[f], dpi[d]), "barcode", numbers[i],
                     one_line(s.arena, got));
            }
    studio_close(&s);
}

/* Module 0.375 mm: three dots at 203 dpi; ten light modules on each side (ISO/IEC 15417). */
static void test_barcode_measures(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_error err = {SV_OK, ""};
    sv_fonts *fonts = NULL;
    sv_pages pages = {.arena = s.arena};
    sv_findings found = sv_findings_in(s.arena);
    assert_int_equal(sv_fonts_of(s.press, &fonts, &err), SV_OK);
    assert_int_equal(
        sv_form_lay_out(s.world, fonts, form_of(&s, "cn23"), sample(s.arena, "parcel"), &pages, &found, &err),
        SV_OK);
    const sv_mark *bars = pages.first->first;
    while (bars && bars->kind != SV_MARK_BARS)
        bars = bars->next;
    assert_non_null(bars);
    assert_int_equal(bars->w, (int)bars->modules * 375);
    for (const sv_mark *m = pages.first->first; m; m = m->next) {
        if (m == bars || m->kind == SV_MARK_BOX) continue;
        bool level = m->y < bars->y + bars->h && m->y + m->h > bars->y;
        int32_t right = m->x + (m->kind == SV_MARK_TEXT ? sv_at_size(m->text->width, m->size) : m->w);
        if (level && m->x < bars->x + bars->w + 3750 && right > bars->x - 3750)
            fail_msg("something stands in the quiet zone");
    }
    studio_close(&s);
}

static void test_no_number_no_barcode(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "zbarimg");
    sv_node *root = sample(s.arena, "parcel");
    sample_put(s.arena, root, "item_number", "");
    sample_put(s.arena, root, "item_number_printed", "");
    const char *path = studio_pdf(&s, "cn23", root, NULL, "no-barcode", NULL);
    int status = 0;
    run(s.arena,
        sv_format(s.arena,
                  "pdftoppm -r 203 -gray -singlefile %s build/papers/no-barcode && zbarimg -q --nodbus --raw "
                  "build/papers/no-barcode.pgm",
                  path),
        &status);
    assert_int_equal(status, 4); /* zbarimg: no symbol found */
    studio_close(&s);
}

/* ---- further sheets ------------------------------------------------------------------------- */

static void add_lines(studio *s, sv_node *root, size_t to)
{
    sv_node *list = sample_child(s->arena, root, "line", true);
    for (size_t i = list->count; i < to; i++) {
        sv_node *n = sv_node_record(s->arena, list, "");
        sv_node_text(s->arena, n, "number", sv_format(s->arena, "%zu", i + 1));
        sv_node_text(s->arena, n, "description", sv_format(s->arena, "item%zu of many", i + 1));
        sv_node_text(s->arena, n, "net_kg", "0.100");
        sv_node_text(s->arena, n, "value", sv_format(s->arena, "%zu.00", i + 1));
        sv_node_text(s->arena, n, "currency", "EUR");
    }
}

static void test_continuation(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_node *root = sample(s.arena, "parcel");
    add_lines(&s, root, 40);
    for (size_t f = 1; f < 4; f++) { /* CN 23, invoice, content list */
        sv_findings found = sv_findings_in(s.arena);
        const char *path = studio_pdf(&s, all_forms[f], root, NULL, "many", &found);
        assert_null(found.first);
        const char *text = run(s.arena, sv_format(s.arena, "pdftotext -layout %s -", path), NULL);
        for (size_t i = 4; i <= 40; i++) {
            const char *wanted = sv_format(s.arena, "item%zu of many", i), *first = strstr(text, wanted);
            if (!first || strstr(first + 1, wanted)) fail_msg("%s: %s stands not once", all_forms[f], wanted);
        }
        const char *total = strstr(text, f == 3 ? "0.780" : "54.50");
        if (!total || (f != 2 && strstr(total + 1, f == 3 ? "0.780" : "54.50")))
            fail_msg("%s: the total stands not once", all_forms[f]);
    }
    const char *path = studio_pdf(&s, "cn23", root, NULL, "many", NULL);
    const char *second = run(s.arena, sv_format(s.arena, "pdftotext -f 2 -l 2 -layout %s -", path), NULL);
    assert_non_null(strstr(second, "CX 000 000 120 IE"));
    assert_non_null(strstr(second, "2 of 5"));
    studio_close(&s);
}

/* A CN 22 has no further sheet: four long lines still stand on it, in smaller print, and a caution says so.
 */
static void test_full_cn22(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_node *root = sample(s.arena, "parcel");
    add_lines(&s, root, 4);
    for (size_t i = 0; i < 4; i++) {
        sv_node *n = sample_line(root, i)->first;
        while (strcmp(n->name, "description") != 0)
            n = n->next;
        n->text =
            sv_format(s.arena,
                      "begin%zu of a very long description of a garment with many parts, shell 60 %% cotton, "
                      "40 %% polyester, lining 100 %% viscose, trimming 100 %% acrylic, used, end%zu",
                      i, i);
    }
    sv_findings found = sv_findings_in(s.arena);
    const char *path = studio_pdf(&s, "cn22", root, NULL, "full-cn22", &found);
    for (const sv_finding *f = found.first; f; f = f->next)
        if (f->code != SV_F_TEXT_TOO_LONG) fail_msg("%s", f->message);
    const char *text = one_line(s.arena, run(s.arena, sv_format(s.arena, "pdftotext %s -", path), NULL));
    for (size_t i = 0; i < 4; i++)
        if (!strstr(text, sv_format(s.arena, "begin%zu ", i)) ||
            !strstr(text, sv_format(s.arena, "end%zu", i)))
            fail_msg("line %zu is not whole", i);
    studio_close(&s);
}

/* What does not fit in a box goes on on the next sheet; no word is lost. */
static void test_long_comment(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_node *root = sample(s.arena, "parcel");
    sv_buf b;
    sv_buf_init(&b, 0);
    for (int i = 0; i < 160; i++)
        sv_put_format(&b, "%sword%d", i ? " " : "", i);
    sample_put(s.arena, root, "references.comment", b.data);
    sv_findings found = sv_findings_in(s.arena);
    const char *path = studio_pdf(&s, "cn23", root, NULL, "comment", &found);
    assert_null(found.first);
    const char *text = one_line(s.arena, run(s.arena, sv_format(s.arena, "pdftotext %s -", path), NULL));
    for (int i = 0; i < 160; i++)
        if (!strstr(text, sv_format(s.arena, "word%d ", i)) &&
            !strstr(text, sv_format(s.arena, "word%d;", i)))
            fail_msg("word%d is lost", i);
    sv_buf_free(&b);
    studio_close(&s);
}

/* ---- bundles and stock ---------------------------------------------------------------------- */

static void test_bundle(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "qpdf");
    NEED(s.arena, "pdftotext");
    sv_node *japan = sample(s.arena, "parcel"), *china = sample(s.arena, "parcel");
    sample_put(s.arena, china, "addressee.country", "CN");
    sample_put(s.arena, china, "addressee.recipient", "骨川 王明");
    sample_put(s.arena, japan, "addressee.recipient", "骨川 花子");
    const sv_bundle_item items[] = {{"cover-sheet", japan, "P-1001 cover", NULL},
                                    {"cn23", japan, "P-1001 CN 23", NULL},
                                    {"cn23", china, "P-1002 CN 23 Łódź", NULL},
                                    {"cn22", china, NULL, NULL}};
    static const struct {
        const char *stock, *pages;
    } cases[] = {{NULL, "4"}, {"A4", "3"}, {"Letter", NULL}, {"A6", NULL}, {"B9", NULL}};
    for (size_t i = 0; i < 5; i++) {
        sv_error err = {SV_OK, ""};
        sv_buf out;
        sv_buf_init(&out, 0);
        sv_findings found = sv_findings_in(s.arena);
        sv_bundle_options options = {"Two parcels", cases[i].stock, true};
        sv_status status = sv_bundle_pdf(s.press, s.arena, items, 4, &options, &out, &found, &err);
        if (cases[i].pages == NULL) {
            assert_int_equal(
                status, SV_USAGE); /* A4 is longer than Letter; a CN 23 is larger than A6; no such stock */
            sv_buf_free(&out);
            continue;
        }
        if (status != SV_OK) fail_msg("%s", err.text);
        assert_int_equal(sv_file_write("build/papers/bundle.pdf", out.data, out.length, &err), SV_OK);
        sv_buf_free(&out);
        int code = 0;
        run(s.arena, "qpdf --check build/papers/bundle.pdf >/dev/null 2>&1", &code);
        assert_int_equal(code, 0);
        const char *n = run(s.arena, "qpdf --show-npages build/papers/bundle.pdf", NULL);
        same(cases[i].stock ? cases[i].stock : "own sizes", "pages", cases[i].pages, one_line(s.arena, n));
        const char *outline = run(s.arena, "qpdf --json --json-key=outlines build/papers/bundle.pdf", NULL);
        assert_non_null(strstr(outline, "P-1002 CN 23 Łódź"));
        /* both glyphs of the Han letter are there: two faces */
        const char *fonts = run(s.arena, "pdffonts build/papers/bundle.pdf", NULL);
        assert_non_null(strstr(fonts, "NotoSansCJKJP"));
        assert_non_null(strstr(fonts, "NotoSansCJKSC"));
        const char *text = run(s.arena, "pdftotext build/papers/bundle.pdf -", NULL);
        assert_non_null(strstr(text, "骨川 王明"));
        assert_non_null(strstr(text, "骨川 花子"));
    }
    studio_close(&s);
}

/* Four CN 22 (74 x 105 mm) and two CN 23 (210 x 148 mm) on one A4 each, at full size: the barcode still
 * reads. */
static void test_imposed(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_error err = {SV_OK, ""};
    sv_node *root = sample(s.arena, "parcel");
    sv_bundle_item items[4];
    static const char *const forms[] = {"cn22", "cn23"};
    static const size_t count[] = {4, 2};
    for (size_t f = 0; f < 2; f++) {
        for (size_t i = 0; i < count[f]; i++)
            items[i] = (sv_bundle_item){forms[f], root, NULL, NULL};
        sv_buf out;
        sv_buf_init(&out, 0);
        sv_findings found = sv_findings_in(s.arena);
        sv_bundle_options options = {"Sheet", "A4", true};
        if (sv_bundle_pdf(s.press, s.arena, items, count[f], &options, &out, &found, &err) != SV_OK)
            fail_msg("%s", err.text);
        assert_int_equal(sv_file_write("build/papers/imposed.pdf", out.data, out.length, &err), SV_OK);
        sv_buf_free(&out);
        const char *n = run(s.arena, "qpdf --show-npages build/papers/imposed.pdf", NULL);
        same(forms[f], "sheets", "1", one_line(s.arena, n));
        const char *text =
            run(s.arena, "pdftotext build/papers/imposed.pdf - | grep -o '611011' | wc -l", NULL);
        same(forms[f], "papers", f == 0 ? "4" : "2", one_line(s.arena, text));
    }
    if (tool_is_here(s.arena, "zbarimg")) {
        const char *got = run(s.arena,
                              "pdftoppm -r 203 -gray -singlefile build/papers/imposed.pdf "
                              "build/papers/imposed && zbarimg -q --nodbus "
                              "--raw build/papers/imposed.pgm | sort -u",
                              NULL);
        same("imposed", "barcodes", "CX000000120IE", one_line(s.arena, got));
    }
    studio_close(&s);
}

/* ---- single papers -------------------------------------------------------------------------- */

static const char *text_of_form(studio *s, const char *form, const sv_node *root)
{
    const char *path = studio_pdf(s, form, root, NULL, "text", NULL);
    return one_line(s->arena, run(s->arena, sv_format(s->arena, "pdftotext -layout %s -", path), NULL));
}

static void must_say(const char *form, const char *text, const char *const *wanted)
{
    for (; *wanted; wanted++)
        if (!strstr(text, *wanted)) fail_msg("%s does not say \"%s\"", form, *wanted);
}

static void test_return_pack(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    static const char *const wanted[] = {
        "RETURN OF GOODS",
        "Returned goods. Sent to me on 2026-11-24 as item CX 000 000 120 IE, invoice INV-2026-117.",
        "Regulation (EU) No 952/2013, Article 203", /* Union Customs Code: returned goods */
        "54.50 EUR", NULL};
    const char *text = text_of_form(&s, "return-pack", sample(s.arena, "parcel"));
    must_say("return-pack", text, wanted);
    sv_node *root = sample(s.arena, "parcel");
    sample_put(s.arena, root, "sender.country", "US");
    static const char *const states[] = {"9801.00.10", NULL}; /* HTSUS: returned within three years */
    must_say("return-pack", text_of_form(&s, "return-pack", root), states);
    studio_close(&s);
}

static void test_check_sheet(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_node *root = sample(s.arena, "parcel"), *list = sv_node_list(s.arena, root, "findings");
    for (size_t i = 0; i < 60; i++) {
        sv_node *n = sv_node_record(s.arena, list, "");
        sv_node_text(s.arena, n, "severity", i % 3 ? "note" : "stop");
        sv_node_text(s.arena, n, "message",
                     sv_format(s.arena,
                               "message%zu is so and so, at some length, to fill two lines of the column",
                               i));
        sv_node_text(s.arena, n, "remedy", sv_format(s.arena, "remedy%zu", i));
        sv_node_text(s.arena, n, "place", "line[0].description");
    }
    const char *text = text_of_form(&s, "check-sheet", root);
    for (size_t i = 0; i < 60; i++) {
        const char *both[] = {sv_format(s.arena, "message%zu is", i), sv_format(s.arena, "remedy%zu", i),
                              NULL};
        must_say("check-sheet", text, both);
    }
    assert_null(strstr(text, "Nothing was found"));
    studio_close(&s);
}

/* The paper holds every line of the text file. */
static void test_data_sheet(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_node *root = sample(s.arena, "parcel");
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_error err = {SV_OK, ""};
    assert_int_equal(sv_data_sheet_write(root, &b, &err), SV_OK);
    const char *path = studio_pdf(&s, "data-sheet", root, NULL, "data-sheet", NULL);
    const char *text = one_line(s.arena, run(s.arena, sv_format(s.arena, "pdftotext -raw %s -", path), NULL));
    size_t lines = 0;
    for (const char *p = b.data; *p; lines++) {
        size_t tab = strcspn(p, "\t"), end = strcspn(p, "\n");
        const char *both[] = {sv_copy_n(s.arena, p, tab), sv_copy_n(s.arena, p + tab + 1, end - tab - 1),
                              NULL};
        must_say("data-sheet", text, both);
        p += end + 1;
    }
    assert_true(lines > 40);
    sv_buf_free(&b);
    studio_close(&s);
}

/* Each line of the card that the border room gives, with its source. */
static void test_border_card(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_node *root = sample(s.arena, "parcel");
    sample_put(s.arena, root, "addressee.country", "US");
    sample_put(s.arena, root, "addressee.country_name", "United States");
    sv_card card;
    sv_end from = sv_end_of_address(s.world, "PL", "90-001", "", "Łódź"),
           to = sv_end_of_address(s.world, "US", "", "", "");
    assert_int_equal(sv_border_card(s.world, s.arena, from, to, &card), SV_OK);
    assert_true(card.lines > 0);
    const char *path = studio_pdf(&s, "border-card", root, NULL, "border-card", NULL);
    const char *text = one_line(s.arena, run(s.arena, sv_format(s.arena, "pdftotext -raw %s -", path), NULL));
    for (size_t i = 0; i < card.lines; i++) {
        const char *wanted[] = {card.line[i].section, one_line(s.arena, card.line[i].text), NULL};
        must_say("border-card", text, wanted);
    }
    studio_close(&s);
}

static void test_cover_sheet(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    sv_node *root = sample(s.arena, "parcel");
    const char *text = text_of_form(&s, "cover-sheet", root);
    static const char *const with[] = {"CN 23 customs declaration", "clear adhesive envelope",
                                       "plain-paper equivalents", NULL};
    must_say("cover-sheet", text, with);
    assert_null(strstr(text, "CN 22 customs declaration"));
    sample_put(s.arena, root, "form", "none");
    sample_put(s.arena, root, "declaration.needed", "false");
    text = text_of_form(&s, "cover-sheet", root);
    static const char *const without[] = {"No customs declaration is needed", NULL};
    must_say("cover-sheet", text, without);
    assert_null(strstr(text, "CN 23 customs declaration"));
    studio_close(&s);
}

/* ---- statements ----------------------------------------------------------------------------- */

/* Council Directive 2006/112/EC, Article 226(14): the invoice of a margin scheme sale says so. */
static void test_statements(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    static const struct {
        const char *country, *registered, *margin, *wanted, *unwanted;
    } cases[] = {{"PL", "no", "no", "not registered", "Margin scheme"},
                 {"PL", "yes", "yes", "Margin scheme - second-hand goods", "not registered"},
                 {"GB", "yes", "yes", "second hand margin scheme supply", "2006/112"},
                 {"PL", "yes", "no", "Article 146", "Margin scheme"},
                 {"US", "no", "", "not registered", "2006/112"}};
    for (size_t i = 0; i < 5; i++) {
        sv_node *root = sample(s.arena, "parcel");
        sample_put(s.arena, root, "sender.country", cases[i].country);
        sample_put(s.arena, root, "sender.vat_registered", cases[i].registered);
        sample_put(s.arena, root, "sender.margin_scheme", cases[i].margin);
        const char *path = studio_pdf(&s, "invoice", root, NULL, "statements", NULL);
        const char *text = one_line(
            s.arena,
            run(s.arena, sv_format(s.arena, "pdftotext -layout -x 0 -y 0 -W 330 -H 842 %s -", path), NULL));
        if (!strstr(text, cases[i].wanted)) fail_msg("case %zu does not say \"%s\"", i, cases[i].wanted);
        if (strstr(text, cases[i].unwanted)) fail_msg("case %zu says \"%s\"", i, cases[i].unwanted);
        assert_non_null(strstr(text, "Goods marked used are second-hand."));
        assert_non_null(strstr(text, "What is marked free was not paid for"));
    }
    studio_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_barcode),
        cmocka_unit_test(test_barcode_measures),
        cmocka_unit_test(test_no_number_no_barcode),
        cmocka_unit_test(test_continuation),
        cmocka_unit_test(test_full_cn22),
        cmocka_unit_test(test_long_comment),
        cmocka_unit_test(test_bundle),
        cmocka_unit_test(test_imposed),
        cmocka_unit_test(test_return_pack),
        cmocka_unit_test(test_check_sheet),
        cmocka_unit_test(test_data_sheet),
        cmocka_unit_test(test_border_card),
        cmocka_unit_test(test_cover_sheet),
        cmocka_unit_test(test_statements),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
