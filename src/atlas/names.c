/* names.c - open addressing, at most three quarters full. */
#include "atlas/names.h"

#include <string.h>

uint32_t sv_names_hash(uint16_t owner, const char *key, size_t length)
{
    uint64_t h = 0x9E3779B97F4A7C15u ^ owner;
    while (length >= 8) {
        uint64_t w;
        memcpy(&w, key, 8);
        h = (h ^ w) * 0xD6E8FEB86659FD93u;
        h ^= h >> 32;
        key += 8;
        length -= 8;
    }
    uint64_t w = length;
    for (size_t i = 0; i < length; i++)
        w = w << 8 | (unsigned char)key[i];
    h = (h ^ w) * 0xD6E8FEB86659FD93u;
    return (uint32_t)(h >> 32);
}

bool sv_names_make(sv_arena *arena, sv_names *n, size_t most)
{
    size_t slots = most + most / 3 + 64;
    if (slots > UINT32_MAX) return false;
    n->slot = SV_NEW_ARRAY(arena, slots, sv_name);
    n->slots = (uint32_t)slots;
    n->used = 0;
    return n->slot != NULL;
}

sv_name *sv_names_slot(const sv_names *n, uint32_t hash, uint16_t owner, const char *key, size_t length)
{
    for (uint32_t at = sv_names_first(hash, n->slots);; at = at + 1 == n->slots ? 0 : at + 1) {
        sv_name *s = &n->slot[at];
        if (!s->value) return s;
        if (s->hash == hash && s->length == length && s->owner == owner && memcmp(s->key, key, length) == 0)
            return s;
    }
}

bool sv_names_fill(sv_names *n, sv_name *slot, sv_name name)
{
    size_t length = name.length;
    if (!length || n->used * 4 >= n->slots * (size_t)3) return false;
    *slot = name;
    n->used++;
    return true;
}

bool sv_names_put(sv_names *n, uint16_t owner, const char *key, size_t length, const void *value)
{
    if (!length || length > 255) return false;
    uint32_t hash = sv_names_hash(owner, key, length);
    sv_name *s = sv_names_slot(n, hash, owner, key, length);
    return !s->value && sv_names_fill(n, s, (sv_name){key, hash, owner, (uint8_t)length, value});
}
