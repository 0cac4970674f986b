/* mknames.c - at build time: writes the index of names of places and regions (src/atlas/index.c) to the file
 * named. */
#include "atlas/atlas_room.h"
#include "gen/made.h"

/* The library's own block is what this program makes. */
const unsigned char sv_names_block[64] = {0};

int main(int argc, char **argv)
{
    sv_error err = {SV_OK, ""};
    sv_world world = {.arena = sv_arena_new(), .data_dir = "", .today = ""};
    sv_atlas *atlas;
    const void *block;
    size_t bytes;
    if (argc != 2 || !world.arena) return made_fail(argv[0], "usage: mknames FILE");
    if (sv_atlas_tables(&world, &atlas, &err) || sv_atlas_names_make(atlas, &world, &block, &bytes, &err))
        return made_fail(argv[0], err.text);
    int status = made_write(argv[0], argv[1], block, bytes);
    sv_arena_free(world.arena);
    return status;
}
