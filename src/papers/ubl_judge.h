/* ubl_judge.h - what the parts of the judge of UBL documents share. */
#ifndef SV_UBL_JUDGE_H
#define SV_UBL_JUDGE_H

#include <libxml/tree.h>

#include "papers/ubl.h"

#define SV_UBL_CAC "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"
#define SV_UBL_CBC "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"
#define SV_UBL_EXT "urn:oasis:names:specification:ubl:schema:xsd:CommonExtensionComponents-2"

typedef struct sv_ubl_class sv_ubl_class; /* a class of the standard, made from the table when first met */

typedef struct sv_ubl_judge {
    const sv_world *world;
    sv_arena *arena;
    sv_findings *findings;
    const sv_table *structure, *types, *codes;
    sv_ubl_class *classes;
    sv_ubl_kind kind;
    xmlNodePtr root;
    const char *version; /* UBLVersionID, "" when none */
    size_t said;
} sv_ubl_judge;

/* ---- the parts, in the order they are asked ----------------------------------------------------- */

void sv_ubl_judge_structure(
    sv_ubl_judge *j);                     /* elements, order, number; values, attributes and codes of each */
void sv_ubl_judge_sums(sv_ubl_judge *j);  /* of an invoice */
void sv_ubl_judge_goods(sv_ubl_judge *j); /* shipments: values, weights, customs codes, descriptions */
void sv_ubl_judge_numbers(sv_ubl_judge *j); /* check digits */

/* A value by its data type: form, attributes, codes. */
void sv_ubl_judge_value(sv_ubl_judge *j, xmlNodePtr node, const char *type, const char *list);
bool sv_ubl_in_list(const sv_ubl_judge *j, const char *list, const char *code);

/* ---- nodes -------------------------------------------------------------------------------------- */

/* Says something about a node. {1} of the sentence is its line; {2} to {4} are a, b, c, which may be NULL. */
sv_finding *sv_ubl_say(sv_ubl_judge *j, sv_code code, xmlNodePtr node, const char *a, const char *b,
                       const char *c);
/* "cac:Party", by namespace; a name of another namespace comes with its own prefix, if any. */
const char *sv_ubl_name(const sv_ubl_judge *j, xmlNodePtr node);
bool sv_ubl_is(xmlNodePtr node, const char *name);
/* The first child element of that name, and the next sibling of that name; NULL. */
xmlNodePtr sv_ubl_child(xmlNodePtr node, const char *name);
xmlNodePtr sv_ubl_next(xmlNodePtr node, const char *name);
/* By a path of names apart by `/`. */
xmlNodePtr sv_ubl_at(xmlNodePtr node, const char *path);
/* The next element of that name in the document below `top`, in document order; `after` NULL: the first. */
xmlNodePtr sv_ubl_walk(xmlNodePtr top, xmlNodePtr after, const char *name);
const char *sv_ubl_text(const sv_ubl_judge *j, xmlNodePtr node); /* trimmed; "" for NULL */
const char *sv_ubl_attribute(const sv_ubl_judge *j, xmlNodePtr node, const char *name);
sv_dec sv_ubl_number(const sv_ubl_judge *j, xmlNodePtr node); /* unknown for NULL or no number */
bool sv_ubl_all_blank(const char *text);

#endif
