/* mkphrases.c - at build time: writes the phrases of the splitter (src/address/split_phrases.c) to the file
 * named. */
#include "address/split_phrases.h"
#include "gen/made.h"

/* The library's own blocks: this program makes the second, and does without the first. */
const unsigned char sv_names_block[64] = {0};
const unsigned char sv_phrases_block[64] = {0};

int main(int argc, char **argv)
{
    sv_error err = {SV_OK, ""};
    sv_world world = {.arena = sv_arena_new(), .data_dir = "", .today = ""};
    const void *block;
    size_t bytes;
    if (argc != 2 || !world.arena) return made_fail(argv[0], "usage: mkphrases FILE");
    if (sv_atlas_open(&world, &err) || sv_world_load(&world, "address/", &err) ||
        sp_phrases_make(&world, &block, &bytes, &err))
        return made_fail(argv[0], err.text);
    int status = made_write(argv[0], argv[1], block, bytes);
    sv_arena_free(world.arena);
    return status;
}
