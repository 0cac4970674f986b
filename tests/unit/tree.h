/* tree.h - a written dossier for tests of what is made from it: an invented parcel of two lines, the second
 * an extra that was not paid for, with every field filled. */
#ifndef SV_TEST_TREE_H
#define SV_TEST_TREE_H

#include "base/node.h"

/* The figures hang together: 2 x 32.00 less a discount of 3.00, an extra of 1.50. */
static inline void tree_party(sv_arena *a, sv_node *root, const char *name, const char *const values[][2])
{
    sv_node *p = sv_node_record(a, root, name);
    for (int i = 0; values[i][0]; i++)
        sv_node_text(a, p, values[i][0], values[i][1]);
    sv_node *street = sv_node_list(a, p, "street"), *block = sv_node_list(a, p, "block");
    sv_node *local = sv_node_list(a, p, "block_local");
    sv_node_text(a, street, "", "12 Example Street");
    sv_node_text(a, street, "", "Flat \"4\" & garden");
    sv_node_text(a, block, "", "FIRST LINE <of the block>");
    sv_node_text(a, block, "", "LAST LINE");
    if (name[0] != 'a') return;
    sv_node_text(a, local, "", "見本 花子");
    sv_node_text(a, local, "", "京都府京都市中京区");
}

static inline void tree_values(sv_arena *a, sv_node *n, const char *const values[][2])
{
    for (int i = 0; values[i][0]; i++)
        sv_node_text(a, n, values[i][0], values[i][1]);
}

static inline sv_node *tree_of_a_parcel(sv_arena *a)
{
    sv_node *root = sv_node_root(a);
    tree_values(a, root,
                (const char *const[][2]){{"format", "selvedge dossier 1"},
                                         {"reference", "demo-1"},
                                         {"date", "2026-11-25"},
                                         {"form", "CN23"},
                                         {"category", "sale"},
                                         {"category_code", "11"},
                                         {"service", "parcel-post"},
                                         {"item_number", "CX000000120IE"},
                                         {"operator", "Example Post"},
                                         {"currency", "EUR"},
                                         {"incoterm", "DAP"},
                                         {NULL, NULL}});
    sv_node *need = sv_node_record(a, root, "declaration");
    sv_node_flag(a, need, "needed", true);
    tree_party(a, root, "sender",
               (const char *const[][2]){{"recipient", "Ada Exämple"},
                                        {"organisation", "Attic & Co"},
                                        {"city", "Galway"},
                                        {"region", "Connacht"},
                                        {"postcode", "H91 X0X0"},
                                        {"country", "IE"},
                                        {"country_name", "Ireland"},
                                        {"phone", "+353 1 000 0000"},
                                        {"email", "ada@example.org"},
                                        {"eori", "IE0000000A"},
                                        {"signature", "A. Exämple"},
                                        {NULL, NULL}});
    tree_party(a, root, "addressee",
               (const char *const[][2]){{"recipient", "Hanako Mihon"},
                                        {"organisation", "Mihon K.K."},
                                        {"city", "Kyoto"},
                                        {"region", "Kyoto"},
                                        {"postcode", "604-0099"},
                                        {"country", "JP"},
                                        {"country_name", "Japan"},
                                        {"phone", "+81 75 000 0000"},
                                        {"email", "hanako@example.org"},
                                        {"number", "NUMBER-1"},
                                        {NULL, NULL}});
    sv_node *lines = sv_node_list(a, root, "line");
    tree_values(a, sv_node_record(a, lines, ""),
                (const char *const[][2]){{"number", "1"},
                                         {"description", "2 women's knitted jumpers, 100 % cotton, used"},
                                         {"description_short", "women's knitted jumpers, cotton"},
                                         {"quantity", "2"},
                                         {"unit", "pieces"},
                                         {"unit_code", "H87"},
                                         {"net_kg", "0.860"},
                                         {"value", "61.00"},
                                         {"paid", "61.00"},
                                         {"unit_value", "32.00"},
                                         {"currency", "EUR"},
                                         {"code", "611020"},
                                         {"fibres", "shell=cotton 100"},
                                         {"construction", "knit"},
                                         {"wearer", "women"},
                                         {"condition", "used"},
                                         {"made_in", "PT"},
                                         {"made_in_name", "Portugal"},
                                         {"free", "false"},
                                         {NULL, NULL}});
    tree_values(a, sv_node_record(a, lines, ""),
                (const char *const[][2]){{"number", "2"},
                                         {"description", "1 woven handkerchief, 100 % cotton, new"},
                                         {"description_short", "woven handkerchief, cotton"},
                                         {"quantity", "1"},
                                         {"unit", "piece"},
                                         {"unit_code", "H87"},
                                         {"net_kg", "0.018"},
                                         {"value", "1.50"},
                                         {"paid", "0.00"},
                                         {"unit_value", "1.50"},
                                         {"currency", "EUR"},
                                         {"code", "621320"},
                                         {"fibres", "shell=cotton 100"},
                                         {"construction", "woven"},
                                         {"wearer", "unisex"},
                                         {"condition", "new"},
                                         {"made_in", "IE"},
                                         {"made_in_name", "Ireland"},
                                         {"free", "true"},
                                         {NULL, NULL}});
    tree_values(a, sv_node_record(a, root, "totals"),
                (const char *const[][2]){{"goods_paid", "61.00"},
                                         {"goods_value", "62.50"},
                                         {"discount", "3.00"},
                                         {"postage", "12.50"},
                                         {"insurance", "2.00"},
                                         {"invoice_total", "75.50"},
                                         {"net_kg", "0.878"},
                                         {"gross_kg", "1.040"},
                                         {"pieces", "3"},
                                         {"lines", "2"},
                                         {NULL, NULL}});
    tree_values(a, sv_node_record(a, root, "references"),
                (const char *const[][2]){{"order", "A-1 A-2"},
                                         {"licence", "LIC-7"},
                                         {"certificate", "CERT-8"},
                                         {"invoice", "INV-9"},
                                         {"comment", "worn & washed"},
                                         {"non_delivery", "return"},
                                         {"scheme", "IOSS"},
                                         {"scheme_number", "IM3720000001"},
                                         {"sender_reference", "IE0000000A"},
                                         {"importer_reference", "NUMBER-1"},
                                         {NULL, NULL}});
    tree_values(a, sv_node_record(a, root, "package"),
                (const char *const[][2]){{"packing", "padded bag"},
                                         {"length_mm", "320"},
                                         {"width_mm", "240"},
                                         {"height_mm", "60"},
                                         {NULL, NULL}});
    sv_node *cautions = sv_node_list(a, root, "cautions");
    sv_node_text(a, cautions, "", "The official rules decide.");
    sv_node_text(a, cautions, "", "The operator's own form wins.");
    return root;
}

#endif
