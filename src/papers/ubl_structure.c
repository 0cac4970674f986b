/* ubl_structure.c - is each element where the standard has it? One row of ubl/structure for each element of a
 * class. */
#include "papers/ubl_judge.h"

#include <string.h>

#include "base/banned.h"

#define MOST_ELEMENTS 160 /* of a class; the largest has 112 */

/* A class, its elements in the order of the standard. */
typedef struct element_rule {
    const char *name, *content, *list, *since;
    int position;
    size_t least, most; /* most 0: any number */
} element_rule;

struct sv_ubl_class {
    const char *name;
    size_t count;
    element_rule *rule;
    sv_ubl_class *next;
};

/* ---- the table ---------------------------------------------------------------------------------- */

static size_t small_number(const char *text)
{
    size_t n = 0;
    for (; *text >= '0' && *text <= '9' && n < 100000; text++)
        n = n * 10 + (size_t)(*text - '0');
    return n;
}

static element_rule rule_of(const sv_table *t, size_t row)
{
    return (element_rule){.name = sv_cell(t, row, sv_table_column(t, "element")),
                          .content = sv_cell(t, row, sv_table_column(t, "content")),
                          .list = sv_cell(t, row, sv_table_column(t, "list")),
                          .since = sv_cell(t, row, sv_table_column(t, "since")),
                          .position = (int)small_number(sv_cell(t, row, sv_table_column(t, "position"))),
                          .least = small_number(sv_cell(t, row, sv_table_column(t, "least"))),
                          .most = small_number(sv_cell(t, row, sv_table_column(t, "most")))};
}

static sv_ubl_class *make_class(sv_ubl_judge *j, const char *name)
{
    size_t first, n = sv_table_run(j->structure, name, &first);
    sv_ubl_class *c = SV_NEW(j->arena, sv_ubl_class);
    element_rule *rule = SV_NEW_ARRAY(j->arena, n ? n : 1, element_rule);
    if (!c || !rule) return NULL;
    *c = (sv_ubl_class){.name = name, .rule = rule, .next = j->classes};
    for (size_t i = 0; i < n && c->count < MOST_ELEMENTS; i++) {
        element_rule r = rule_of(j->structure, j->structure->by_key[first + i]);
        size_t at = c->count++;
        for (; at > 0 && rule[at - 1].position > r.position; at--)
            rule[at] = rule[at - 1];
        rule[at] = r;
    }
    j->classes = c;
    return c;
}

static const sv_ubl_class *find_class(sv_ubl_judge *j, const char *name)
{
    for (const sv_ubl_class *c = j->classes; c; c = c->next) {
        if (strcmp(c->name, name) == 0) return c;
    }
    return make_class(j, name);
}

static size_t find_element(const sv_ubl_class *c, const char *name)
{
    for (size_t i = 0; i < c->count; i++) {
        if (strcmp(c->rule[i].name, name) == 0) return i;
    }
    return SV_NO_ROW;
}

/* ---- one element among its siblings ------------------------------------------------------------- */

static void judge_class(sv_ubl_judge *j, xmlNodePtr node, const char *name);

static bool is_extensions(xmlNodePtr node)
{
    return node->ns && xmlStrEqual(node->ns->href, BAD_CAST SV_UBL_EXT) &&
           xmlStrEqual(node->name, BAD_CAST "UBLExtensions");
}

/* An element of UBL 2.4 in a document that says it is of an earlier version. */
static void judge_version(sv_ubl_judge *j, xmlNodePtr node, const element_rule *r)
{
    bool later = *j->version && strcmp(r->since, "2.3") > 0 && strcmp(j->version, r->since) < 0;
    if (later) sv_ubl_say(j, SV_F_UBL_LATER, node, r->name, r->since, j->version);
}

static void judge_content(sv_ubl_judge *j, xmlNodePtr node, const element_rule *r)
{
    bool value = *r->content >= 'a' && *r->content <= 'z';
    if (value) {
        sv_ubl_judge_value(j, node, r->content, r->list);
    } else {
        judge_class(j, node, r->content);
    }
}

/* seen: how often each element of the class has stood; *reached: the furthest place in the order so far. */
static void judge_child(sv_ubl_judge *j, xmlNodePtr node, const sv_ubl_class *c, size_t seen[],
                        size_t *reached)
{
    const char *name = sv_ubl_name(j, node);
    size_t i = find_element(c, name);
    if (i == SV_NO_ROW) {
        sv_ubl_say(j, SV_F_UBL_UNKNOWN, node, name, c->name, NULL);
        return;
    }
    const element_rule *r = &c->rule[i];
    seen[i]++;
    if (r->most && seen[i] == r->most + 1) sv_ubl_say(j, SV_F_UBL_TWICE, node, name, c->name, NULL);
    if (i < *reached) sv_ubl_say(j, SV_F_UBL_ORDER, node, name, c->rule[*reached].name, NULL);
    if (i > *reached) *reached = i;
    judge_version(j, node, r);
    judge_content(j, node, r);
}

static void judge_missing(sv_ubl_judge *j, xmlNodePtr node, const sv_ubl_class *c, const size_t seen[])
{
    for (size_t i = 0; i < c->count; i++) {
        bool missing = c->rule[i].least > 0 && !seen[i];
        if (missing) sv_ubl_say(j, SV_F_UBL_MISSING, node, c->rule[i].name, c->name, NULL);
    }
}

/* ---- a class ------------------------------------------------------------------------------------ */

#define MOST_COMPARED 50

/* A later sibling of the same name in the same language. */
static xmlNodePtr again(sv_ubl_judge *j, xmlNodePtr a, const char *name)
{
    const char *language = sv_ubl_attribute(j, a, "languageID");
    int n = 0;
    for (xmlNodePtr b = sv_ubl_next(a, name); b && n < MOST_COMPARED; b = sv_ubl_next(b, name), n++) {
        if (strcmp(sv_ubl_attribute(j, b, "languageID"), language) == 0) return b;
    }
    return NULL;
}

/* Rules IND7 and IND8 of UBL: texts that may stand several times do so only in different languages. */
static void judge_languages(sv_ubl_judge *j, xmlNodePtr node)
{
    static const char *const texts[] = {"cbc:Description", "cbc:Note"};
    for (size_t i = 0; i < 2; i++) {
        xmlNodePtr b = NULL;
        int n = 0;
        for (xmlNodePtr a = sv_ubl_child(node, texts[i]); a && !b && n < MOST_COMPARED;
             a = sv_ubl_next(a, texts[i]), n++)
            b = again(j, a, texts[i]);
        if (b) sv_ubl_say(j, SV_F_UBL_LANGUAGE, b, texts[i], NULL, NULL);
    }
}

/* A class carries no attributes; hints of schema locations are of another namespace and harmless. */
static void judge_attributes(sv_ubl_judge *j, xmlNodePtr node)
{
    for (xmlAttrPtr a = node->properties; a; a = a->next) {
        if (!a->ns)
            sv_ubl_say(j, SV_F_UBL_ATTRIBUTE, node, (const char *)a->name, sv_ubl_name(j, node), NULL);
    }
}

static void judge_loose_text(sv_ubl_judge *j, xmlNodePtr node)
{
    for (xmlNodePtr n = node->children; n; n = n->next) {
        bool text = n->type == XML_TEXT_NODE || n->type == XML_CDATA_SECTION_NODE;
        if (!text || sv_ubl_all_blank((const char *)n->content)) continue;
        sv_ubl_say(j, SV_F_UBL_TEXT, node, sv_ubl_name(j, node), NULL, NULL);
        return;
    }
}

static void judge_class(sv_ubl_judge *j, xmlNodePtr node, const char *name)
{
    const sv_ubl_class *c = find_class(j, name);
    if (!c || !c->count) return;
    size_t seen[MOST_ELEMENTS] = {0}, reached = 0;
    xmlNodePtr child = xmlFirstElementChild(node);
    if (!child) sv_ubl_say(j, SV_F_UBL_EMPTY, node, sv_ubl_name(j, node), NULL, NULL);
    judge_attributes(j, node);
    judge_loose_text(j, node);
    judge_languages(j, node);
    if (child && is_extensions(child)) child = xmlNextElementSibling(child);
    for (; child; child = xmlNextElementSibling(child))
        judge_child(j, child, c, seen, &reached);
    judge_missing(j, node, c, seen);
}

void sv_ubl_judge_structure(sv_ubl_judge *j)
{
    static const char *const roots[] = {[SV_UBL_DECLARATION] = "ExportCustomsDeclaration",
                                        [SV_UBL_INVOICE] = "Invoice",
                                        [SV_UBL_PACKING_LIST] = "PackingList"};
    judge_class(j, j->root, roots[j->kind]);
}
