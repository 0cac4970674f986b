/* mkwords.c - at build time: writes the index of all words (src/garment/index.c) to the file named. */
#include "garment/lexicon.h"
#include "gen/made.h"

/* The library's own block is what this program makes. */
const unsigned char sv_index_block[8] = {0};
const unsigned char sv_index_block_end[1] = {0};

int main(int argc, char **argv)
{
    sv_error err = {SV_OK, ""};
    sv_world world = {.arena = sv_arena_new(), .data_dir = "", .today = ""};
    sv_wordbook *lex;
    const void *block;
    size_t bytes;
    if (argc != 2 || !world.arena) return made_fail(argv[0], "usage: mkwords FILE");
    if (sv_wordbook_tables(&world, &lex, &err) || sv_index_make(lex, &world, &block, &bytes, &err))
        return made_fail(argv[0], err.text);
    int status = made_write(argv[0], argv[1], block, bytes);
    sv_arena_free(world.arena);
    return status;
}
