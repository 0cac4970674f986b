/* mktable.c - at build time: reads a data table and writes it made ready (src/base/stored.c).
 * mktable data/ROOM/NAME.tsv FILE */
#include <stdio.h>

#include "base/files.h"
#include "base/table.h"

static int fail(const char *what)
{
    fprintf(stderr, "mktable: %s\n", what);
    return 1;
}

int main(int argc, char **argv)
{
    sv_error err = {SV_OK, ""};
    sv_arena *arena = sv_arena_new();
    const char *text;
    size_t bytes;
    sv_table t;
    sv_buf out;
    if (argc != 3 || !arena) return fail("usage: mktable TABLE FILE");
    if (sv_file_read(arena, argv[1], (size_t)1 << 26, &text, &bytes, &err) ||
        sv_table_read(arena, argv[1], argv[1], text, bytes, false, &t, &err))
        return fail(err.text);
    sv_table_date(&t);
    sv_buf_init(&out, 0);
    if (sv_table_store(&t, &out)) return fail("out of memory");
    FILE *f = fopen(argv[2], "wb");
    if (!f || fwrite(out.data, 1, out.length, f) != out.length || fclose(f) != 0)
        return fail("cannot write the file");
    sv_buf_free(&out);
    sv_arena_free(arena);
    return 0;
}
