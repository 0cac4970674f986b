/* node.c - the tree of the dossier's written form. */
#include "base/node.h"

#include <string.h>

static sv_node *add(sv_arena *arena, sv_node *parent, sv_node_kind kind, const char *name, const char *text)
{
    if (!parent) return NULL;
    sv_node *n = SV_NEW(arena, sv_node);
    if (!n) return NULL;
    *n = (sv_node){.kind = kind, .name = name, .text = text};
    if (parent->last) {
        parent->last->next = n;
    } else {
        parent->first = n;
    }
    parent->last = n;
    parent->count++;
    return n;
}

sv_node *sv_node_root(sv_arena *arena)
{
    sv_node *n = SV_NEW(arena, sv_node);
    if (n) *n = (sv_node){.kind = SV_NODE_RECORD, .name = "", .text = ""};
    return n;
}

sv_node *sv_node_text(sv_arena *arena, sv_node *parent, const char *name, const char *text)
{
    return add(arena, parent, SV_NODE_TEXT, name, text ? text : "");
}

sv_node *sv_node_number(sv_arena *arena, sv_node *parent, const char *name, const char *decimal)
{
    return add(arena, parent, SV_NODE_NUMBER, name, decimal);
}

sv_node *sv_node_flag(sv_arena *arena, sv_node *parent, const char *name, bool value)
{
    return add(arena, parent, SV_NODE_FLAG, name, value ? "true" : "false");
}

sv_node *sv_node_record(sv_arena *arena, sv_node *parent, const char *name)
{
    return add(arena, parent, SV_NODE_RECORD, name, "");
}

sv_node *sv_node_list(sv_arena *arena, sv_node *parent, const char *name)
{
    return add(arena, parent, SV_NODE_LIST, name, "");
}

sv_node *sv_node_finding(sv_arena *arena, sv_node *list, const sv_finding *f)
{
    const char *said[][2] = {{"severity", sv_severity_word(f->severity)},
                             {"code", sv_code_word(f->code)},
                             {"blocks", sv_blocks_word(f->blocks)},
                             {"place", f->place},
                             {"message", f->message},
                             {"remedy", f->remedy},
                             {"source", f->source},
                             {"as_of", f->as_of}};
    sv_node *n = sv_node_record(arena, list, "");
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        if (said[i][1] && *said[i][1]) sv_node_text(arena, n, said[i][0], said[i][1]);
    }
    return n;
}

const sv_node *sv_node_item(const sv_node *list, size_t index)
{
    const sv_node *n = list ? list->first : NULL;
    while (n && index--)
        n = n->next;
    return n;
}

static const sv_node *child(const sv_node *record, const char *name, size_t length)
{
    for (const sv_node *n = record->first; n; n = n->next) {
        if (strncmp(n->name, name, length) == 0 && !n->name[length]) return n;
    }
    return NULL;
}

const sv_node *sv_node_at(const sv_node *root, const char *path)
{
    const sv_node *n = root;
    while (n && *path) {
        size_t length = strcspn(path, ".[");
        if (length) n = child(n, path, length);
        path += length;
        if (n && *path == '[') {
            size_t index = 0;
            for (path++; *path >= '0' && *path <= '9'; path++)
                index = index * 10 + (size_t)(*path - '0');
            if (*path == ']') path++;
            n = sv_node_item(n, index);
        }
        if (*path == '.') path++;
    }
    return n;
}

const char *sv_text_at(const sv_node *root, const char *path)
{
    const sv_node *n = sv_node_at(root, path);
    return n ? n->text : "";
}

static sv_node *copy_under(sv_arena *arena, sv_node *parent, const sv_node *n)
{
    const char *name = sv_copy(arena, n->name), *words = sv_copy(arena, n->text);
    sv_node *made = parent ? add(arena, parent, n->kind, name, words) : sv_node_root(arena);
    for (const sv_node *c = n->first; c && made; c = c->next) {
        if (!copy_under(arena, made, c)) return NULL;
    }
    return made;
}

sv_node *sv_node_copy(sv_arena *arena, const sv_node *root)
{
    return root ? copy_under(arena, NULL, root) : NULL;
}

static void indent(sv_buf *out, int depth)
{
    sv_put_char(out, '\n');
    while (depth-- > 0)
        sv_put(out, "  ");
}

static void write(const sv_node *n, sv_buf *out, int depth)
{
    switch (n->kind) {
    case SV_NODE_TEXT: sv_put_json(out, n->text); return;
    case SV_NODE_NUMBER:
    case SV_NODE_FLAG: sv_put(out, n->text); return;
    case SV_NODE_RECORD:
    case SV_NODE_LIST: break;
    }
    bool record = n->kind == SV_NODE_RECORD;
    sv_put_char(out, record ? '{' : '[');
    for (const sv_node *c = n->first; c; c = c->next) {
        indent(out, depth + 1);
        if (record) {
            sv_put_json(out, c->name);
            sv_put(out, ": ");
        }
        write(c, out, depth + 1);
        if (c->next) sv_put_char(out, ',');
    }
    if (n->first) indent(out, depth);
    sv_put_char(out, record ? '}' : ']');
}

void sv_node_json(const sv_node *root, sv_buf *out)
{
    if (root) write(root, out, 0);
    sv_put_char(out, '\n');
}
