/* world.c - loads the built-in tables and the user's rows over them. */
#include "base/world.h"

#include <string.h>
#include <unistd.h>

#include "base/files.h"

#define MOST_TABLES        96
#define LARGEST_USER_TABLE ((size_t)16 << 20)

static sv_status lay_over(sv_world *w, sv_table *t, sv_error *err)
{
    if (!*w->data_dir) return SV_OK;
    const char *path = sv_format(w->arena, "%s/%s.tsv", w->data_dir, t->name);
    if (access(path, F_OK) != 0) return SV_OK;
    const char *text;
    size_t bytes;
    sv_status s = sv_file_read(w->arena, path, LARGEST_USER_TABLE, &text, &bytes, err);
    if (s) return s;
    sv_table mine;
    s = sv_table_read(w->arena, t->name, path, text, bytes, false, &mine, err);
    return s ? s : sv_table_override(w->arena, t, &mine, path, err);
}

static bool loaded(const sv_world *w, const char *name)
{
    return sv_world_table(w, name) != NULL;
}

sv_status sv_world_load(sv_world *w, const char *prefix, sv_error *err)
{
    if (!w->table) w->table = SV_NEW_ARRAY(w->arena, MOST_TABLES, sv_table);
    if (!w->table) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    for (size_t i = 0; i < sv_builtin_count; i++) {
        const sv_builtin *b = &sv_builtins[i];
        if (strncmp(b->name, prefix, strlen(prefix)) != 0 || loaded(w, b->name)) continue;
        if (w->tables == MOST_TABLES) return sv_fail(err, SV_LIMIT, "more than %d tables", MOST_TABLES);
        sv_table *t = &w->table[w->tables];
        sv_status s = sv_table_map(w->arena, b->name, b->text, (size_t)(b->end - b->text), t, err);
        if (!s) s = lay_over(w, t, err);
        if (s) return s;
        if (t->users) sv_table_date(t);
        w->tables++;
    }
    return SV_OK;
}

const sv_table *sv_world_table(const sv_world *w, const char *name)
{
    for (size_t i = 0; i < w->tables; i++) {
        if (strcmp(w->table[i].name, name) == 0) return &w->table[i];
    }
    return NULL;
}

sv_status sv_world_need(const sv_world *w, const char *name, const sv_table **out, sv_error *err)
{
    *out = sv_world_table(w, name);
    return *out ? SV_OK : sv_fail(err, SV_BAD_FORMAT, "the table %s is not in this build", name);
}

const char *sv_version(void)
{
    return "0.1.0";
}
