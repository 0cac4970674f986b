/* sample.h - written dossiers for the tests of the papers, read from tests/papers/NAME.tsv, and a press to
 * draw them. */
#ifndef SV_TEST_SAMPLE_H
#define SV_TEST_SAMPLE_H

#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "base/files.h"
#include "base/node.h"
#include "papers/form.h"
#include "papers/papers.h"
#include "selvedge/papers.h"
#include "support.h"
#include "text/press.h"

static inline sv_node *sample_child(sv_arena *a, sv_node *parent, const char *name, bool list)
{
    for (sv_node *n = parent->first; n; n = n->next)
        if (strcmp(n->name, name) == 0) return n;
    return list ? sv_node_list(a, parent, name) : sv_node_record(a, parent, name);
}

static inline void sample_put(sv_arena *a, sv_node *root, const char *path, const char *value)
{
    size_t n = strlen(path);
    bool list = n > 2 && strcmp(path + n - 2, "[]") == 0;
    const char *dot = strchr(path, '.');
    const char *leaf =
        sv_copy_n(a, dot ? dot + 1 : path, (list ? n - 2 : n) - (dot ? (size_t)(dot + 1 - path) : 0));
    sv_node *parent = dot ? sample_child(a, root, sv_copy_n(a, path, (size_t)(dot - path)), false) : root;
    if (list) {
        sv_node_text(a, sample_child(a, parent, leaf, true), "", value);
        return;
    }
    for (sv_node *old = parent->first; old; old = old->next) {
        if (strcmp(old->name, leaf) != 0) continue;
        old->kind = SV_NODE_TEXT;
        old->text = sv_copy(a, value);
        old->first = old->last = NULL;
        old->count = 0;
        return;
    }
    sv_node_text(a, parent, leaf, value);
}

static inline sv_node *sample(sv_arena *a, const char *name)
{
    size_t bytes = 0;
    const char *text = slurp(a, sv_format(a, "tests/papers/%s.tsv", name), &bytes);
    assert_non_null(text);
    sv_node *root = sv_node_root(a), *line = NULL;
    for (const char *p = text; *p;) {
        const char *row = sv_copy_n(a, p, strcspn(p, "\n"));
        p += strlen(row) + (p[strlen(row)] == '\n');
        if (*row == '#' || !*row) continue;
        if (strcmp(row, "line+") == 0) {
            line = sv_node_record(a, sample_child(a, root, "line", true), "");
            continue;
        }
        size_t tab = strcspn(row, "\t");
        const char *path = sv_copy_n(a, row, tab), *value = row[tab] ? row + tab + 1 : "";
        if (*path == '.')
            sv_node_text(a, line, path + 1, value);
        else
            sample_put(a, root, path, value);
    }
    return root;
}

/* The record of a line, to change its values. */
static inline sv_node *sample_line(sv_node *root, size_t index)
{
    sv_node *n = sample_child(NULL, root, "line", true)->first;
    while (n && index--)
        n = n->next;
    return n;
}

typedef struct studio {
    sv_world *world;
    sv_press *press;
    sv_arena *arena;
} studio;

static inline studio studio_open(void)
{
    studio s = {open_world(SV_OPEN_ATLAS | SV_OPEN_ADDRESS | SV_OPEN_LEXICON | SV_OPEN_TARIFF |
                           SV_OPEN_BORDER | SV_OPEN_PAPERS),
                NULL, sv_arena_new()};
    sv_error err = {SV_OK, ""};
    if (sv_papers_open(s.world, &err) != SV_OK) fail_msg("%s", err.text);
    s.press = sv_press_new(s.world);
    assert_non_null(s.press);
    return s;
}

static inline void studio_close(studio *s)
{
    sv_press_free(s->press);
    sv_world_close(s->world);
    sv_arena_free(s->arena);
}

/* Draws into build/papers/FILE.pdf and gives that path. */
static inline const char *studio_pdf(studio *s, const char *form, const sv_node *dossier,
                                     const sv_form_options *options, const char *file, sv_findings *findings)
{
    sv_error err = {SV_OK, ""};
    sv_findings own = sv_findings_in(s->arena);
    sv_buf out;
    sv_buf_init(&out, 0);
    if (sv_form_pdf(s->press, s->arena, form, dossier, options, &out, findings ? findings : &own, &err) !=
        SV_OK)
        fail_msg("%s: %s", form, err.text);
    const char *path = sv_format(s->arena, "build/papers/%s.pdf", file);
    assert_int_equal(sv_folder_make("build/papers", &err), SV_OK);
    assert_int_equal(sv_file_write(path, out.data, out.length, &err), SV_OK);
    sv_buf_free(&out);
    return path;
}

static inline bool tool_is_here(sv_arena *a, const char *tool)
{
    int status = 0;
    run(a, sv_format(a, "command -v %s >/dev/null 2>&1", tool), &status);
    if (status != 0) print_message("SKIP: %s is not installed\n", tool);
    return status == 0;
}

#define NEED(arena, tool)                                                                                    \
    if (!tool_is_here(arena, tool)) skip()

static const char *const all_forms[] = {
    "cn22",        "cn23",       "invoice",     "content-list", "address-label", "label-cn22", "label-cn23",
    "cover-sheet", "data-sheet", "check-sheet", "packing-slip", "return-pack",   "border-card"};
#define FORMS (sizeof all_forms / sizeof *all_forms)

static inline const sv_form *form_of(studio *s, const char *name)
{
    const sv_form *form = NULL;
    sv_error err = {SV_OK, ""};
    if (sv_form_of(s->press, name, NULL, &form, &err) != SV_OK) fail_msg("%s", err.text);
    return form;
}

static inline const char *one_line(sv_arena *a, const char *text)
{
    char *out = sv_alloc(a, strlen(text) + 1);
    size_t k = 0;
    for (const char *p = text; *p; p++) {
        bool blank = strchr(" \n\f", *p) != NULL;
        if (!blank)
            out[k++] = *p;
        else if (k > 0 && out[k - 1] != ' ')
            out[k++] = ' ';
    }
    while (k > 0 && out[k - 1] == ' ')
        k--;
    out[k] = '\0';
    return out;
}

#endif
