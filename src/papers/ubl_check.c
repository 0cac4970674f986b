/* ubl_check.c - judges a UBL document: reads it with care, then asks the parts of the judge in order. */
#include "papers/ubl_judge.h"
#include "parcel/xml.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/banned.h"
#include "base/files.h"

static const struct {
    const char *root;
    sv_ubl_kind kind;
} documents[] = {{"ExportCustomsDeclaration", SV_UBL_DECLARATION},
                 {"Invoice", SV_UBL_INVOICE},
                 {"PackingList", SV_UBL_PACKING_LIST}};
#define LARGEST_DOCUMENT ((size_t)16 << 20) /* it is held in memory as a tree */
#define SPACE            "urn:oasis:names:specification:ubl:schema:xsd:"

static bool kind_of(const char *space, const char *local, sv_ubl_kind *kind)
{
    size_t n = strlen(SPACE), length = strlen(local);
    if (strncmp(space, SPACE, n) != 0 || strncmp(space + n, local, length) != 0 ||
        strcmp(space + n + length, "-2") != 0)
        return false;
    for (size_t i = 0; i < sizeof documents / sizeof *documents; i++) {
        if (strcmp(documents[i].root, local) != 0) continue;
        *kind = documents[i].kind;
        return true;
    }
    return false;
}

bool sv_ubl_kind_of(const char *head, size_t bytes, sv_ubl_kind *kind)
{
    char space[256], local[64];
    return sv_xml_root(head, bytes, space, local) && kind_of(space, local, kind);
}

bool sv_ubl_kind_of_file(const char *path, sv_ubl_kind *kind)
{
    FILE *f = strcmp(path, "-") == 0 ? NULL : fopen(path, "re");
    char *head = f ? malloc(SV_XML_HEAD) : NULL;
    size_t n = head ? fread(head, 1, SV_XML_HEAD, f) : 0;
    bool known = n && sv_ubl_kind_of(head, n, kind);
    free(head);
    if (f) fclose(f);
    return known;
}

/* The tables are wanted by this judge alone, and only now: they are not opened with the world. */
static sv_status open_tables(sv_ubl_judge *j, sv_error *err)
{
    sv_world own = {.arena = j->arena, .data_dir = j->world->data_dir ? j->world->data_dir : ""};
    sv_status s = sv_world_load(&own, "ubl/", err);
    if (!s) s = sv_world_need(&own, "ubl/structure", &j->structure, err);
    if (!s) s = sv_world_need(&own, "ubl/types", &j->types, err);
    if (!s) s = sv_world_need(&own, "ubl/codes", &j->codes, err);
    return s;
}

/* Rule IND2 of UBL: the XML declaration names the encoding. */
static void judge_declared_encoding(sv_ubl_judge *j, const char *text, size_t bytes)
{
    const char *end = bytes > 5 ? memchr(text, '>', bytes < 200 ? bytes : 200) : NULL;
    const char *start = strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? text + 3 : text;
    const char *head = end ? sv_copy_n(j->arena, start, (size_t)(end - start)) : "";
    bool named = strncmp(head, "<?xml", 5) == 0 && strstr(head, "encoding");
    if (!named) sv_ubl_say(j, SV_F_UBL_ENCODING, j->root, NULL, NULL, NULL);
}

static sv_status judge(sv_ubl_judge *j, const char *name, const char *text, size_t bytes, sv_error *err)
{
    const char *space = j->root->ns ? (const char *)j->root->ns->href : "";
    if (!kind_of(space, (const char *)j->root->name, &j->kind))
        return sv_fail(err, SV_BAD_FORMAT,
                       "%s:%ld: the root element <%s> is not an ExportCustomsDeclaration, Invoice or "
                       "PackingList of UBL 2",
                       name, xmlGetLineNo(j->root), (const char *)j->root->name);
    sv_status s = open_tables(j, err);
    if (s) return s;
    j->version = sv_ubl_text(j, sv_ubl_child(j->root, "cbc:UBLVersionID"));
    judge_declared_encoding(j, text, bytes);
    sv_ubl_judge_structure(j);
    if (j->kind == SV_UBL_INVOICE) sv_ubl_judge_sums(j);
    sv_ubl_judge_goods(j);
    sv_ubl_judge_numbers(j);
    return sv_arena_failed(j->arena) ? sv_fail(err, SV_NO_MEMORY, "%s: out of memory", name) : SV_OK;
}

sv_status sv_ubl_check(const sv_world *world, sv_arena *arena, const char *name, const char *text,
                       size_t bytes, sv_findings *findings, sv_error *err)
{
    xmlDocPtr doc;
    sv_status s = sv_xml_tree(name, text, bytes, &doc, err);
    if (s) return s;
    sv_ubl_judge j = {.world = world,
                      .arena = arena,
                      .findings = findings,
                      .root = xmlDocGetRootElement(doc),
                      .version = ""};
    s = judge(&j, name, text, bytes, err);
    xmlFreeDoc(doc);
    return s;
}

sv_status sv_ubl_check_file(const sv_world *world, sv_arena *arena, const char *path, sv_findings *findings,
                            sv_error *err)
{
    const char *text;
    size_t bytes;
    sv_status s = sv_file_read(arena, path, LARGEST_DOCUMENT, &text, &bytes, err);
    return s ? s : sv_ubl_check(world, arena, path, text, bytes, findings, err);
}
