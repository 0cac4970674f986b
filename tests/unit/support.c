/* support.c - what the test programs share. */
#include "support.h"

#include <stdio.h>
#include <string.h>
#include <sys/wait.h>

#include "base/buf.h"
#include "base/files.h"

sv_world *open_world(unsigned rooms)
{
    sv_world *w = NULL;
    sv_error err = {SV_OK, ""};
    sv_world_options options = {.today = "2026-11-25", .rooms = rooms};
    if (sv_world_open(&options, &w, &err) != SV_OK) fail_msg("the world does not open: %s", err.text);
    return w;
}

const sv_table *expected(sv_arena *arena, const char *name)
{
    sv_error err = {SV_OK, ""};
    const char *path = sv_format(arena, "tests/expected/%s.tsv", name), *text;
    size_t bytes;
    sv_table *t = SV_NEW(arena, sv_table);
    if (sv_file_read(arena, path, (size_t)16 << 20, &text, &bytes, &err) != SV_OK ||
        sv_table_read(arena, name, path, text, bytes, false, t, &err) != SV_OK)
        fail_msg("%s", err.text);
    assert_true(t->rows > 0);
    for (size_t i = 0; i < t->rows; i++) {
        if (!*field(t, i, "source"))
            fail_msg("%s: row %zu (%s) names no source", path, i + 1, sv_cell(t, i, 0));
    }
    return t;
}

const char *field(const sv_table *t, size_t row, const char *column)
{
    int c = sv_table_column(t, column);
    if (c < 0) fail_msg("%s has no column %s", t->name, column);
    return sv_cell(t, row, c);
}

void same(const char *id, const char *what, const char *wanted, const char *got)
{
    if (strcmp(wanted, got) != 0) fail_msg("%s: %s\n  wanted: %s\n  got:    %s", id, what, wanted, got);
}

const char *slurp(sv_arena *arena, const char *path, size_t *bytes)
{
    const char *text;
    size_t n;
    if (sv_file_read(arena, path, (size_t)256 << 20, &text, &n, NULL) != SV_OK) return NULL;
    if (bytes) *bytes = n;
    return text;
}

const char *run(sv_arena *arena, const char *command, int *status)
{
    FILE *p = popen(command, "r");
    assert_non_null(p);
    sv_buf b;
    sv_buf_init(&b, 0);
    char chunk[4096];
    size_t n;
    while ((n = fread(chunk, 1, sizeof chunk, p)) > 0)
        sv_put_n(&b, chunk, n);
    int code = pclose(p);
    if (status) *status = WIFEXITED(code) ? WEXITSTATUS(code) : -1;
    const char *out = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return out;
}

void write_table(const char *folder, const char *name, const char *text)
{
    sv_error err;
    char path[128];
    const char *file = strchr(name, '/');
    assert_non_null(file);
    snprintf(path, sizeof path, "%s/%.*s", folder, (int)(file - name), name);
    if (sv_folder_make(path, &err)) fail_msg("%s", err.text);
    snprintf(path, sizeof path, "%s/%s.tsv", folder, name);
    if (sv_file_write(path, text, strlen(text), &err)) fail_msg("%s", err.text);
}
