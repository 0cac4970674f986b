/* split_phrases.h - the phrases of the splitter made ready: a block without pointers, written when the
 * program is built and used where it lies. */
#ifndef SV_SPLIT_PHRASES_H
#define SV_SPLIT_PHRASES_H

#include "address/split.h"
#include "base/world.h"

/* The phrases while they are gathered; words, first and parts as in sp_data, with pointers for values. */
typedef struct sp_gathered {
    sv_arena *arena;
    sv_names words; /* -> sp_sense */
    sv_names first; /* -> the most words, as a number in a pointer */
    sv_names parts; /* -> sp_part + 1, likewise */
    sv_names sets;  /* lists of codes, each made once -> sp_places */
    uint8_t ends[SP_ENDS];
    sp_east_word *east;
    size_t easts;
} sp_gathered;

/* split_gather.c: from the tables of the address room and the regions of the atlas, which is open. */
sv_status sp_gather(sp_gathered *out, sv_world *world, sv_error *err);

/* Makes the block; memory is the world's. */
sv_status sp_phrases_make(sv_world *world, const void **block, size_t *bytes, sv_error *err);
/* Takes a block (at a multiple of 8), which must stay; false when it is none or memory is out. */
bool sp_phrases_map(const void *block, sv_arena *arena, sp_data *out);
/* The block over the built-in tables (src/gen/mkphrases.c makes it). */
extern const unsigned char sv_phrases_block[];

void sp_read_places(sp_places *set, const char *list); /* codes apart by blanks */
sv_status sp_bad(sv_error *err, const sv_table *table, size_t row, const char *column);

#endif
