/* mktable.c - at build time: reads a data table and writes it made ready (src/base/stored.c).
 * mktable data/ROOM/NAME.tsv FILE */
#include "base/files.h"
#include "base/table.h"
#include "gen/made.h"

int main(int argc, char **argv)
{
    sv_error err = {SV_OK, ""};
    sv_arena *arena = sv_arena_new();
    const char *text;
    size_t bytes;
    sv_table t;
    sv_buf out;
    if (argc != 3 || !arena) return made_fail(argv[0], "usage: mktable TABLE FILE");
    if (sv_file_read(arena, argv[1], (size_t)1 << 26, &text, &bytes, &err) ||
        sv_table_read(arena, argv[1], argv[1], text, bytes, false, &t, &err))
        return made_fail(argv[0], err.text);
    sv_table_date(&t);
    sv_buf_init(&out, 0);
    if (sv_table_store(&t, &out)) return made_fail(argv[0], "out of memory");
    int status = made_write(argv[0], argv[2], out.data, out.length);
    sv_buf_free(&out);
    sv_arena_free(arena);
    return status;
}
