/* words.h - which things a free text speaks of: dangerous goods, animals, prints, kinds of clothing.
 *
 * border/words holds the words. Whole words count, in any order of the languages' own; a phrase of several
 * words beats a shorter one. A word is taken back by a mark beside it: "faux fur" is no fur, "leopard print"
 * no leopard. */
#ifndef SV_BORDER_WORDS_H
#define SV_BORDER_WORDS_H

#include "base/table.h"
#include "selvedge/base.h"

typedef struct sv_lexicon sv_lexicon;

/* The index of the table, which stays; made ready at build time where no row is the user's. */
SV_MUST_USE sv_status sv_lexicon_open(sv_arena *arena, const sv_table *words, sv_lexicon **out,
                                      sv_error *err);

/* A set of things, each a key such as `battery`, with the word that named it. */
#define SV_MOST_THINGS 96
typedef struct sv_things {
    const char *key[SV_MOST_THINGS];
    const char *because[SV_MOST_THINGS];
    size_t count;
} sv_things;

bool sv_thing_in(const sv_things *things, const char *key, size_t bytes);
void sv_thing_add(sv_arena *arena, sv_things *things, const char *key, size_t bytes, const char *because);
void sv_thing_drop(sv_things *things, const char *key, size_t bytes);

/* Adds what the text speaks of. */
void sv_words_read(const sv_lexicon *lexicon, sv_arena *arena, const char *text, sv_things *things);

#endif
