/* lexicon.h - the index of border/words: a block without pointers, written when the program is built. */
#ifndef SV_BORDER_LEXICON_H
#define SV_BORDER_LEXICON_H

#include "border/words.h"

/* Makes the block over this table; memory is the arena's. */
SV_MUST_USE sv_status sv_lexicon_make(sv_arena *arena, const sv_table *words, const void **block,
                                      size_t *bytes, sv_error *err);
/* The block over the built-in table (src/gen/mkterms.c makes it). */
extern const unsigned char sv_terms_block[];

#endif
