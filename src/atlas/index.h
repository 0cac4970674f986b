/* index.h - the index of names made ready: a block without pointers, written when the program is built and
 * used where it lies. */
#ifndef SV_ATLAS_INDEX_H
#define SV_ATLAS_INDEX_H

#include "atlas/names.h"
#include "base/table.h"

typedef struct sv_name_slot {
    uint32_t key; /* where its letters begin: in the text of atlas/names, or with SV_KEY_OWN in the block's */
    uint32_t value;
    uint16_t owner; /* names of different owners do not meet */
    uint8_t length; /* 0: a free slot */
    uint8_t check;  /* low bits of the hash */
} sv_name_slot;
#define SV_KEY_OWN ((uint32_t)1 << 31)

typedef struct sv_name_index {
    const sv_name_slot *slot;
    uint32_t slots;
    const char *own, *names; /* texts */
} sv_name_index;

/* What a name of a place stands for. */
typedef struct sv_alias_row {
    uint16_t place; /* number + 1; 0: shared by two */
    bool weak;
    uint32_t part; /* in the block's text */
} sv_alias_row;

typedef struct sv_name_block {
    sv_name_index alias, region;
    const sv_alias_row *row;
    const char *text;
    size_t most_words;
} sv_name_block;

/* The names while they are gathered. */
typedef struct sv_name_rows {
    sv_names alias;
    sv_alias_row *row;
    const char **part; /* beside each row */
    size_t rows;
    uint32_t most_words;
} sv_name_rows;

/* Allocates nothing; false when it is not known. */
bool sv_name_find(const sv_name_index *index, uint16_t owner, const char *key, size_t length,
                  uint32_t *value);
/* Takes a block (at a multiple of 4) made over this table of names; false when it is none. Both must stay. */
bool sv_name_block_map(const void *block, const sv_table *names, sv_name_block *out);

/* The block over the built-in tables (src/gen/mknames.c makes it). */
extern const unsigned char sv_names_block[];

#endif
