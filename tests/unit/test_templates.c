/* test_templates.c - templates of the user, the built-in ones by the same schema, and the SVG pen. */
#include "sample.h"

#include <stdio.h>

/* ---- templates of the user ------------------------------------------------------------------ */

#define HEAD                                                                                                 \
    "<form xmlns=\"urn:selvedge:form:1\" name=\"t\" title=\"t\">\n<style name=\"value\" "                    \
    "size=\"8\"/>\n<style name=\"caption\" size=\"8\"/>\n"
#define SHEET "<sheet name=\"a\" width=\"100\" height=\"100\">\n"
#define TAIL  "\n</sheet>\n</form>\n"

static void test_bad_templates(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_error err = {SV_OK, ""};
    assert_int_equal(sv_folder_make("build/papers", &err), SV_OK);
    static const struct {
        const char *what, *text, *place, *reason;
    } bad[] = {
        {"not XML", "hello\n", ":1:", ""},
        {"cut off", HEAD SHEET, ":", ""},
        {"no such element", HEAD SHEET "<circle x=\"1\"/>" TAIL, ":5:", "circle"},
        {"not a number", HEAD SHEET "<box x=\"1\" w=\"wide\"/>" TAIL, ":5:", "wide"},
        {"unknown caption", HEAD SHEET "<caption key=\"no-such\" w=\"10\" h=\"3\"/>" TAIL, ":5:", "no-such"},
        {"unknown style", HEAD SHEET "\n<text style=\"nice\">x</text>" TAIL, ":6:", "nice"},
        {"unknown value", HEAD SHEET "<field name=\"x\" w=\"10\">{totals.grosskg}</field>" TAIL,
         ":5:", "totals.grosskg"},
        {"unknown value of a row",
         HEAD SHEET "<repeat path=\"line\" row=\"5\" h=\"20\">\n<field name=\"x\" "
                    "w=\"10\">{.worth}</field></repeat>" TAIL,
         ":6:", ".worth"},
        {"unknown value in a condition", HEAD SHEET "<box if=\"fom=CN22\"/>" TAIL, ":5:", "fom"},
        {"no field name", HEAD SHEET "<field w=\"10\">{reference}</field>" TAIL, ":5:", "name"},
        {"no sheet to go on",
         HEAD "<sheet name=\"a\" width=\"100\" height=\"100\" continued=\"b\">\n<box/>" TAIL, ":", "b"},
        {"no sheet", HEAD "</form>\n", ":", ""},
        {"an entity",
         "<!DOCTYPE form [<!ENTITY x SYSTEM \"file:///etc/passwd\">]>\n" HEAD SHEET "<text>&x;</text>" TAIL,
         ":", ""},
        {"many entities",
         "<!DOCTYPE form [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\"><!ENTITY c "
         "\"&b;&b;&b;&b;&b;&b;&b;&b;\">]>\n" HEAD SHEET "<text>&c;</text>" TAIL,
         ":", ""},
        {"size too large",
         "<form xmlns=\"urn:selvedge:form:1\" name=\"t\" title=\"t\"><style name=\"value\" "
         "size=\"900\"/>" SHEET "<box/>" TAIL,
         ":1:", "900"},
    };
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++) {
        const char *path = sv_format(s.arena, "build/papers/bad-%zu.xml", i);
        assert_int_equal(sv_file_write(path, bad[i].text, strlen(bad[i].text), &err), SV_OK);
        sv_form_options options = {.template_file = path};
        sv_findings found = sv_findings_in(s.arena);
        sv_buf out;
        sv_buf_init(&out, 0);
        sv_status status =
            sv_form_pdf(s.press, s.arena, "cn23", sample(s.arena, "parcel"), &options, &out, &found, &err);
        if (status != SV_BAD_FORMAT) fail_msg("%s: status %d", bad[i].what, status);
        const char *wanted = sv_format(s.arena, "%s%s", path, bad[i].place);
        if (strncmp(err.text, wanted, strlen(wanted)) != 0 || !strstr(err.text, bad[i].reason))
            fail_msg("%s: \"%s\" is not \"%s... %s\"", bad[i].what, err.text, wanted, bad[i].reason);
        if (out.length) fail_msg("%s: something was written", bad[i].what);
        sv_buf_free(&out);
    }
    sv_form_options missing = {.template_file = "build/papers/not-there.xml"};
    sv_buf out;
    sv_buf_init(&out, 0);
    sv_findings found = sv_findings_in(s.arena);
    assert_int_equal(
        sv_form_pdf(s.press, s.arena, "cn23", sample(s.arena, "parcel"), &missing, &out, &found, &err),
        SV_SYSTEM);
    assert_int_equal(
        sv_form_pdf(s.press, s.arena, "no-form", sample(s.arena, "parcel"), NULL, &out, &found, &err),
        SV_USAGE);
    studio_close(&s);
}

/* The built-in templates are valid by the schema that a user's template is held to. */
static void test_own_templates(void **state)
{
    (void)state;
    studio s = studio_open();
    for (size_t f = 0; f < FORMS; f++) {
        sv_form_options options = {.template_file = sv_format(s.arena, "forms/%s.xml", all_forms[f])};
        const char *one = studio_pdf(&s, all_forms[f], sample(s.arena, "parcel"), &options, "own", NULL);
        size_t n[2];
        const char *a = slurp(s.arena, one, &n[0]);
        const char *b = slurp(
            s.arena, studio_pdf(&s, all_forms[f], sample(s.arena, "parcel"), NULL, "own-2", NULL), &n[1]);
        assert_int_equal(n[0], n[1]);
        assert_memory_equal(a, b, n[0]);
    }
    studio_close(&s);
}

/* ---- SVG ------------------------------------------------------------------------------------ */

static void test_svg(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "xmllint");
    sv_error err = {SV_OK, ""};
    for (size_t f = 0; f < FORMS; f++) {
        sv_buf out;
        sv_buf_init(&out, 0);
        size_t sheets = 0;
        sv_findings found = sv_findings_in(s.arena);
        sv_status status = sv_form_svg(s.press, s.arena, all_forms[f], sample(s.arena, "parcel"), NULL, 0,
                                       &sheets, &out, &found, &err);
        if (status != SV_OK) fail_msg("%s", err.text);
        assert_true(sheets >= 1);
        if (strcmp(all_forms[f], "border-card") == 0) {
            assert_non_null(strstr(out.data, ">Japan (JP)<"));
            sv_buf_free(&out);
            continue;
        }
        const char *wanted = f == 0                                     ? ">Example Post<"
                             : strcmp(all_forms[f], "check-sheet") == 0 ? ">Nothing was found.<"
                                                                        : ">Misaki Tanaka<";
        if (!strstr(out.data, wanted)) fail_msg("%s: no %s", all_forms[f], wanted);
        const char *path = sv_format(s.arena, "build/papers/%s.svg", all_forms[f]);
        assert_int_equal(sv_file_write(path, out.data, out.length, &err), SV_OK);
        int code = 0;
        run(s.arena, sv_format(s.arena, "xmllint --nonet --noout %s", path), &code);
        assert_int_equal(code, 0);
        sv_buf_free(&out);
    }
    studio_close(&s);
}

/* The drawing names each value and its path, so that input boxes can be laid over it. */
static void test_svg_fields(void **state)
{
    (void)state;
    studio s = studio_open();
    sv_error err = {SV_OK, ""};
    sv_buf out;
    sv_buf_init(&out, 0);
    sv_findings found = sv_findings_in(s.arena);
    sv_node *root = sample(s.arena, "parcel");
    assert_int_equal(sv_form_svg(s.press, s.arena, "cn23", root, NULL, 0, NULL, &out, &found, &err), SV_OK);
    static const char *const wanted[] = {"class=\"field\" fill=\"none\" data-name=\"To: Name\" "
                                         "data-path=\"addressee.recipient\" x=\"39\" y=\"37.300\"",
                                         "data-path=\"line[1].net_kg\"", "data-path=\"category\"",
                                         "class=\"input\" fill=\"none\" data-name=\"Sign here\""};
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++)
        if (!strstr(out.data, wanted[i])) fail_msg("the drawing has no %s", wanted[i]);
    sv_buf_free(&out);
    studio_close(&s);
}

static void test_fillable(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "qpdf");
    sv_form_options options = {.fillable = true};
    sv_node *root = sample(s.arena, "parcel");
    const char *path = studio_pdf(&s, "cn23", root, &options, "fillable", NULL);
    int status = 0;
    run(s.arena, sv_format(s.arena, "qpdf --check %s >/dev/null 2>&1", path), &status);
    assert_int_equal(status, 0);
    const char *json = run(s.arena, sv_format(s.arena, "qpdf --json --json-key=acroform %s", path), NULL);
    assert_non_null(strstr(json, "\"fullname\": \"Sign here\""));
    sample_put(s.arena, root, "sender.signature", "Z. Święcicka"); /* signed already: nothing to fill in */
    path = studio_pdf(&s, "cn23", root, &options, "fillable", NULL);
    json = run(s.arena, sv_format(s.arena, "qpdf --json --json-key=acroform %s", path), NULL);
    assert_null(strstr(json, "Sign here"));
    studio_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_bad_templates), cmocka_unit_test(test_own_templates),
        cmocka_unit_test(test_svg),           cmocka_unit_test(test_svg_fields),
        cmocka_unit_test(test_fillable),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
