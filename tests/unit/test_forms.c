/* test_forms.c - the papers against what they are measured by: captions and numbers, geometry, values read
 * back. */
#include "papers/layout.h"
#include "sample.h"

#include <stdio.h>

/* ---- captions and numbers ------------------------------------------------------------------- */

static const sv_item *caption_item(const sv_item *first, const char *key)
{
    for (const sv_item *i = first; i; i = i->next) {
        if (i->kind == SV_ITEM_CAPTION && strcmp(i->caption.key, key) == 0) return i;
        const sv_item *in = i->first ? caption_item(i->first, key) : NULL;
        if (in) return in;
    }
    return NULL;
}

static void test_captions(void **state)
{
    (void)state;
    studio s = studio_open();
    const sv_table *t = expected(s.arena, "cn-fields");
    for (size_t row = 0; row < t->rows; row++) {
        const char *key = field(t, row, "key"), *which = field(t, row, "form");
        const sv_form *form = form_of(&s, strcmp(which, "CN22") == 0 ? "cn22" : "cn23");
        const sv_item *item = caption_item(form->sheets->first, key);
        if (!item) fail_msg("%s has no caption %s", which, key);
        same(key, "English", field(t, row, "en"), item->caption.en);
        same(key, "number", field(t, row, "number"), item->caption.number);
        if (*field(t, row, "fr")) same(key, "French", field(t, row, "fr"), item->caption.fr);
    }
    studio_close(&s);
}

/* What is printed: words and number next to each other, in the order of the form. */
static void test_numbers_printed(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    const sv_table *t = expected(s.arena, "cn-fields");
    sv_node *root = sample(s.arena, "parcel");
    const char *text[2];
    static const char *const form[2] = {"cn22", "cn23"};
    for (int i = 0; i < 2; i++) {
        const char *path = studio_pdf(&s, form[i], root, NULL, form[i], NULL);
        text[i] = run(s.arena, sv_format(s.arena, "pdftotext -raw %s - | tr '\\n' ' '", path), NULL);
    }
    for (size_t row = 0; row < t->rows; row++) {
        const char *number = field(t, row, "number"), *en = field(t, row, "en");
        const char *wanted = *number ? sv_format(s.arena, "%s (%s)", en, number) : en;
        if (!strstr(text[strcmp(field(t, row, "form"), "CN23") == 0], wanted))
            fail_msg("%s does not print \"%s\"", field(t, row, "form"), wanted);
    }
    studio_close(&s);
}

/* ---- geometry ------------------------------------------------------------------------------- */

typedef struct measured {
    const char *form, *field;
    int32_t x, y, w, h; /* micrometres */
} measured;

static int32_t um(const char *text)
{
    sv_dec d;
    assert_true(sv_dec_read(text, &d));
    return (int32_t)sv_dec_to_int(sv_dec_mul(d, sv_dec_int(1000)), SV_HALF_UP);
}

/* The measured table of docs/forms.md. */
static size_t read_measures(sv_arena *a, measured *out, size_t most)
{
    const char *text = slurp(a, "docs/forms.md", NULL);
    assert_non_null(text);
    size_t n = 0;
    for (const char *p = text; (p = strstr(p, "\n| CN ")) != NULL; p++) {
        const char *cell[6];
        const char *q = p + 3;
        for (int i = 0; i < 6; i++) {
            size_t bytes = strcspn(q, "|");
            cell[i] = sv_trim(a, q, bytes);
            q += bytes + 1;
        }
        assert_true(n < most);
        out[n++] = (measured){cell[0], cell[1], um(cell[2]), um(cell[3]), um(cell[4]), um(cell[5])};
    }
    assert_true(n > 40);
    return n;
}

static bool item_box(const sv_item *first, const char *name, int32_t x, int32_t y, int32_t row, measured *out)
{
    for (const sv_item *i = first; i; i = i->next) {
        bool named = strcmp(i->kind == SV_ITEM_BARCODE ? "Barcode" : i->name, name) == 0;
        if (named && (i->kind == SV_ITEM_TEXT || i->kind == SV_ITEM_BARCODE)) {
            *out =
                (measured){.x = x + i->x, .y = y + i->y, .w = i->w, .h = i->h > 0 ? i->h : row - i->y + i->h};
            return true;
        }
        if (i->first && item_box(i->first, name, x + i->x, y + i->y, i->pitch, out)) return true;
    }
    return false;
}

static void near(const char *form, const char *name, const char *what, int32_t wanted, int32_t got)
{
    if (abs(wanted - got) > 300)
        fail_msg("%s, %s: %s is %d um, the table says %d", form, name, what, got, wanted);
}

static void test_geometry(void **state)
{
    (void)state;
    studio s = studio_open();
    static measured table[128];
    size_t n = read_measures(s.arena, table, 128);
    for (size_t i = 0; i < n; i++) {
        const measured *m = &table[i];
        const sv_form *form = form_of(&s, strcmp(m->form, "CN 22") == 0 ? "cn22" : "cn23");
        measured got = {.w = form->sheets->w, .h = form->sheets->h};
        if (strcmp(m->field, "(sheet)") != 0 && !item_box(form->sheets->first, m->field, 0, 0, 0, &got))
            fail_msg("%s has no field %s", m->form, m->field);
        near(m->form, m->field, "x", m->x, got.x);
        near(m->form, m->field, "y", m->y, got.y);
        near(m->form, m->field, "w", m->w, got.w);
        near(m->form, m->field, "h", m->h, got.h);
    }
    studio_close(&s);
}

/* UPU CN 22: 74 x 105 mm, CN 23: 210 x 148 mm (from memory); A4 by ISO 216. */
static void test_sheet_sizes(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdfinfo");
    static const struct {
        const char *form, *wanted;
    } sizes[] = {
        {"cn22", "209.764 x 297.638"}, {"cn23", "595.276 x 419.528"}, {"invoice", "595.276 x 841.89"}};
    sv_node *root = sample(s.arena, "parcel");
    for (size_t i = 0; i < 3; i++) {
        const char *path = studio_pdf(&s, sizes[i].form, root, NULL, sizes[i].form, NULL);
        const char *info = run(s.arena, sv_format(s.arena, "pdfinfo %s", path), NULL);
        if (!strstr(info, sizes[i].wanted))
            fail_msg("%s is not %s points: %s", sizes[i].form, sizes[i].wanted, info);
        if (strcmp(sizes[i].form, "cn23") == 0)
            assert_non_null(strstr(info, "CN 23 customs declaration P-1001"));
        assert_null(strstr(info, "CreationDate"));
    }
    studio_close(&s);
}

/* Each value stands in its box of the measured table, alone. */
static void test_values_in_boxes(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftotext");
    static measured table[128];
    size_t n = read_measures(s.arena, table, 128);
    const sv_table *values = expected(s.arena, "form-values");
    sv_node *root = sample(s.arena, "parcel");
    const char *path[2] = {studio_pdf(&s, "cn22", root, NULL, "cn22", NULL),
                           studio_pdf(&s, "cn23", root, NULL, "cn23", NULL)};
    for (size_t row = 0; row < values->rows; row++) {
        const char *form = field(values, row, "form"), *name = field(values, row, "field");
        const measured *m = NULL;
        for (size_t i = 0; i < n && !m; i++)
            if (strcmp(table[i].form, form) == 0 && strcmp(table[i].field, name) == 0) m = &table[i];
        if (!m) fail_msg("docs/forms.md does not measure %s, %s", form, name);
        const char *got =
            run(s.arena,
                sv_format(s.arena, "pdftotext -r 254 -x %d -y %d -W %d -H %d %s -", m->x / 100, m->y / 100,
                          (m->w + 99) / 100, (m->h + 99) / 100, path[strcmp(form, "CN 23") == 0]),
                NULL);
        same(sv_format(s.arena, "%s, %s", form, name), "value", field(values, row, "value"),
             one_line(s.arena, got));
    }
    studio_close(&s);
}

/* ---- nothing outside its box ---------------------------------------------------------------- */

static const sv_item *named_item(const sv_item *first, const char *name)
{
    for (const sv_item *i = first; i; i = i->next) {
        if (i->kind == SV_ITEM_TEXT && strcmp(i->name, name) == 0) return i;
        const sv_item *in = i->first ? named_item(i->first, name) : NULL;
        if (in) return in;
    }
    return NULL;
}

/* Rows and what follows them stand lower or higher with the length of the list. */
static bool moves(const sv_item *first, const sv_item *item)
{
    for (const sv_item *i = first; i; i = i->next) {
        bool moving = i->kind == SV_ITEM_REPEAT || i->kind == SV_ITEM_TAIL;
        for (const sv_item *in = i->first; moving && in; in = in->next)
            if (in == item) return true;
    }
    return false;
}

/* Width and ink of every text of a field against its box, straight from the display list. */
static void check_inside(const sv_sheet *sheet, const sv_page *page, const char *what)
{
    for (const sv_mark *m = page->first; m; m = m->next) {
        if (m->kind != SV_MARK_TEXT) continue;
        int32_t width = sv_at_size(m->text->width, m->size), top = m->y - sv_at_size(m->text->top, m->size);
        int32_t bottom = m->y + sv_at_size(m->text->bottom, m->size);
        if (m->x < 0 || m->x + width > page->w || top < 0 || bottom > page->h)
            fail_msg("%s: \"%s\" leaves the sheet", what, m->text->text);
        const sv_item *item = *m->name ? named_item(sheet->first, m->name) : NULL;
        measured box;
        if (!item || !item_box(sheet->first, m->name, 0, 0, 0, &box)) continue;
        if (m->x + 20 < box.x || m->x + width > box.x + box.w + 20)
            fail_msg("%s, %s: \"%s\" is wider than its box", what, m->name, m->text->text);
        if (!moves(sheet->first, item) && (top + 40 < box.y || bottom > box.y + box.h + 40))
            fail_msg("%s, %s: \"%s\" is higher than its box", what, m->name, m->text->text);
    }
}

static sv_node *stretched(studio *s, const char *text)
{
    static const char *const paths[] = {"sender.recipient",
                                        "sender.organisation",
                                        "sender.city",
                                        "sender.region",
                                        "sender.phone",
                                        "sender.email",
                                        "addressee.recipient",
                                        "addressee.organisation",
                                        "addressee.city",
                                        "addressee.region",
                                        "references.comment",
                                        "references.licence",
                                        "references.certificate",
                                        "references.sender_reference",
                                        "references.importer_reference",
                                        "operator",
                                        "totals.postage"};
    sv_node *root = sample(s->arena, "parcel");
    for (size_t i = 0; i < sizeof paths / sizeof *paths; i++)
        sample_put(s->arena, root, paths[i], text);
    sample_put(s->arena, root, "addressee.block[]", text);
    for (size_t i = 0; i < 3; i++)
        sample_line(root, i)->first->next->text = sv_format(s->arena, "%s, %s, %s", text, text, text);
    return root;
}

static void test_inside(void **state)
{
    (void)state;
    studio s = studio_open();
    const sv_table *t = expected(s.arena, "scripts");
    sv_error err = {SV_OK, ""};
    sv_fonts *fonts = NULL;
    assert_int_equal(sv_fonts_of(s.press, &fonts, &err), SV_OK);
    for (size_t row = 0; row < t->rows; row++)
        for (size_t f = 0; f < FORMS; f++) {
            sv_pages pages = {.arena = s.arena};
            sv_findings found = sv_findings_in(s.arena);
            const sv_form *form = form_of(&s, all_forms[f]);
            sv_node *root = stretched(&s, field(t, row, "text"));
            if (sv_form_lay_out(s.world, fonts, form, root, &pages, &found, &err) != SV_OK)
                fail_msg("%s", err.text);
            for (const sv_finding *x = found.first; x; x = x->next)
                if (x->severity == SV_STOP && x->code != SV_F_PAPER_FULL)
                    fail_msg("%s: %s", all_forms[f], x->message);
            const char *what = sv_format(s.arena, "%s in %s", all_forms[f], field(t, row, "script"));
            check_inside(form->sheets, pages.first, what);
        }
    studio_close(&s);
}

/* ---- files ---------------------------------------------------------------------------------- */

static void test_sound_files(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "qpdf");
    NEED(s.arena, "pdffonts");
    sv_node *root = sample(s.arena, "parcel");
    for (size_t f = 0; f < FORMS; f++) {
        sv_findings found = sv_findings_in(s.arena);
        const char *path = studio_pdf(&s, all_forms[f], root, NULL, all_forms[f], &found);
        if (found.first) fail_msg("%s: %s (%s)", all_forms[f], found.first->message, found.first->place);
        int status = 0;
        const char *said = run(s.arena, sv_format(s.arena, "qpdf --check %s 2>&1", path), &status);
        if (status != 0) fail_msg("%s: %s", path, said);
        /* the columns emb, sub and uni of each font say yes */
        const char *fonts = run(s.arena, sv_format(s.arena, "pdffonts %s | tail -n +3", path), NULL);
        assert_true(*fonts != '\0');
        int bad = 0;
        run(s.arena, sv_format(s.arena, "pdffonts %s | tail -n +3 | grep -vq 'yes yes yes'", path), &bad);
        if (bad == 0) fail_msg("%s: a font is not embedded as a subset: %s", path, fonts);
    }
    studio_close(&s);
}

/* Same dossier, same bytes: again, after other papers, and in another press. */
static void test_same_bytes(void **state)
{
    (void)state;
    studio a = studio_open(), b = studio_open();
    sv_node *root = sample(a.arena, "parcel"), *other = stretched(&b, "Nguyễn Ђ 骨 ابن 123");
    for (size_t f = 0; f < FORMS; f++) {
        size_t n[3];
        const char *one = slurp(a.arena, studio_pdf(&a, all_forms[f], root, NULL, "same-1", NULL), &n[0]);
        const char *two = slurp(a.arena, studio_pdf(&a, all_forms[f], root, NULL, "same-2", NULL), &n[1]);
        studio_pdf(&b, all_forms[f], other, NULL, "same-0", NULL);
        const char *three = slurp(a.arena, studio_pdf(&b, all_forms[f], root, NULL, "same-3", NULL), &n[2]);
        if (n[0] != n[1] || n[0] != n[2] || memcmp(one, two, n[0]) != 0 || memcmp(one, three, n[0]) != 0)
            fail_msg("%s differs from run to run", all_forms[f]);
    }
    studio_close(&a);
    studio_close(&b);
}

static void test_attachment(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "qpdf");
    static const char xml[] = "<?xml version=\"1.0\"?><a>Łódź &amp; 東京</a>\n";
    sv_attachment file = {
        "declaration.xml", "application/xml", "The declaration as UBL 2.3", xml, sizeof xml - 1, NULL};
    sv_form_options options = {.attachments = &file};
    const char *path = studio_pdf(&s, "cn23", sample(s.arena, "parcel"), &options, "attached", NULL);
    int status = 0;
    const char *got =
        run(s.arena, sv_format(s.arena, "qpdf --show-attachment=declaration.xml %s", path), &status);
    assert_int_equal(status, 0);
    same("attachment", "bytes", xml, got);
    studio_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_captions),        cmocka_unit_test(test_numbers_printed),
        cmocka_unit_test(test_geometry),        cmocka_unit_test(test_sheet_sizes),
        cmocka_unit_test(test_values_in_boxes), cmocka_unit_test(test_inside),
        cmocka_unit_test(test_sound_files),     cmocka_unit_test(test_same_bytes),
        cmocka_unit_test(test_attachment),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
