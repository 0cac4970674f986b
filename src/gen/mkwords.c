/* mkwords.c - at build time: writes the index of all words (src/garment/index.c) to the file named. */
#include <stdio.h>
#include <stdlib.h>

#include "garment/lexicon.h"

/* The library's own block is what this program makes. */
const unsigned char sv_index_block[8] = {0};
const unsigned char sv_index_block_end[1] = {0};

static int fail(const char *what)
{
    fprintf(stderr, "mkwords: %s\n", what);
    return 1;
}

int main(int argc, char **argv)
{
    sv_error err = {SV_OK, ""};
    sv_world world = {.arena = sv_arena_new(), .data_dir = "", .today = ""};
    sv_wordbook *lex;
    const void *block;
    size_t bytes;
    if (argc != 2 || !world.arena) return fail("usage: mkwords FILE");
    if (sv_wordbook_tables(&world, &lex, &err) || sv_index_make(lex, &world, &block, &bytes, &err))
        return fail(err.text);
    FILE *f = fopen(argv[1], "wb");
    if (!f || fwrite(block, 1, bytes, f) != bytes || fclose(f) != 0) return fail("cannot write the file");
    sv_arena_free(world.arena);
    return 0;
}
