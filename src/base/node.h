/* node.h - a small tree of records, lists and texts: the written form of the dossier.
 *
 * The JSON file, the templates' field paths and the tests all read this tree, so that a figure is formatted
 * once and stands the same on every paper. Paths: "totals.gross_kg", "line[2].value", "addressee.block".
 */
#ifndef SV_NODE_H
#define SV_NODE_H

#include "base/buf.h"

typedef enum sv_node_kind {
    SV_NODE_TEXT,
    SV_NODE_NUMBER,
    SV_NODE_FLAG,
    SV_NODE_RECORD,
    SV_NODE_LIST
} sv_node_kind;
typedef struct sv_node {
    sv_node_kind kind;
    const char *name; /* "" inside a list */
    const char *text; /* of a text, number or flag ("true", "false") */
    struct sv_node *first, *last, *next;
    size_t count; /* children */
} sv_node;

sv_node *sv_node_root(sv_arena *arena);
/* Each adds a child to a record (name) or list (name ""), and returns it; NULL in gives NULL out. */
sv_node *sv_node_text(sv_arena *arena, sv_node *parent, const char *name, const char *text);
sv_node *sv_node_number(sv_arena *arena, sv_node *parent, const char *name, const char *decimal);
sv_node *sv_node_flag(sv_arena *arena, sv_node *parent, const char *name, bool value);
sv_node *sv_node_record(sv_arena *arena, sv_node *parent, const char *name);
sv_node *sv_node_list(sv_arena *arena, sv_node *parent, const char *name);

/* A record of all that a finding says; what it leaves unsaid is absent. */
sv_node *sv_node_finding(sv_arena *arena, sv_node *list, const sv_finding *finding);

const sv_node *sv_node_at(const sv_node *root, const char *path); /* NULL when it is not there */
const char *sv_text_at(const sv_node *root, const char *path);    /* "" when it is not there */
const sv_node *sv_node_item(const sv_node *list, size_t index);   /* from 0 */
/* The whole tree with its texts, in another arena; NULL when out of memory. */
sv_node *sv_node_copy(sv_arena *arena, const sv_node *root);
void sv_node_json(const sv_node *root, sv_buf *out);

#endif
