/* parcel_xml.c - the parcel XML, urn:selvedge:parcel:1, validated by our schema, then read a parcel at a
 * time. */
#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <libxml/xmlreader.h>
#include <libxml/xmlschemas.h>

#include "base/banned.h"
#include "base/world.h"
#include "parcel/read.h"
#include "parcel/xml.h"

#define SPACE         "urn:selvedge:parcel:1"
#define MOST_ELEMENTS 20000 /* of one parcel: it is held in memory whole */

/* The text comes from a file that can be read twice, or, from a pipe, lies in memory. */
struct sv_parcel_xml {
    char *name;
    int fd; /* -1: in memory */
    char *text;
    size_t bytes, taken; /* of the text; of what the parser has got */
    bool too_large;
    xmlTextReaderPtr reader;
    bool on_parcel; /* the reader stands on a parcel that was read */
    sv_xml_complaint complaint;
    sv_building building;
};

static sv_status no_memory(const sv_parcel_xml *x, sv_error *err)
{
    return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", x->name);
}

/* ---- the bytes ---------------------------------------------------------------------------------- */

static int give_bytes(void *data, char *buffer, int room)
{
    sv_parcel_xml *x = data;
    ssize_t n;
    if (x->fd < 0) {
        size_t left = x->bytes - x->taken;
        n = (ssize_t)(left < (size_t)room ? left : (size_t)room);
        if (x->text && n) memcpy(buffer, x->text + x->taken, (size_t)n);
    } else {
        do {
            n = read(x->fd, buffer, (size_t)room);
        } while (n < 0 && errno == EINTR);
    }
    if (n > 0) x->taken += (size_t)n;
    x->too_large = x->taken > SV_XML_LARGEST;
    return x->too_large ? -1 : (int)n;
}

static sv_status too_large(const sv_parcel_xml *x, sv_error *err)
{
    return sv_fail(err, SV_LIMIT,
                   "%s: larger than %zu MB, the most that is read; split it into smaller files", x->name,
                   SV_XML_LARGEST >> 20);
}

/* Standard input, through stdio, since its first character was looked at there. */
static sv_status slurp(sv_parcel_xml *x, sv_error *err)
{
    size_t room = 0;
    for (;;) {
        if (x->bytes == room) {
            room = room ? room * 2 : 1 << 16;
            char *more = realloc(x->text, room);
            if (!more) return no_memory(x, err);
            x->text = more;
        }
        size_t n = fread(x->text + x->bytes, 1, room - x->bytes, stdin);
        x->bytes += n;
        if (x->bytes > SV_XML_LARGEST) return too_large(x, err);
        if (n == 0) break;
    }
    return ferror(stdin) ? sv_fail(err, SV_SYSTEM, "%s: cannot be read: %s", x->name, strerror(errno))
                         : SV_OK;
}

static sv_status open_bytes(sv_parcel_xml *x, const char *path, sv_error *err)
{
    x->fd = -1;
    struct stat st;
    if (strcmp(path, "-") == 0) return slurp(x, err);
    x->fd = open(path, O_RDONLY | O_CLOEXEC);
    if (x->fd < 0) return sv_fail(err, SV_SYSTEM, "%s: cannot be opened: %s", path, strerror(errno));
    if (fstat(x->fd, &st) != 0 || !S_ISREG(st.st_mode))
        return sv_fail(err, SV_SYSTEM, "%s: not a file; give it through standard input (-)", path);
    return (size_t)st.st_size > SV_XML_LARGEST ? too_large(x, err) : SV_OK;
}

static sv_status rewind_bytes(sv_parcel_xml *x, sv_error *err)
{
    x->taken = 0;
    if (x->fd >= 0 && lseek(x->fd, 0, SEEK_SET) != 0)
        return sv_fail(err, SV_SYSTEM, "%s: cannot be read a second time: %s", x->name, strerror(errno));
    return SV_OK;
}

static sv_status judge_prolog(sv_parcel_xml *x, sv_error *err)
{
    char *head = malloc(SV_XML_HEAD);
    if (!head) return no_memory(x, err);
    size_t n = 0;
    int got;
    while (n < SV_XML_HEAD && (got = give_bytes(x, head + n, (int)(SV_XML_HEAD - n))) > 0)
        n += (size_t)got;
    sv_status s = sv_xml_prolog(x->name, head, n, n < SV_XML_HEAD, err);
    free(head);
    return s;
}

/* ---- the reader --------------------------------------------------------------------------------- */

static sv_status start_reader(sv_parcel_xml *x, sv_error *err)
{
    sv_status s = rewind_bytes(x, err);
    if (s) return s;
    xmlFreeTextReader(x->reader);
    x->complaint = (sv_xml_complaint){0};
    xmlResetLastError();
    x->reader = xmlReaderForIO(give_bytes, NULL, x, NULL, NULL, SV_XML_OPTIONS);
    if (!x->reader) return no_memory(x, err);
    xmlTextReaderSetStructuredErrorHandler(x->reader, sv_xml_complain, &x->complaint);
    return SV_OK;
}

/* While a schema is plugged in, libxml2 tells a fault of the markup to the thread's last error only. */
static sv_status broken(sv_parcel_xml *x, sv_error *err)
{
    sv_xml_complain(&x->complaint, xmlGetLastError());
    return x->too_large ? too_large(x, err) : sv_xml_refuse(x->name, &x->complaint, err);
}

/* ---- looked through by the schema --------------------------------------------------------------- */

static xmlSchemaPtr our_schema(void)
{
    for (size_t i = 0; i < sv_builtin_count; i++) {
        const sv_builtin *b = &sv_builtins[i];
        if (strcmp(b->name, "forms/parcel.xsd") != 0) continue;
        xmlSchemaParserCtxtPtr parser = xmlSchemaNewMemParserCtxt(b->text, (int)(b->end - b->text));
        xmlSchemaPtr schema = parser ? xmlSchemaParse(parser) : NULL;
        xmlSchemaFreeParserCtxt(parser);
        return schema;
    }
    return NULL;
}

static bool is_element(xmlTextReaderPtr r, const char *local)
{
    return xmlTextReaderNodeType(r) == XML_READER_TYPE_ELEMENT &&
           xmlStrEqual(xmlTextReaderConstLocalName(r), BAD_CAST local);
}

static sv_status judge_root(sv_parcel_xml *x, sv_error *err)
{
    bool ours = xmlStrEqual(xmlTextReaderConstNamespaceUri(x->reader), BAD_CAST SPACE) &&
                (is_element(x->reader, "parcels") || is_element(x->reader, "parcel"));
    if (ours) return SV_OK;
    return sv_fail(err, SV_BAD_FORMAT,
                   "%s:%d: the root element is <%s>; parcels begin with <parcels xmlns=\"%s\">", x->name,
                   xmlTextReaderGetParserLineNumber(x->reader),
                   (const char *)xmlTextReaderConstName(x->reader), SPACE);
}

/* Elements of a parcel, counted from its start. */
static sv_status judge_node(sv_parcel_xml *x, bool *rooted, size_t *elements, sv_error *err)
{
    if (xmlTextReaderNodeType(x->reader) != XML_READER_TYPE_ELEMENT) return SV_OK;
    sv_status s = *rooted ? SV_OK : judge_root(x, err);
    *rooted = true;
    if (s) return s;
    if (is_element(x->reader, "parcel")) *elements = 0;
    int line = xmlTextReaderGetParserLineNumber(x->reader);
    if (++*elements > MOST_ELEMENTS)
        return sv_fail(err, SV_LIMIT, "%s:%d: a parcel of more than %d elements", x->name, line,
                       MOST_ELEMENTS);
    if (xmlTextReaderDepth(x->reader) > SV_XML_DEEPEST)
        return sv_fail(err, SV_LIMIT, "%s:%d: elements stand more than %d deep in one another", x->name, line,
                       SV_XML_DEEPEST);
    return SV_OK;
}

static sv_status look_through(sv_parcel_xml *x, sv_error *err)
{
    bool rooted = false;
    size_t elements = 0;
    int more;
    while ((more = xmlTextReaderRead(x->reader)) == 1) {
        sv_status s = judge_node(x, &rooted, &elements, err);
        if (s) return s;
        if (x->complaint.any) break;
    }
    return more < 0 || x->complaint.any ? broken(x, err) : SV_OK;
}

static sv_status validate(sv_parcel_xml *x, sv_error *err)
{
    xmlSchemaPtr schema = our_schema();
    if (!schema) return sv_fail(err, SV_BAD_FORMAT, "forms/parcel.xsd is not in this build");
    sv_status s = start_reader(x, err);
    if (!s && xmlTextReaderSetSchema(x->reader, schema) != 0) s = no_memory(x, err);
    if (!s) s = look_through(x, err);
    xmlFreeTextReader(x->reader);
    x->reader = NULL;
    xmlSchemaFree(schema);
    return s;
}

/* ---- parcels ------------------------------------------------------------------------------------ */

static void take_piece(sv_parcel_xml *x, xmlNodePtr element)
{
    sv_piece *piece = sv_building_piece(&x->building, (size_t)xmlGetLineNo(element));
    for (xmlNodePtr n = xmlFirstElementChild(element); n; n = xmlNextElementSibling(n)) {
        int field = sv_piece_field((const char *)n->name);
        xmlChar *text = xmlNodeGetContent(n);
        if (text && field >= 0)
            sv_building_piece_value(&x->building, piece, field, (const char *)text, (size_t)xmlGetLineNo(n));
        xmlFree(text);
    }
}

static void take_field(sv_parcel_xml *x, xmlNodePtr element)
{
    int field = sv_parcel_field((const char *)element->name);
    xmlChar *text = xmlNodeGetContent(element);
    if (text && field >= 0)
        sv_building_parcel(&x->building, field, (const char *)text, (size_t)xmlGetLineNo(element));
    xmlFree(text);
}

static sv_status take_parcel(sv_parcel_xml *x, sv_arena *arena, const sv_parcel **out, sv_error *err)
{
    xmlNodePtr element = xmlTextReaderExpand(x->reader);
    if (!element) return broken(x, err);
    xmlChar *reference = xmlGetNoNsProp(element, BAD_CAST "reference");
    const char *text = reference ? (const char *)reference : "";
    sv_status s = sv_building_begin(&x->building, arena, text, (size_t)xmlGetLineNo(element), err);
    xmlFree(reference);
    if (s) return s;
    for (xmlNodePtr n = xmlFirstElementChild(element); n; n = xmlNextElementSibling(n)) {
        if (xmlStrEqual(n->name, BAD_CAST "piece")) {
            take_piece(x, n);
        } else {
            take_field(x, n);
        }
    }
    x->on_parcel = true;
    return sv_building_end(&x->building, out, err);
}

sv_status sv_parcel_xml_next(sv_parcel_xml *x, sv_arena *arena, const sv_parcel **out, sv_error *err)
{
    *out = NULL;
    int more = x->on_parcel ? xmlTextReaderNext(x->reader) : xmlTextReaderRead(x->reader);
    x->on_parcel = false;
    while (more == 1 && !is_element(x->reader, "parcel"))
        more = xmlTextReaderRead(x->reader);
    if (more < 0) return broken(x, err);
    return more ? take_parcel(x, arena, out, err) : SV_OK;
}

/* ---- opening ------------------------------------------------------------------------------------ */

sv_status sv_parcel_xml_open(const char *path, sv_parcel_xml **out, sv_error *err)
{
    *out = NULL;
    sv_parcel_xml *x = calloc(1, sizeof *x);
    if (!x) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", path);
    x->fd = -1;
    x->name = strdup(strcmp(path, "-") == 0 ? "standard input" : path);
    sv_status s = x->name ? open_bytes(x, path, err) : sv_fail(err, SV_NO_MEMORY, "%s: out of memory", path);
    if (!s) s = judge_prolog(x, err);
    if (!s) s = validate(x, err);
    if (!s) s = start_reader(x, err);
    if (s) {
        sv_parcel_xml_close(x);
        return s;
    }
    x->building.file = x->name;
    x->building.holder = "element";
    *out = x;
    return SV_OK;
}

void sv_parcel_xml_close(sv_parcel_xml *x)
{
    if (!x) return;
    xmlFreeTextReader(x->reader);
    if (x->fd >= 0) close(x->fd);
    sv_building_free(&x->building);
    free(x->text);
    free(x->name);
    free(x);
}
