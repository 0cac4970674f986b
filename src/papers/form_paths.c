/* form_paths.c - does a template name values that there are? A slip of the pen would else print an empty box.
 */
#include <ctype.h>
#include <string.h>

#include "papers/form.h"

typedef struct checker {
    const sv_table *paths;
    sv_arena *arena;
    const char *list; /* of the repeat that the mark stands in; "" outside */
    const sv_item *at;
    const char *wrong; /* the first path that is not known */
    int line;
} checker;

/* line[0].value and, in a row of line, .value become line[].value. */
static const char *plain_path(checker *c, const char *path)
{
    if (path[0] == '.') return sv_format(c->arena, "%s[]%s", c->list, path);
    char *out = sv_alloc(c->arena, strlen(path) + 1);
    if (out == NULL) return "";
    size_t k = 0;
    for (const char *p = path; *p != '\0'; p++)
        if (k == 0 || out[k - 1] != '[' || !isdigit((unsigned char)*p)) out[k++] = *p;
    return out;
}

static void check_path(checker *c, const char *path, size_t bytes)
{
    if (c->wrong != NULL) return;
    const char *plain = plain_path(c, sv_copy_n(c->arena, path, bytes));
    size_t n = strlen(plain);
    bool whole_record = bytes == 1 && path[0] == '.'; /* a list of texts */
    if (whole_record || sv_table_find(c->paths, plain) != SV_NO_ROW) return;
    if (n > 2 && strcmp(plain + n - 2, "[]") == 0 &&
        sv_table_find(c->paths, sv_copy_n(c->arena, plain, n - 2)) != SV_NO_ROW)
        return;
    c->wrong = sv_copy_n(c->arena, path, bytes);
    c->line = c->at->line_number;
}

static void check_condition(checker *c, const char *condition)
{
    if (*condition != '\0') check_path(c, condition, strcspn(condition, "="));
}

static void check_text(checker *c, const char *text)
{
    for (const char *p = strchr(text, '{'); p != NULL; p = strchr(p, '{')) {
        p++;
        check_path(c, p, strcspn(p, "|}"));
    }
}

static void check_items(checker *c, const sv_item *first)
{
    for (const sv_item *i = first; i != NULL; i = i->next) {
        c->at = i;
        check_condition(c, i->when);
        check_condition(c, i->unless);
        if (*i->path != '\0') check_path(c, i->path, strlen(i->path));
        if (i->kind == SV_ITEM_TEXT) check_text(c, i->text);
        const char *before = c->list;
        if (i->kind == SV_ITEM_REPEAT) c->list = i->path;
        check_items(c, i->first);
        c->list = before;
    }
}

sv_status sv_form_check_paths(const sv_world *world, sv_arena *arena, const char *file, const sv_form *form,
                              sv_error *err)
{
    checker c = {.arena = arena, .list = ""};
    sv_status status = sv_world_need(world, "papers/paths", &c.paths, err);
    if (status != SV_OK) return status;
    for (const sv_sheet *s = form->sheets; s != NULL; s = s->next)
        check_items(&c, s->first);
    if (c.wrong == NULL) return SV_OK;
    return sv_fail(err, SV_BAD_FORMAT, "%s:%d: the dossier has no value named %s; docs/dossier.md lists them",
                   file, c.line, c.wrong);
}
