/* test_ubl.c - the dossier as UBL: every mapped value read back, valid under both versions, nothing empty. */
#include "support.h"

#include <string.h>
#include <sys/stat.h>
#include <time.h>

#include <libxml/parser.h>
#include <libxml/xmlschemas.h>
#include <libxml/xpath.h>
#include <libxml/xpathInternals.h>

#include "papers/ubl.h"
#include "tree.h"

#define SPACE   "urn:oasis:names:specification:ubl:schema:xsd:"
#define SCHEMAS "../shared/reference/ubl-xsd"

static sv_arena *arena;

static const struct {
    const char *word, *root;
    sv_ubl_kind kind;
} documents[] = {{"declaration", "ExportCustomsDeclaration", SV_UBL_DECLARATION},
                 {"invoice", "Invoice", SV_UBL_INVOICE},
                 {"packing-list", "PackingList", SV_UBL_PACKING_LIST}};

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

static const char *text_of(const sv_node *tree, sv_ubl_kind kind)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    bool written;
    sv_error err = {0};
    if (sv_ubl_write(tree, kind, &b, &written, &err)) fail_msg("%s", err.text);
    const char *text = written ? sv_buf_copy(&b, arena) : NULL;
    sv_buf_free(&b);
    return text;
}

static xmlDocPtr parsed(const char *text)
{
    xmlDocPtr doc = xmlReadMemory(text, (int)strlen(text), NULL, NULL, XML_PARSE_NONET);
    assert_non_null(doc);
    return doc;
}

/* ---- read back ---------------------------------------------------------------------------------- */

static xmlXPathContextPtr context_of(xmlDocPtr doc, const char *root)
{
    xmlXPathContextPtr c = xmlXPathNewContext(doc);
    assert_non_null(c);
    xmlXPathRegisterNs(c, BAD_CAST "d", BAD_CAST sv_format(arena, SPACE "%s-2", root));
    xmlXPathRegisterNs(c, BAD_CAST "cac", BAD_CAST SPACE "CommonAggregateComponents-2");
    xmlXPathRegisterNs(c, BAD_CAST "cbc", BAD_CAST SPACE "CommonBasicComponents-2");
    return c;
}

static const char *value_at(xmlXPathContextPtr c, const char *xpath)
{
    xmlXPathObjectPtr o = xmlXPathEvalExpression(BAD_CAST xpath, c);
    if (!o) fail_msg("not an XPath: %s", xpath);
    bool found = o->nodesetval && o->nodesetval->nodeNr == 1;
    xmlChar *content = found ? xmlXPathCastToString(o) : NULL;
    const char *copy = content ? sv_copy(arena, (const char *)content) : NULL;
    xmlFree(content);
    xmlXPathFreeObject(o);
    return copy;
}

static void every_mapped_value_is_read_back(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "ubl-map");
    const sv_node *tree = tree_of_a_parcel(arena);
    for (size_t k = 0; k < 3; k++) {
        xmlDocPtr doc = parsed(text_of(tree, documents[k].kind));
        xmlXPathContextPtr c = context_of(doc, documents[k].root);
        size_t seen = 0;
        for (size_t i = 0; i < t->rows; i++) {
            if (strcmp(field(t, i, "document"), documents[k].word) != 0) continue;
            const char *path = field(t, i, "path"), *xpath = field(t, i, "xpath");
            const char *wanted = sv_text_at(tree, sv_trim(arena, path, strlen(path))),
                       *got = value_at(c, xpath);
            if (!*wanted) fail_msg("the tree of the test has no %s", path);
            if (!got) fail_msg("%s: not exactly one %s", path, xpath);
            same(xpath, path, wanted, got);
            seen++;
        }
        assert_true(seen > 20);
        xmlXPathFreeContext(c);
        xmlFreeDoc(doc);
    }
}

/* UBL 2.3 says what the amounts of an invoice are (MonetaryTotal, InvoiceLine): they must hang together. The
 * check is XPath arithmetic over the document. */
static void the_sums_of_the_invoice_hold(void **state)
{
    (void)state;
    static const char *const sums[] = {
        "sum(//cac:InvoiceLine/cbc:LineExtensionAmount) = "
        "/d:Invoice/cac:LegalMonetaryTotal/cbc:LineExtensionAmount",
        "sum(/d:Invoice/cac:AllowanceCharge/cbc:Amount) = "
        "/d:Invoice/cac:LegalMonetaryTotal/cbc:ChargeTotalAmount",
        "/d:Invoice/cac:LegalMonetaryTotal/cbc:LineExtensionAmount + "
        "/d:Invoice/cac:LegalMonetaryTotal/cbc:ChargeTotalAmount = "
        "/d:Invoice/cac:LegalMonetaryTotal/cbc:PayableAmount",
        "//cac:InvoiceLine[1]/cac:Price/cbc:PriceAmount * //cac:InvoiceLine[1]/cbc:InvoicedQuantity - "
        "//cac:InvoiceLine[1]/cac:AllowanceCharge[cbc:ChargeIndicator='false']/cbc:Amount = "
        "//cac:InvoiceLine[1]/cbc:LineExtensionAmount",
        "//cac:InvoiceLine[2]/cac:AllowanceCharge/cbc:Amount = 1.5 and "
        "//cac:InvoiceLine[2]/cbc:LineExtensionAmount = 0",
        "count(//cac:InvoiceLine) = /d:Invoice/cbc:LineCountNumeric",
    };
    xmlDocPtr doc = parsed(text_of(tree_of_a_parcel(arena), SV_UBL_INVOICE));
    xmlXPathContextPtr c = context_of(doc, "Invoice");
    for (size_t i = 0; i < sizeof sums / sizeof *sums; i++) {
        xmlXPathObjectPtr o = xmlXPathEvalExpression(BAD_CAST sums[i], c);
        if (!o || !xmlXPathCastToBoolean(o)) fail_msg("does not hold: %s", sums[i]);
        xmlXPathFreeObject(o);
    }
    xmlXPathFreeContext(c);
    xmlFreeDoc(doc);
}

/* ---- from the orders table to the XML ----------------------------------------------------------- */

typedef struct demo {
    sv_world *world;
    sv_press *press;
    sv_parcels *parcels;
} demo;

static demo open_demo(void)
{
    demo d = {.world = open_world(0)};
    sv_error err = {0};
    sv_reading how = {.profiles = "data/demo/profiles"};
    d.press = sv_press_new(d.world);
    assert_non_null(d.press);
    if (sv_parcels_open(d.world, "data/demo/orders.csv", &how, &d.parcels, &err)) fail_msg("%s", err.text);
    return d;
}

static const sv_dossier *next_dossier(demo *d)
{
    sv_error err = {0};
    const sv_parcel *parcel;
    sv_dossier *dossier;
    sv_prepare_options options = {.date = "2026-11-25"};
    if (sv_parcels_next(d->parcels, arena, &parcel, &err)) fail_msg("%s", err.text);
    if (!parcel) return NULL;
    if (sv_prepare(d->world, d->press, arena, parcel, &options, &dossier, &err)) fail_msg("%s", err.text);
    return dossier;
}

static void close_demo(demo *d)
{
    sv_parcels_close(d->parcels);
    sv_press_free(d->press);
    sv_world_close(d->world);
}

/* Every value of the written dossier that the map names, of a parcel that was really prepared. */
static void compare_map(const sv_table *t, const sv_node *tree, size_t k, xmlXPathContextPtr c)
{
    for (size_t i = 0; i < t->rows; i++) {
        const char *path = field(t, i, "path"),
                   *wanted = sv_text_at(tree, sv_trim(arena, path, strlen(path)));
        bool ours = strcmp(field(t, i, "document"), documents[k].word) == 0 && *wanted;
        if (!ours || strcmp(wanted, "false") == 0) continue;
        const char *got = value_at(c, field(t, i, "xpath"));
        same(sv_text_at(tree, "reference"), path, wanted, got ? got : "(nothing)");
    }
}

static size_t compare_values(const sv_table *t, const sv_dossier *d, size_t k, xmlXPathContextPtr c)
{
    size_t seen = 0;
    for (size_t i = 0; i < t->rows; i++) {
        bool ours = strcmp(field(t, i, "parcel"), d->reference) == 0 &&
                    strcmp(field(t, i, "document"), documents[k].word) == 0;
        if (!ours) continue;
        const char *got = value_at(c, field(t, i, "xpath"));
        same(d->reference, field(t, i, "xpath"), field(t, i, "value"), got ? got : "(nothing)");
        seen++;
    }
    return seen;
}

static void the_orders_stand_in_the_xml(void **state)
{
    (void)state;
    const sv_table *map = expected(arena, "ubl-map"), *values = expected(arena, "demo-xml");
    demo open = open_demo();
    size_t seen = 0;
    for (const sv_dossier *d; (d = next_dossier(&open)) != NULL;) {
        for (size_t k = 0; k < 3; k++) {
            const char *text = d->stopped ? NULL : text_of(d->tree, documents[k].kind);
            if (!text) continue;
            xmlDocPtr doc = parsed(text);
            xmlXPathContextPtr c = context_of(doc, documents[k].root);
            if (d->declaration.needed) compare_map(map, d->tree, k, c); /* else there is none to refer to */
            seen += compare_values(values, d, k, c);
            sv_findings findings = sv_findings_in(arena);
            assert_int_equal(
                sv_ubl_check(open.world, arena, d->reference, text, strlen(text), &findings, NULL), SV_OK);
            if (findings.first) fail_msg("%s: %s", d->reference, findings.first->message);
            xmlXPathFreeContext(c);
            xmlFreeDoc(doc);
        }
    }
    assert_int_equal(seen, values->rows);
    close_demo(&open);
}

/* ---- valid -------------------------------------------------------------------------------------- */

static char first_fault[512];

static void keep_fault(void *data, xmlErrorPtr error)
{
    (void)data;
    if (!first_fault[0]) strncat(first_fault, error->message, sizeof first_fault - 1);
}

static bool valid_under(const char *version, const char *root, const char *text)
{
    const char *path = sv_format(arena, SCHEMAS "/%s/maindoc/UBL-%s-%s.xsd", version, root, version);
    xmlSchemaParserCtxtPtr parser = xmlSchemaNewParserCtxt(path);
    xmlSchemaPtr schema = xmlSchemaParse(parser);
    xmlSchemaFreeParserCtxt(parser);
    assert_non_null(schema);
    xmlSchemaValidCtxtPtr judge = xmlSchemaNewValidCtxt(schema);
    first_fault[0] = 0;
    xmlSchemaSetValidStructuredErrors(judge, keep_fault, NULL);
    xmlDocPtr doc = parsed(text);
    bool valid = xmlSchemaValidateDoc(judge, doc) == 0;
    xmlFreeDoc(doc);
    xmlSchemaFreeValidCtxt(judge);
    xmlSchemaFree(schema);
    return valid;
}

/* A tree that knows little: what was not stated must be left out, not be empty. */
static const sv_node *bare_tree(void)
{
    sv_node *root = sv_node_root(arena);
    tree_values(arena, root,
                (const char *const[][2]){{"reference", "x"},
                                         {"date", "2026-11-25"},
                                         {"currency", "JPY"},
                                         {"category", "gift"},
                                         {"category_code", "31"},
                                         {NULL, NULL}});
    sv_node *sender = sv_node_record(arena, root, "sender");
    sv_node_text(arena, sender, "recipient", "Ada");
    sv_node *line = sv_node_record(arena, sv_node_list(arena, root, "line"), "");
    tree_values(arena, line,
                (const char *const[][2]){{"number", "1"},
                                         {"description", "scarf"},
                                         {"paid", "0"},
                                         {"unit_value", "500"},
                                         {"quantity", "1"},
                                         {NULL, NULL}});
    tree_values(arena, sv_node_record(arena, root, "totals"),
                (const char *const[][2]){{"invoice_total", "0"}, {NULL, NULL}});
    tree_values(arena, sv_node_record(arena, root, "references"),
                (const char *const[][2]){{"invoice", "x"}, {NULL, NULL}});
    return root;
}

static void valid_under_both_versions(void **state)
{
    (void)state;
    struct stat st;
    if (stat(SCHEMAS, &st) != 0) {
        print_message("SKIP: the OASIS schemas are not at " SCHEMAS "\n");
        skip();
    }
    const sv_node *trees[] = {tree_of_a_parcel(arena), bare_tree()};
    for (size_t i = 0; i < 2; i++) {
        for (size_t k = 0; k < 3; k++) {
            const char *text = text_of(trees[i], documents[k].kind);
            assert_non_null(text);
            if (!valid_under("2.3", documents[k].root, text))
                fail_msg("2.3, %s: %s", documents[k].word, first_fault);
            if (!valid_under("2.4", documents[k].root, text))
                fail_msg("2.4, %s: %s", documents[k].word, first_fault);
        }
    }
    assert_false(
        valid_under("2.3", "Invoice", "<Invoice xmlns='" SPACE "Invoice-2'/>")); /* the judge can say no */
}

/* UBL 2.3, rules IND5 and IND9: no empty elements or attributes; IND7: repeated text only in different
 * languages. */
static void nothing_is_empty(void **state)
{
    (void)state;
    const sv_node *trees[] = {tree_of_a_parcel(arena), bare_tree()};
    for (size_t i = 0; i < 2; i++) {
        for (size_t k = 0; k < 3; k++) {
            const char *text = text_of(trees[i], documents[k].kind);
            assert_int_equal(strncmp(text, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n", 39), 0);
            xmlDocPtr doc = parsed(text);
            xmlXPathContextPtr c = context_of(doc, documents[k].root);
            assert_null(value_at(c, "(//*[not(*) and normalize-space()=''])[1]"));
            assert_null(value_at(c, "(//@*[normalize-space()=''])[1]"));
            assert_null(
                value_at(c, "(//*[count(cbc:Note[not(@languageID)]) > 1 or count(cbc:Description) > 1])[1]"));
            xmlXPathFreeContext(c);
            xmlFreeDoc(doc);
        }
    }
}

static void without_what_is_mandatory_nothing_is_written(void **state)
{
    (void)state;
    sv_node *root = sv_node_root(arena);
    sv_node_text(arena, root, "reference", "x");
    sv_node_text(arena, root, "date", "2026-11-25");
    for (size_t k = 0; k < 3; k++)
        assert_null(text_of(root, documents[k].kind));
    sv_node_text(arena, sv_node_record(arena, root, "sender"), "recipient", "Ada");
    assert_non_null(text_of(root, SV_UBL_DECLARATION));
    assert_null(text_of(root, SV_UBL_INVOICE));
}

static void same_tree_same_bytes_and_fast(void **state)
{
    (void)state;
    const sv_node *tree = tree_of_a_parcel(arena);
    const char *first = text_of(tree, SV_UBL_DECLARATION);
    same("declaration", "bytes", first, text_of(tree_of_a_parcel(arena), SV_UBL_DECLARATION));
    enum { TIMES = 2000 };
    sv_buf b;
    sv_buf_init(&b, 0);
    bool written;
    struct timespec from, to;
    clock_gettime(CLOCK_MONOTONIC, &from);
    for (int i = 0; i < TIMES; i++) {
        sv_buf_reset(&b);
        for (size_t k = 0; k < 3; k++)
            assert_int_equal(sv_ubl_write(tree, documents[k].kind, &b, &written, NULL), SV_OK);
    }
    clock_gettime(CLOCK_MONOTONIC, &to);
    double us = ((double)(to.tv_sec - from.tv_sec) * 1e9 + (double)(to.tv_nsec - from.tv_nsec)) / 1e3 / TIMES;
    print_message("the three documents of a parcel: %.0f us, %zu bytes\n", us, b.length);
    sv_buf_free(&b);
    assert_true(us < 20000); /* a bound for any machine; the figure is in the message */
}

/* ---- the data sheet ----------------------------------------------------------------------------- */

/* The order of the fields is that of the CN 23 (UPU, 2018 layout): From, reference, item, To, then the
 * contents row by row, totals, charges, category, and the documents. */
static void the_data_sheet_follows_the_form(void **state)
{
    (void)state;
    static const char *const order[][2] = {
        {"sender name", "Ada Exämple"},
        {"sender business", "Attic & Co"},
        {"sender street", "12 Example Street, Flat \"4\" & garden"},
        {"sender postcode", "H91 X0X0"},
        {"sender town", "Galway"},
        {"sender country", "Ireland"},
        {"sender's customs reference", "IE0000000A"},
        {"item number", "CX000000120IE"},
        {"addressee name", "Hanako Mihon"},
        {"addressee e-mail", "hanako@example.org"},
        {"importer's reference", "NUMBER-1"},
        {"line 1: 1 description", "2 women's knitted jumpers, 100 % cotton, used"},
        {"line 1: 2 quantity", "2"},
        {"line 1: 3 net weight (kg)", "0.860"},
        {"line 1: 5 value (EUR)", "61.00"},
        {"line 1: 7 HS tariff number", "611020"},
        {"line 1: 8 country of origin", "Portugal"},
        {"line 2: 5 value (EUR)", "1.50"},
        {"4 total gross weight (kg)", "1.040"},
        {"6 total value (EUR)", "62.50"},
        {"9 postal charges (EUR)", "12.50"},
        {"9 insurance (EUR)", "2.00"},
        {"10 category of item", "sale"},
        {"11 comments", "worn & washed"},
        {"12 licence", "LIC-7"},
        {"13 certificate", "CERT-8"},
        {"14 invoice", "INV-9"},
        {"15 signed by", "A. Exämple"},
        {"scheme number", "IM3720000001"},
        {"note", "The official rules decide."}};
    sv_buf b;
    sv_buf_init(&b, 0);
    assert_int_equal(sv_data_sheet_write(tree_of_a_parcel(arena), &b, NULL), SV_OK);
    const char *from = b.data;
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        const char *line = sv_format(arena, "%s\t%s\n", order[i][0], order[i][1]), *at = strstr(from, line);
        if (!at) fail_msg("not there, or not in its order: %s", line);
        from = at + strlen(line);
    }
    for (const char *p = b.data; *p; p = strchr(p, '\n') + 1) {
        size_t n = strcspn(p, "\n");
        const char *tab = memchr(p, '\t', n);
        assert_true(tab && tab > p && tab < p + n - 1 && !memchr(tab + 1, '\t', n - (size_t)(tab + 1 - p)));
    }
    sv_buf_free(&b);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_mapped_value_is_read_back),
        cmocka_unit_test(the_orders_stand_in_the_xml),
        cmocka_unit_test(the_sums_of_the_invoice_hold),
        cmocka_unit_test(valid_under_both_versions),
        cmocka_unit_test(nothing_is_empty),
        cmocka_unit_test(without_what_is_mandatory_nothing_is_written),
        cmocka_unit_test(same_tree_same_bytes_and_fast),
        cmocka_unit_test(the_data_sheet_follows_the_form),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
