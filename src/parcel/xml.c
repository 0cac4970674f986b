/* xml.c - what makes XML from outside safe to read. */
#include "parcel/xml.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include "base/banned.h"

/* ---- before the root element -------------------------------------------------------------------- */

typedef struct cursor {
    const char *p, *end;
} cursor;

static bool at(const cursor *c, const char *text)
{
    size_t n = strlen(text);
    return (size_t)(c->end - c->p) >= n && memcmp(c->p, text, n) == 0;
}

static void skip_blanks(cursor *c)
{
    while (c->p < c->end && strchr(" \t\r\n", *c->p) && *c->p)
        c->p++;
}

/* Moves behind `mark`; false when it does not come. */
static bool skip_to(cursor *c, const char *mark)
{
    size_t n = strlen(mark);
    for (; (size_t)(c->end - c->p) >= n; c->p++) {
        if (memcmp(c->p, mark, n) == 0) {
            c->p += n;
            return true;
        }
    }
    return false;
}

/* Moves to the root's `<`; true also when something else stands there (the parser will say what). False when
 * the text ends before. *doctype: a document type was met. */
static bool to_root(cursor *c, bool *doctype)
{
    *doctype = false;
    if (at(c, "\xEF\xBB\xBF")) c->p += 3;
    for (;;) {
        skip_blanks(c);
        if (c->p >= c->end) return false;
        if (at(c, "<?")) {
            if (!skip_to(c, "?>")) return false;
        } else if (at(c, "<!--")) {
            c->p += 4;
            if (!skip_to(c, "-->")) return false;
        } else {
            *doctype = at(c, "<!");
            return true;
        }
    }
}

static size_t line_at(const char *text, const char *p)
{
    size_t line = 1;
    for (; text < p; text++)
        line += *text == '\n';
    return line;
}

/* The encoding that the XML declaration names, "" when none. */
static void declared_encoding(const char *head, size_t bytes, char out[32])
{
    cursor c = {head, head + bytes};
    out[0] = 0;
    if (at(&c, "\xEF\xBB\xBF")) c.p += 3;
    if (!at(&c, "<?xml")) return;
    cursor end = c;
    if (!skip_to(&end, "?>")) return;
    c.end = end.p;
    if (!skip_to(&c, "encoding")) return;
    while (c.p < c.end && strchr(" \t\r\n=", *c.p))
        c.p++;
    if (c.p >= c.end || (*c.p != '"' && *c.p != '\'')) return;
    char quote = *c.p++;
    size_t n = 0;
    while (c.p < c.end && *c.p != quote && n < 31)
        out[n++] = *c.p++;
    out[n] = 0;
}

static bool is_utf16(const char *head, size_t bytes)
{
    if (bytes < 2) return false;
    return memcmp(head, "\xFF\xFE", 2) == 0 || memcmp(head, "\xFE\xFF", 2) == 0 || !head[0] || !head[1];
}

sv_status sv_xml_prolog(const char *name, const char *head, size_t bytes, bool whole, sv_error *err)
{
    if (is_utf16(head, bytes))
        return sv_fail(err, SV_BAD_FORMAT, "%s:1: written in UTF-16; save it as UTF-8", name);
    char encoding[32];
    declared_encoding(head, bytes, encoding);
    bool known = !*encoding || strcasecmp(encoding, "utf-8") == 0 || strcasecmp(encoding, "us-ascii") == 0;
    if (!known) return sv_fail(err, SV_BAD_FORMAT, "%s:1: written in %s; save it as UTF-8", name, encoding);
    cursor c = {head, head + bytes};
    bool doctype;
    bool found = to_root(&c, &doctype);
    if (doctype)
        return sv_fail(
            err, SV_BAD_FORMAT,
            "%s:%zu: a document type (<!DOCTYPE ...>) is refused, since it can carry entities; take it out",
            name, line_at(head, c.p));
    if (!found && !whole)
        return sv_fail(err, SV_LIMIT, "%s: the root element does not begin within the first %zu KB", name,
                       bytes >> 10);
    return SV_OK;
}

/* ---- which document is it ----------------------------------------------------------------------- */

static size_t name_length(const cursor *c)
{
    size_t n = 0;
    while (c->p + n < c->end && !strchr(" \t\r\n/>=", c->p[n]))
        n++;
    return n;
}

static void copy_short(char *out, size_t room, const char *text, size_t n)
{
    if (n >= room) n = room - 1;
    memcpy(out, text, n);
    out[n] = 0;
}

/* The value of the attribute that names the namespace of `prefix`. */
static void find_space(cursor c, const char *prefix, size_t prefix_length, char space[256])
{
    space[0] = 0;
    for (;;) {
        skip_blanks(&c);
        size_t n = name_length(&c);
        if (n == 0) return;
        const char *name = c.p;
        c.p += n;
        skip_blanks(&c);
        if (!at(&c, "=")) return;
        c.p++;
        skip_blanks(&c);
        if (!at(&c, "\"") && !at(&c, "'")) return;
        char quote[2] = {*c.p++, 0};
        const char *value = c.p;
        if (!skip_to(&c, quote)) return;
        bool plain = prefix_length == 0 && n == 5 && memcmp(name, "xmlns", 5) == 0;
        bool with = prefix_length && n == 6 + prefix_length && memcmp(name, "xmlns:", 6) == 0 &&
                    memcmp(name + 6, prefix, prefix_length) == 0;
        if (!plain && !with) continue;
        copy_short(space, 256, value, (size_t)(c.p - value) - 1);
        return;
    }
}

bool sv_xml_root(const char *head, size_t bytes, char space[256], char local[64])
{
    cursor c = {head, head + bytes};
    bool doctype;
    space[0] = local[0] = 0;
    if (!to_root(&c, &doctype) || doctype || !at(&c, "<")) return false;
    c.p++;
    size_t n = name_length(&c);
    if (n == 0) return false;
    const char *colon = memchr(c.p, ':', n), *name = c.p;
    size_t prefix = colon ? (size_t)(colon - name) : 0, skip = colon ? prefix + 1 : 0;
    copy_short(local, 64, name + skip, n - skip);
    c.p += n;
    find_space(c, name, prefix, space);
    return true;
}

/* ---- complaints --------------------------------------------------------------------------------- */

/* libxml2 writes names with their namespace in braces; they say nothing to a reader. */
static void plain_text(char *out, size_t room, const char *text)
{
    size_t n = 0;
    for (const char *p = text; *p && n + 1 < room; p++) {
        const char *close = *p == '{' ? strchr(p, '}') : NULL;
        if (close) {
            p = close;
        } else if (*p == '\n') {
            if (p[1]) out[n++] = ' ';
        } else {
            out[n++] = *p;
        }
    }
    out[n] = 0;
}

void sv_xml_complain(void *data, xmlErrorPtr error)
{
    sv_xml_complaint *c = data;
    if (c->any || !error || error->level == XML_ERR_WARNING) return;
    c->any = true;
    c->line = error->line;
    plain_text(c->text, sizeof c->text, error->message ? error->message : "not well-formed");
}

sv_status sv_xml_refuse(const char *name, const sv_xml_complaint *c, sv_error *err)
{
    return sv_fail(err, SV_BAD_FORMAT, "%s:%ld: %s", name, c->line, c->any ? c->text : "not well-formed XML");
}

/* ---- whole documents ---------------------------------------------------------------------------- */

static int depth_of(const xmlNode *root)
{
    int depth = 1, deepest = 1;
    for (const xmlNode *n = root; n;) {
        if (n->type == XML_ELEMENT_NODE && n->children) {
            n = n->children;
            depth++;
        } else {
            while (n != root && !n->next) {
                n = n->parent;
                depth--;
            }
            n = n == root ? NULL : n->next;
        }
        if (depth > deepest) deepest = depth;
    }
    return deepest;
}

sv_status sv_xml_tree(const char *name, const char *text, size_t bytes, xmlDocPtr *out, sv_error *err)
{
    *out = NULL;
    if (bytes > SV_XML_LARGEST)
        return sv_fail(err, SV_LIMIT, "%s: larger than %zu MB", name, SV_XML_LARGEST >> 20);
    sv_status s = sv_xml_prolog(name, text, bytes, true, err);
    if (s) return s;
    xmlParserCtxtPtr parser = xmlNewParserCtxt();
    if (!parser) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", name);
    int options = SV_XML_OPTIONS | XML_PARSE_NOERROR | XML_PARSE_NOWARNING;
    xmlDocPtr doc = xmlCtxtReadMemory(parser, text, (int)bytes, NULL, NULL, options);
    if (!doc) {
        sv_xml_complaint c = {0};
        sv_xml_complain(&c, xmlCtxtGetLastError(parser));
        s = sv_xml_refuse(name, &c, err);
    } else if (depth_of(xmlDocGetRootElement(doc)) > SV_XML_DEEPEST) {
        s = sv_fail(err, SV_LIMIT, "%s: elements stand more than %d deep in one another", name,
                    SV_XML_DEEPEST);
        xmlFreeDoc(doc);
        doc = NULL;
    }
    xmlFreeParserCtxt(parser);
    *out = doc;
    return s;
}
