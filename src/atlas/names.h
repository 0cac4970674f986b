/* names.h - an index from names to values, filled once at opening. */
#ifndef SV_NAMES_H
#define SV_NAMES_H

#include "selvedge/base.h"

typedef struct sv_name {
    const char *key; /* not terminated */
    uint32_t hash;
    uint16_t owner; /* names of different owners do not meet: place number of a region's name */
    uint8_t length;
    const void *value; /* NULL: a free slot */
} sv_name;

typedef struct sv_names {
    sv_name *slot;
    uint32_t slots;
    size_t used;
} sv_names;

/* Room for `most` names. False when out of memory. */
bool sv_names_make(sv_arena *arena, sv_names *n, size_t most);
uint32_t sv_names_hash(uint16_t owner, const char *key, size_t length);
/* Where a name of this hash is looked for first. */
static inline uint32_t sv_names_first(uint32_t hash, uint32_t slots)
{
    return (uint32_t)((uint64_t)hash * slots >> 32);
}
/* The slot of a name, a free one (value NULL) where it is not known. */
sv_name *sv_names_slot(const sv_names *n, uint32_t hash, uint16_t owner, const char *key, size_t length);
/* Fills the free slot that sv_names_slot gave for this name, whose key must stay; false when there is no more
 * room. */
bool sv_names_fill(sv_names *n, sv_name *slot, sv_name name);
/* Puts a name of at most 255 bytes where it is not known; false (and nothing changed) when it is, or there is
 * no room. The key must stay. */
bool sv_names_put(sv_names *n, uint16_t owner, const char *key, size_t length, const void *value);
static inline const void *sv_names_get(const sv_names *n, uint16_t owner, const char *key, size_t length)
{
    return length ? sv_names_slot(n, sv_names_hash(owner, key, length), owner, key, length)->value : NULL;
}

#endif
