/* mkterms.c - at build time: writes the index of border/words (src/border/lexicon.c) to the file named. */
#include "base/world.h"
#include "border/lexicon.h"
#include "gen/made.h"

/* The library's own block is what this program makes. */
const unsigned char sv_terms_block[64] = {0};

int main(int argc, char **argv)
{
    sv_error err = {SV_OK, ""};
    sv_world world = {.arena = sv_arena_new(), .data_dir = "", .today = ""};
    const sv_table *words;
    const void *block;
    size_t bytes;
    if (argc != 2 || !world.arena) return made_fail(argv[0], "usage: mkterms FILE");
    if (sv_world_load(&world, "border/", &err) || sv_world_need(&world, "border/words", &words, &err) ||
        sv_lexicon_make(world.arena, words, &block, &bytes, &err))
        return made_fail(argv[0], err.text);
    int status = made_write(argv[0], argv[1], block, bytes);
    sv_arena_free(world.arena);
    return status;
}
