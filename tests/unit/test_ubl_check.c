/* test_ubl_check.c - the judge of UBL documents: what is right passes, each fault is named, and on the
 * structure it says what the official schemas say, document by document, for every element taken out,
 * doubled, moved or renamed. */
#include "support.h"

#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include <libxml/parser.h>
#include <libxml/xmlschemas.h>

#include "base/files.h"
#include "papers/ubl.h"
#include "tree.h"

#define SCHEMAS "../shared/reference/ubl-xsd"

static sv_arena *arena;
static sv_world *world;

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
    world = open_world(0);
    return arena && world ? 0 : -1;
}

static int teardown(void **state)
{
    (void)state;
    sv_world_close(world);
    sv_arena_free(arena);
    return 0;
}

static const char *document(const char *word)
{
    for (size_t k = 0; k < 3; k++) {
        if (strcmp(documents[k].word, word) != 0) continue;
        sv_buf b;
        sv_buf_init(&b, 0);
        bool written;
        assert_int_equal(sv_ubl_write(tree_of_a_parcel(arena), documents[k].kind, &b, &written, NULL), SV_OK);
        assert_true(written);
        const char *text = sv_buf_copy(&b, arena);
        sv_buf_free(&b);
        return text;
    }
    fail_msg("no document %s", word);
    return NULL;
}

static sv_findings judged(const char *text, size_t bytes, sv_arena *memory)
{
    sv_findings findings = sv_findings_in(memory);
    sv_error err = {0};
    if (sv_ubl_check(world, memory, "test", text, bytes, &findings, &err)) fail_msg("%s", err.text);
    return findings;
}

static const char *list_of(const sv_findings *findings)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (const sv_finding *f = findings->first; f; f = f->next)
        sv_put_format(&b, "\n  %s:%s %s: %s", sv_severity_word(f->severity), sv_code_word(f->code), f->place,
                      f->message);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static void ours_pass(void **state)
{
    (void)state;
    for (size_t k = 0; k < 3; k++) {
        const char *text = document(documents[k].word);
        sv_ubl_kind kind;
        assert_true(sv_ubl_kind_of(text, strlen(text), &kind) && kind == documents[k].kind);
        sv_findings f = judged(text, strlen(text), arena);
        if (f.stops || f.cautions) fail_msg("%s: %s", documents[k].word, list_of(&f));
    }
}

/* ---- faults ------------------------------------------------------------------------------------- */

/* `text` with the first `find` replaced; `find` must be there. */
static const char *changed(const char *id, const char *text, const char *find, const char *put)
{
    const char *at = strstr(text, find);
    if (!at) fail_msg("%s: the document has no \"%s\"", id, find);
    return sv_format(arena, "%.*s%s%s", (int)(at - text), text, put, at + strlen(find));
}

static bool has_code(const sv_findings *findings, const char *code, const char *place)
{
    for (const sv_finding *f = findings->first; f; f = f->next) {
        if (strcmp(sv_code_word(f->code), code) == 0 && strstr(f->place, place)) return true;
    }
    return false;
}

static void each_fault_is_named(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "ubl-faults");
    for (size_t i = 0; i < t->rows; i++) {
        const char *id = field(t, i, "id"), *code = field(t, i, "code");
        const char *text =
            changed(id, document(field(t, i, "document")), field(t, i, "find"), field(t, i, "put"));
        sv_findings f = judged(text, strlen(text), arena);
        if (*code && !has_code(&f, code, field(t, i, "place")))
            fail_msg("%s: no %s at %s; %s", id, code, field(t, i, "place"), list_of(&f));
        bool stop = strcmp(field(t, i, "outcome"), "stop") == 0;
        if ((f.stops > 0) != stop) fail_msg("%s: %s wanted; %s", id, field(t, i, "outcome"), list_of(&f));
    }
}

static void what_is_no_such_document_is_refused(void **state)
{
    (void)state;
    static const char *const others[] = {
        "",
        "words",
        "<a/>",
        "<Invoice/>",
        "<Invoice xmlns='urn:oasis:names:specification:ubl:schema:xsd:CreditNote-2'/>",
        "<CreditNote xmlns='urn:oasis:names:specification:ubl:schema:xsd:CreditNote-2'/>",
        "<!DOCTYPE Invoice [<!ENTITY a 'b'>]><Invoice "
        "xmlns='urn:oasis:names:specification:ubl:schema:xsd:Invoice-2'/>",
        "<Invoice xmlns='urn:oasis:names:specification:ubl:schema:xsd:Invoice-2'>"};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        sv_findings findings = sv_findings_in(arena);
        sv_error err = {0};
        assert_int_equal(
            sv_ubl_check(world, arena, "test.xml", others[i], strlen(others[i]), &findings, &err),
            SV_BAD_FORMAT);
        assert_int_equal(strncmp(err.text, "test.xml:", 9), 0);
    }
}

/* ---- against the schemas ------------------------------------------------------------------------ */

static void quiet(void *data, xmlErrorPtr error)
{
    (void)data;
    (void)error;
}

static xmlSchemaPtr schema_of(const char *root)
{
    const char *path = sv_format(arena, SCHEMAS "/2.4/maindoc/UBL-%s-2.4.xsd", root);
    xmlSchemaParserCtxtPtr parser = xmlSchemaNewParserCtxt(path);
    xmlSchemaPtr schema = xmlSchemaParse(parser);
    xmlSchemaFreeParserCtxt(parser);
    assert_non_null(schema);
    return schema;
}

static bool schema_admits(xmlSchemaValidCtxtPtr judge, const xmlChar *text, int bytes)
{
    xmlDocPtr doc = xmlReadMemory((const char *)text, bytes, NULL, NULL, XML_PARSE_NONET);
    assert_non_null(doc);
    bool valid = xmlSchemaValidateDoc(judge, doc) == 0;
    xmlFreeDoc(doc);
    return valid;
}

/* Findings that a schema would have had as well. */
static bool structure_admits(const sv_findings *findings)
{
    static const char *const codes[] = {"ubl-unknown",           "ubl-order", "ubl-twice",
                                        "ubl-missing",           "ubl-text",  "ubl-attribute",
                                        "ubl-attribute-missing", "ubl-value"};
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
        if (has_code(findings, codes[i], "")) return false;
    }
    return true;
}

/* Each way to spoil an element; the node itself is changed in the document. */
static bool take_out(xmlNodePtr n)
{
    xmlUnlinkNode(n);
    xmlFreeNode(n);
    return true;
}
static bool double_it(xmlNodePtr n)
{
    return xmlAddNextSibling(n, xmlCopyNode(n, 1)) != NULL;
}
static bool move_back(xmlNodePtr n)
{
    xmlNodePtr next = xmlNextElementSibling(n);
    return next && xmlAddNextSibling(next, n);
}
static bool rename_it(xmlNodePtr n)
{
    xmlNodeSetName(n, BAD_CAST "Colour");
    return true;
}
static bool into_words(xmlNodePtr n)
{
    if (xmlFirstElementChild(n)) {
        xmlAddChild(n, xmlNewText(BAD_CAST "words"));
    } else {
        xmlNodeSetContent(n, BAD_CAST "some words");
    }
    return true;
}
static bool add_attribute(xmlNodePtr n)
{
    return xmlSetProp(n, BAD_CAST "colour", BAD_CAST "blue") != NULL;
}
static bool drop_attributes(xmlNodePtr n)
{
    bool had = n->properties != NULL;
    while (n->properties)
        xmlRemoveProp(n->properties);
    return had;
}
static bool (*const spoilers[])(xmlNodePtr) = {take_out,   double_it,     move_back,      rename_it,
                                               into_words, add_attribute, drop_attributes};
#define SPOILERS (sizeof spoilers / sizeof *spoilers)

/* The element at a place in document order, the root being 0; NULL behind the last. */
static xmlNodePtr element_at(xmlNodePtr root, size_t index)
{
    xmlNodePtr n = root;
    while (n && index) {
        xmlNodePtr next = xmlFirstElementChild(n);
        while (!next && n && n != root) {
            next = xmlNextElementSibling(n);
            if (!next) n = n->parent;
        }
        n = next;
        index--;
    }
    return n;
}

/* Both must say the same of the spoilt document. */
static size_t compare(size_t k, const char *text, xmlSchemaValidCtxtPtr judge, size_t spoiler, size_t index)
{
    xmlDocPtr doc = xmlReadMemory(text, (int)strlen(text), NULL, NULL, XML_PARSE_NONET);
    xmlNodePtr n = element_at(xmlDocGetRootElement(doc), index);
    xmlChar *path = n ? xmlGetNodePath(n) : NULL, *spoilt = NULL;
    int bytes = 0;
    size_t invalid = 0;
    if (n && spoilers[spoiler](n)) xmlDocDumpMemory(doc, &spoilt, &bytes);
    xmlFreeDoc(doc);
    if (spoilt) {
        sv_arena *memory = sv_arena_new();
        sv_findings f = judged((const char *)spoilt, (size_t)bytes, memory);
        bool theirs = schema_admits(judge, spoilt, bytes), ours = structure_admits(&f);
        if (theirs != ours)
            fail_msg("%s, %s, change %zu: the schema %s it; we say:%s", documents[k].word, (const char *)path,
                     spoiler, theirs ? "admits" : "refuses", list_of(&f));
        invalid = !theirs;
        sv_arena_free(memory);
    }
    xmlFree(spoilt);
    xmlFree(path);
    return invalid;
}

static void the_structure_is_judged_as_the_schemas_do(void **state)
{
    (void)state;
    struct stat st;
    if (stat(SCHEMAS, &st) != 0) {
        print_message("SKIP: the OASIS schemas are not at " SCHEMAS "\n");
        skip();
    }
    for (size_t k = 0; k < 3; k++) {
        const char *text = document(documents[k].word);
        xmlSchemaPtr schema = schema_of(documents[k].root);
        xmlSchemaValidCtxtPtr judge = xmlSchemaNewValidCtxt(schema);
        xmlSchemaSetValidStructuredErrors(judge, quiet, NULL);
        xmlDocPtr doc = xmlReadMemory(text, (int)strlen(text), NULL, NULL, XML_PARSE_NONET);
        size_t elements = 0, invalid = 0, spoilt = 0;
        while (element_at(xmlDocGetRootElement(doc), elements))
            elements++;
        xmlFreeDoc(doc);
        for (size_t i = 1; i < elements; i++) {
            for (size_t s = 0; s < SPOILERS; s++, spoilt++)
                invalid += compare(k, text, judge, s, i);
        }
        print_message("%s: %zu elements, %zu changes, %zu of them invalid\n", documents[k].word, elements,
                      spoilt, invalid);
        assert_true(elements > 60 && invalid > elements);
        xmlSchemaFreeValidCtxt(judge);
        xmlSchemaFree(schema);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ours_pass),
        cmocka_unit_test(each_fault_is_named),
        cmocka_unit_test(what_is_no_such_document_is_refused),
        cmocka_unit_test(the_structure_is_judged_as_the_schemas_do),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
