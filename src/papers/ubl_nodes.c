/* ubl_nodes.c - finding one's way in a UBL document, and saying where one is. */
#include "papers/ubl_judge.h"

#include <stdio.h>
#include <string.h>

#include "base/banned.h"

#define MOST_SAID 300 /* of one document; then it is said that there is more */

static bool in_space(xmlNodePtr node, const char *space)
{
    return node->ns && xmlStrEqual(node->ns->href, BAD_CAST space);
}

bool sv_ubl_is(xmlNodePtr node, const char *name)
{
    if (node->type != XML_ELEMENT_NODE) return false;
    const char *space = strncmp(name, "cac:", 4) == 0 ? SV_UBL_CAC : SV_UBL_CBC;
    return in_space(node, space) && xmlStrEqual(node->name, BAD_CAST(name + 4));
}

const char *sv_ubl_name(const sv_ubl_judge *j, xmlNodePtr node)
{
    const char *prefix = in_space(node, SV_UBL_CAC)   ? "cac:"
                         : in_space(node, SV_UBL_CBC) ? "cbc:"
                         : in_space(node, SV_UBL_EXT) ? "ext:"
                                                      : NULL;
    if (prefix) return sv_format(j->arena, "%s%s", prefix, (const char *)node->name);
    bool own = node->ns && node->ns->prefix;
    return own ? sv_format(j->arena, "%s:%s", (const char *)node->ns->prefix, (const char *)node->name)
               : sv_copy(j->arena, (const char *)node->name);
}

static xmlNodePtr first_of(xmlNodePtr node, const char *name)
{
    while (node && !sv_ubl_is(node, name))
        node = node->next;
    return node;
}

xmlNodePtr sv_ubl_child(xmlNodePtr node, const char *name)
{
    return node ? first_of(node->children, name) : NULL;
}

xmlNodePtr sv_ubl_next(xmlNodePtr node, const char *name)
{
    return first_of(node->next, name);
}

xmlNodePtr sv_ubl_at(xmlNodePtr node, const char *path)
{
    char name[128];
    while (node && *path) {
        size_t n = strcspn(path, "/");
        if (n >= sizeof name) return NULL;
        memcpy(name, path, n);
        name[n] = 0;
        node = sv_ubl_child(node, name);
        path += n + (path[n] == '/');
    }
    return node;
}

/* The next node of a walk through everything below `top`. */
static xmlNodePtr step(xmlNodePtr top, xmlNodePtr at)
{
    if (at->children && at->type == XML_ELEMENT_NODE) return at->children;
    while (at != top && !at->next)
        at = at->parent;
    return at == top ? NULL : at->next;
}

xmlNodePtr sv_ubl_walk(xmlNodePtr top, xmlNodePtr after, const char *name)
{
    xmlNodePtr at = step(top, after ? after : top);
    while (at && !sv_ubl_is(at, name))
        at = step(top, at);
    return at;
}

const char *sv_ubl_text(const sv_ubl_judge *j, xmlNodePtr node)
{
    if (!node) return "";
    xmlChar *content = xmlNodeGetContent(node);
    const char *text = content ? sv_trim(j->arena, (const char *)content, strlen((const char *)content)) : "";
    xmlFree(content);
    return text;
}

const char *sv_ubl_attribute(const sv_ubl_judge *j, xmlNodePtr node, const char *name)
{
    if (!node) return "";
    xmlChar *value = xmlGetNoNsProp(node, BAD_CAST name);
    const char *text = sv_copy(j->arena, (const char *)value);
    xmlFree(value);
    return text;
}

sv_dec sv_ubl_number(const sv_ubl_judge *j, xmlNodePtr node)
{
    sv_dec value;
    return node && sv_dec_read(sv_ubl_text(j, node), &value) ? value : SV_DEC_UNKNOWN;
}

bool sv_ubl_all_blank(const char *text)
{
    return text[strspn(text, " \t\r\n")] == 0;
}

/* ---- places ------------------------------------------------------------------------------------- */

static size_t index_among_equals(xmlNodePtr node, bool *alone)
{
    size_t before = 0, after = 0;
    for (xmlNodePtr n = node->prev; n; n = n->prev)
        before += n->type == XML_ELEMENT_NODE && xmlStrEqual(n->name, node->name);
    for (xmlNodePtr n = node->next; n && !after; n = n->next)
        after += n->type == XML_ELEMENT_NODE && xmlStrEqual(n->name, node->name);
    *alone = before + after == 0;
    return before + 1;
}

/* "Invoice/cac:InvoiceLine[2]/cbc:ID": as an XPath would name it. */
static const char *place_of(const sv_ubl_judge *j, xmlNodePtr node)
{
    const char *path = "";
    for (; node && node->type == XML_ELEMENT_NODE; node = node->parent) {
        bool alone;
        size_t index = index_among_equals(node, &alone);
        const char *name = sv_ubl_name(j, node), *slash = *path ? "/" : "";
        path = alone ? sv_format(j->arena, "%s%s%s", name, slash, path)
                     : sv_format(j->arena, "%s[%zu]%s%s", name, index, slash, path);
    }
    return path;
}

sv_finding *sv_ubl_say(sv_ubl_judge *j, sv_code code, xmlNodePtr node, const char *a, const char *b,
                       const char *c)
{
    const char *line = sv_format(j->arena, "%ld", xmlGetLineNo(node));
    j->said++;
    if (j->said > MOST_SAID + 1) return NULL;
    if (j->said == MOST_SAID + 1) return sv_find(j->findings, SV_F_UBL_MORE, "", SV_ARGS(line));
    const char *const args[] = {line, a ? a : "", b ? b : "", c ? c : "", NULL};
    sv_finding *f = sv_find(j->findings, code, place_of(j, node), args);
    sv_finding_source(f, "OASIS UBL 2.3 (2021-06-15), 2.4 (2024-06-20)", "2026-11-25");
    return f;
}
