/* test_read.c - what comes in: the orders table, the parcel XML, profiles, units, and every way they can be
 * wrong. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/files.h"
#include "parcel/fields.h"
#include "parcel/read.h"

static sv_arena *arena;
static char folder[] = "/tmp/selvedge-read-XXXXXX";

static int setup(void **state)
{
    (void)state;
    arena = sv_arena_new();
    return arena && mkdtemp(folder) ? 0 : -1;
}

static int teardown(void **state)
{
    (void)state;
    int status;
    run(arena, sv_format(arena, "rm -rf %s", folder), &status);
    sv_arena_free(arena);
    return status;
}

static const char *file_of(const char *name, const char *text, size_t bytes)
{
    const char *path = sv_format(arena, "%s/%s", folder, name);
    sv_error err = {0};
    if (sv_file_write(path, text, bytes, &err)) fail_msg("%s", err.text);
    return path;
}

/* ---- units -------------------------------------------------------------------------------------- */

static void measures_are_exact(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "measures");
    for (size_t i = 0; i < t->rows; i++) {
        const char *text = field(t, i, "text"), *kind = field(t, i, "kind");
        sv_dec got;
        bool ok = sv_measure_read(text, *kind == 'w' ? SV_WEIGHT : SV_LENGTH, &got);
        same(text, kind, field(t, i, "value"), ok ? sv_dec_text_short(arena, got) : "");
    }
}

/* ---- faults ------------------------------------------------------------------------------------- */

/* Reads all parcels; the first finding that does not tell of a column, or of the reference's coding when
 * another is wanted, is kept. */
static sv_status read_all(const char *path, int format, const sv_finding **first, const sv_parcel **last,
                          sv_error *err)
{
    sv_parcels *parcels;
    const sv_parcel *p;
    sv_reading how = {.format = format};
    *first = NULL;
    *last = NULL;
    sv_status s = sv_parcels_open(NULL, path, &how, &parcels, err);
    if (s) return s;
    while (!(s = sv_parcels_next(parcels, arena, &p, err)) && p) {
        *last = p;
        if (!*first) *first = p->findings.first;
    }
    sv_parcels_close(parcels);
    return s;
}

static void judge_fault(const sv_table *t, size_t i)
{
    const char *id = field(t, i, "id"), *text = field(t, i, "text"), *words = field(t, i, "words");
    char *bytes = strdup(text);
    for (char *b = bytes; *b; b++)
        *b = *b == '\x01' ? '\xE9' : *b == '\x02' ? '\r' : *b;
    const char *path = file_of("fault", bytes, strlen(bytes));
    free(bytes);
    const sv_finding *first;
    const sv_parcel *last;
    sv_error err = {0};
    sv_status s = read_all(path, field(t, i, "format")[0], &first, &last, &err);
    same(id, "outcome", field(t, i, "outcome"), s == SV_OK ? "ok" : s == SV_BAD_FORMAT ? "format" : err.text);
    same(id, "code", field(t, i, "code"), first ? sv_code_word(first->code) : "");
    same(id, "place", field(t, i, "place"), first ? first->place : "");
    const char *said = first ? sv_format(arena, "%s %s", first->message, first->remedy) : err.text;
    if (!strstr(said, words)) fail_msg("%s: \"%s\" does not stand in: %s", id, words, said);
    if (s == SV_OK) return;
    if (strncmp(err.text, path, strlen(path)) != 0) fail_msg("%s: no place in: %s", id, err.text);
}

static void faults_are_named_with_their_place(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "read-faults");
    for (size_t i = 0; i < t->rows; i++)
        judge_fault(t, i);
}

static void a_missing_file_is_the_systems_refusal(void **state)
{
    (void)state;
    const sv_finding *first;
    const sv_parcel *last;
    sv_error err = {0};
    assert_int_equal(read_all("/nowhere/orders.csv", 0, &first, &last, &err), SV_SYSTEM);
    assert_non_null(strstr(err.text, "/nowhere/orders.csv"));
    assert_int_equal(read_all(folder, 0, &first, &last, &err), SV_SYSTEM);
    assert_int_equal(read_all("/nowhere/parcels.xml", 'x', &first, &last, &err), SV_SYSTEM);
}

static void large_files_are_refused_or_read_flat(void **state)
{
    (void)state;
    const char *path = sv_format(arena, "%s/large", folder);
    const sv_finding *first;
    const sv_parcel *last;
    sv_error err = {0};
    int status;
    run(arena,
        sv_format(arena,
                  "{ printf '<parcels xmlns=\"urn:selvedge:parcel:1\">'; head -c 100000000 /dev/zero | tr "
                  "'\\0' ' '; } > %s",
                  path),
        &status);
    assert_int_equal(status, 0);
    assert_int_equal(read_all(path, 0, &first, &last, &err), SV_LIMIT);
    assert_non_null(strstr(err.text, "64 MB"));
    run(arena,
        sv_format(arena,
                  "{ printf 'parcel,block,text\\nA,\"'; head -c 100000000 /dev/zero | tr '\\0' x; } > %s",
                  path),
        &status);
    assert_int_equal(status, 0);
    sv_status s = read_all(path, 0, &first, &last, &err);
    assert_true(s == SV_LIMIT || s == SV_BAD_FORMAT);
    assert_non_null(strstr(err.text, ":2"));
    unlink(path);
}

/* ---- whole parcels ------------------------------------------------------------------------------ */

static void put_field(sv_buf *b, const sv_field *f, const void *record)
{
    const char *at = (const char *)record + f->offset;
    sv_dec number;
    const char *text;
    switch (f->kind) {
    case SV_FIELD_AMOUNT:
    case SV_FIELD_WEIGHT:
    case SV_FIELD_LENGTH:
    case SV_FIELD_COUNT:
        memcpy(&number, at, sizeof number);
        text = sv_dec_text_short(arena, number);
        break;
    case SV_FIELD_YES: text = *(const bool *)at ? "yes" : ""; break;
    case SV_FIELD_TEXT:
    case SV_FIELD_WORD:
    case SV_FIELD_MUST:
    case SV_FIELD_DATE:
    default: memcpy(&text, at, sizeof text); break;
    }
    if (!*text) return;
    sv_put_format(b, "%s\t", f->name);
    sv_put_tsv(b, text);
    sv_put(b, "\n");
}

/* Everything a parcel states, as text. */
static void put_parcel(sv_buf *b, const sv_parcel *p)
{
    sv_put_format(b, "parcel\t%s\n", p->reference);
    for (size_t i = 0; i < SV_PARCEL_FIELDS; i++)
        put_field(b, &sv_parcel_fields[i], p);
    for (size_t k = 0; k < p->pieces; k++) {
        sv_put(b, "piece\n");
        for (size_t i = 0; i < SV_PIECE_FIELDS; i++)
            put_field(b, &sv_piece_fields[i], &p->piece[k]);
    }
    sv_put_format(b, "sender\t%s\t%s\n", p->profile.address.recipient, p->profile.eori);
    for (const sv_finding *f = p->findings.first; f; f = f->next)
        sv_put_format(b, "%s:%s\n", sv_severity_word(f->severity), sv_code_word(f->code));
}

static const char *all_of(const char *path, const char *profiles, size_t *count)
{
    sv_parcels *parcels;
    sv_error err = {0};
    sv_reading how = {.profiles = profiles};
    if (sv_parcels_open(NULL, path, &how, &parcels, &err)) fail_msg("%s", err.text);
    sv_buf b;
    sv_buf_init(&b, 0);
    const sv_parcel *p;
    *count = 0;
    while (!sv_parcels_next(parcels, arena, &p, &err) && p) {
        put_parcel(&b, p);
        ++*count;
    }
    if (err.text[0]) fail_msg("%s", err.text);
    sv_parcels_close(parcels);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static void the_demo_is_the_same_in_both_forms(void **state)
{
    (void)state;
    size_t csv, xml;
    const char *a = all_of("data/demo/orders.csv", "data/demo/profiles", &csv);
    const char *b = all_of("data/demo/parcels.xml", "data/demo/profiles", &xml);
    assert_int_equal(csv, xml);
    assert_true(csv >= 5);
    same("demo", "all fields", a, b);
    assert_null(strstr(a, "stop:"));
    assert_null(strstr(a, "caution:"));
    assert_non_null(strstr(a, "sender\tRosalía Montoro Inventada\tES00000000T\n"));
}

/* The example of a page of the docs, from the line after ```NAME to the next ```. */
static const char *example_in(const char *page, const char *name)
{
    const char *text = slurp(arena, page, NULL), *mark = sv_format(arena, "```%s\n", name);
    assert_non_null(text);
    const char *start = strstr(text, mark);
    if (!start) fail_msg("%s has no example marked %s", page, name);
    start += strlen(mark);
    const char *end = strstr(start, "```");
    assert_non_null(end);
    return sv_copy_n(arena, start, (size_t)(end - start));
}

static void the_examples_of_the_docs_are_read(void **state)
{
    (void)state;
    const char *csv = example_in("docs/orders-table.md", "csv"),
               *xml = example_in("docs/parcel-xml.md", "xml");
    const char *profile = example_in("docs/orders-table.md", "profile");
    int status;
    run(arena, sv_format(arena, "mkdir -p %s/profiles", folder), &status);
    file_of("profiles/ada.tsv", profile, strlen(profile));
    const char *profiles = sv_format(arena, "%s/profiles", folder);
    size_t rows, elements;
    const char *a = all_of(file_of("doc.csv", csv, strlen(csv)), profiles, &rows);
    const char *b = all_of(file_of("doc.xml", xml, strlen(xml)), profiles, &elements);
    assert_int_equal(rows, 2);
    same("docs", "the two examples", a, b);
    assert_null(strstr(a, "stop:"));
    assert_non_null(strstr(a, "net_weight\t209.786471125\n"));
    assert_non_null(strstr(a, "length\t355.6\n"));
    assert_non_null(strstr(a, "free\tyes\n"));
}

static void a_column_may_stand_on_the_first_row_only(void **state)
{
    (void)state;
    static const char csv[] =
        "parcel,country,postage,text\nA,JP,5.00,shirt\nA,,,skirt\nA,JP,5.00,coat\nB,FR,,vest\n";
    size_t n;
    const char *got = all_of(file_of("rows.csv", csv, sizeof csv - 1), NULL, &n);
    same("rows", "both parcels",
         "parcel\tA\ncountry\tJP\npostage\t5\npiece\ntext\tshirt\npiece\ntext\tskirt\npiece\ntext\tcoat\nsend"
         "er\t\t\n"
         "parcel\tB\ncountry\tFR\npiece\ntext\tvest\nsender\t\t\n",
         got);
}

static const sv_finding *finding_of(const sv_parcel *p, const char *code)
{
    for (const sv_finding *f = p->findings.first; f; f = f->next) {
        if (strcmp(sv_code_word(f->code), code) == 0) return f;
    }
    return NULL;
}

static void equal_references_are_noticed_within_and_across_files(void **state)
{
    (void)state;
    static const char first[] = "parcel,country,text\nA,JP,shirt\nB,JP,skirt\nA,JP,coat\n";
    static const char second[] =
        "<parcels xmlns='urn:selvedge:parcel:1'>\n<parcel reference='C'/>\n<parcel reference='B'/></parcels>";
    const char *files[] = {file_of("one.csv", first, sizeof first - 1),
                           file_of("two.xml", second, sizeof second - 1)};
    sv_references *references = sv_references_new();
    sv_reading how = {.references = references};
    sv_buf b;
    sv_buf_init(&b, 0);
    for (int i = 0; i < 2; i++) {
        sv_parcels *parcels;
        sv_error err = {0};
        assert_int_equal(sv_parcels_open(NULL, files[i], &how, &parcels, &err), SV_OK);
        const sv_parcel *p;
        while (!sv_parcels_next(parcels, arena, &p, &err) && p) {
            const sv_finding *f = finding_of(p, "reference-twice");
            sv_put_format(&b, "%s%s ", p->reference, f ? "!" : "");
            if (!f) continue;
            assert_true(f->final);
            if (i == 0) assert_true(strstr(f->message, "line 2") && strstr(f->message, "line 4"));
            if (i == 1)
                assert_true(strstr(f->message, "one.csv, line 3") && strstr(f->message, "two.xml, line 3"));
        }
        sv_parcels_close(parcels);
    }
    sv_references_free(references);
    assert_string_equal(b.data, "A B A! C B! ");
    sv_buf_free(&b);
}

/* Expected by our own rule (docs/orders-table.md) and RFC 3986's percent-coding of the UTF-8 bytes. */
static void references_become_folders(void **state)
{
    (void)state;
    static const char *const pairs[][2] = {{"A-1_b.2", "A-1_b.2"}, {"A/1", "A%2F1"}, {"..", "%2E."},
                                           {"a b", "a%20b"},       {"é", "%C3%A9"},  {"a%2F", "a%252F"}};
    for (size_t i = 0; i < sizeof pairs / sizeof *pairs; i++)
        same(pairs[i][0], "folder", pairs[i][1], sv_reference_folder(arena, pairs[i][0]));
    /* Sixty ideographs are 180 bytes, coded 540; a file system takes 255. */
    char far[181] = "", near[181];
    for (int i = 0; i < 60; i++)
        strncat(far, "\xE4\xBA\xAC", 4);
    memcpy(near, far, sizeof near);
    near[179] ^= 1;
    const char *a = sv_reference_folder(arena, far), *b = sv_reference_folder(arena, near);
    assert_true(strlen(a) <= 255 && strlen(b) <= 255 && strcmp(a, b) != 0);
    assert_int_equal(strncmp(a, "%E4%BA%AC%E4", 12), 0);
}

static const sv_parcel *parcel_with_sender(const char *sender, const char *profiles)
{
    const char *csv = sv_format(arena, "parcel,country,sender,text\nA,JP,%s,shirt\n", sender);
    sv_parcels *parcels;
    sv_error err = {0};
    sv_reading how = {.profiles = profiles};
    const sv_parcel *p;
    assert_int_equal(sv_parcels_open(NULL, file_of("sender.csv", csv, strlen(csv)), &how, &parcels, &err),
                     SV_OK);
    assert_int_equal(sv_parcels_next(parcels, arena, &p, &err), SV_OK);
    sv_parcels_close(parcels);
    return p;
}

static void a_profile_stays_in_its_folder(void **state)
{
    (void)state;
    const char *demo = "data/demo/profiles";
    assert_non_null(finding_of(parcel_with_sender("../profiles/montoro", demo), "profile-name"));
    assert_non_null(finding_of(parcel_with_sender("nobody", demo), "profile-missing"));
    assert_non_null(finding_of(parcel_with_sender("montoro", NULL), "profile-folder"));
    const sv_parcel *p = parcel_with_sender("montoro", demo);
    assert_null(p->findings.first);
    assert_string_equal(p->profile.address.country, "ES");
    assert_string_equal(p->profile.status, "trader");
    assert_string_equal(p->profile.vat_registered, "yes");
    assert_string_equal(parcel_with_sender("", demo)->profile.address.country, "");
}

static void a_profile_is_judged(void **state)
{
    (void)state;
    static const char text[] =
        "# a comment\nname\tAda\nstreet_lines\t1 Row\\nFlat 2\nstatus\tfirm\ncolour\tblue\nEORI\tGB1\n";
    sv_profile p;
    sv_findings findings = sv_findings_in(arena);
    sv_error err = {0};
    assert_int_equal(sv_profile_read("profiles", "ada", text, &p, &findings, &err), SV_OK);
    assert_string_equal(p.address.recipient, "Ada");
    assert_string_equal(p.address.street_lines, "1 Row\nFlat 2");
    assert_string_equal(p.status, "");
    assert_string_equal(p.eori, "GB1");
    assert_int_equal(findings.notes, 1);
    assert_int_equal(findings.cautions, 1);
    assert_non_null(strstr(findings.first->message, "line 4"));
    assert_non_null(strstr(findings.last->message, "line 5"));
}

#if defined(__SANITIZE_ADDRESS__)
#define FLAT_KB 600000 /* the sanitizer keeps what was freed */
#else
#define FLAT_KB 12000
#endif

static long peak_kb(void)
{
    struct rusage u;
    getrusage(RUSAGE_SELF, &u);
    return u.ru_maxrss;
}

/* A hundred thousand parcels take no more memory than a few, but for the list of references (40 bytes each at
 * most). */
static void long_files_stay_flat(void **state)
{
    (void)state;
    enum { PARCELS = 100000 };
    const char *csv = sv_format(arena, "%s/long.csv", folder), *xml = sv_format(arena, "%s/long.xml", folder);
    FILE *c = fopen(csv, "w"), *x = fopen(xml, "w");
    assert_true(c && x);
    fputs("parcel,country,recipient,city,text,net_weight,unit_value\n", c);
    fputs("<parcels xmlns='urn:selvedge:parcel:1'>\n", x);
    for (int i = 0; i < PARCELS; i++) {
        fprintf(c, "ref-%d,JP,Hanako Example,Kyoto,cotton jumper,430 g,32.00\n", i);
        fprintf(x,
                "<parcel reference='ref-%d'><country>JP</country><recipient>Hanako "
                "Example</recipient><city>Kyoto</city>"
                "<piece><text>cotton jumper</text><net_weight>430 "
                "g</net_weight><unit_value>32.00</unit_value></piece>"
                "</parcel>\n",
                i);
    }
    fputs("</parcels>\n", x);
    fclose(c);
    fclose(x);
    const char *files[] = {csv, xml};
    sv_arena *one = sv_arena_new();
    for (int k = 0; k < 2; k++) {
        long before = peak_kb();
        sv_parcels *parcels;
        sv_error err = {0};
        sv_reading how = {0};
        if (sv_parcels_open(NULL, files[k], &how, &parcels, &err)) fail_msg("%s", err.text);
        const sv_parcel *p;
        int n = 0;
        while (!sv_parcels_next(parcels, one, &p, &err) && p) {
            n++;
            sv_arena_reset(one);
        }
        if (err.text[0]) fail_msg("%s", err.text);
        sv_parcels_close(parcels);
        assert_int_equal(n, PARCELS);
        long grown = peak_kb() - before;
        print_message("%s: grown by %ld KB\n", files[k], grown);
        assert_true(grown < FLAT_KB);
    }
    sv_arena_free(one);
}

/* ---- the commands over bad input ---------------------------------------------------------------- */

static const char *with_breaks(const char *text)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (; *text; text++) {
        bool mark = text[0] == '%' && text[1] == '%';
        sv_put_char(&b, mark ? '\n' : *text);
        text += mark;
    }
    const char *copy = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return copy;
}

static void bad_input_has_its_status_and_leaves_nothing_half_written(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "bad-input");
    const char *build = getenv("BUILD") ? getenv("BUILD") : "build";
    for (size_t i = 0; i < t->rows; i++) {
        const char *id = field(t, i, "id"), *name = field(t, i, "file"),
                   *text = with_breaks(field(t, i, "text"));
        const char *path = *name == '.' ? folder
                           : *name      ? file_of(name, text, strlen(text))
                                        : "/nowhere/x.csv";
        bool papers = *field(t, i, "command") == 'p';
        const char *into = sv_format(arena, "%s/out-%zu", folder, i);
        const char *line =
            sv_format(arena, "%s/selvedge %s '%s' %s%s 2>&1", build, papers ? "papers" : "check", path,
                      papers ? "--into " : "", papers ? into : "");
        int status;
        const char *said = run(arena, line, &status);
        if (!strstr(said, field(t, i, "words")))
            fail_msg("%s: \"%s\" is not said in:\n%s", id, field(t, i, "words"), said);
        same(id, "exit status", field(t, i, "status"), sv_format(arena, "%d", status));
        if (status == 3 && papers) assert_int_not_equal(access(into, F_OK), 0);
    }
    int status;
    const char *left =
        run(arena, sv_format(arena, "find %s/out-* -type f ! -name dossier.json", folder), &status);
    same("papers", "files left by stopped parcels", "", left);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(long_files_stay_flat),
        cmocka_unit_test(measures_are_exact),
        cmocka_unit_test(faults_are_named_with_their_place),
        cmocka_unit_test(a_missing_file_is_the_systems_refusal),
        cmocka_unit_test(large_files_are_refused_or_read_flat),
        cmocka_unit_test(the_demo_is_the_same_in_both_forms),
        cmocka_unit_test(the_examples_of_the_docs_are_read),
        cmocka_unit_test(a_column_may_stand_on_the_first_row_only),
        cmocka_unit_test(equal_references_are_noticed_within_and_across_files),
        cmocka_unit_test(references_become_folders),
        cmocka_unit_test(a_profile_stays_in_its_folder),
        cmocka_unit_test(a_profile_is_judged),
        cmocka_unit_test(bad_input_has_its_status_and_leaves_nothing_half_written),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
