/* index.c - makes the index of names, and finds a name in it. */
#include "atlas/index.h"

#include <string.h>

#include "atlas/atlas_room.h"
#include "base/buf.h"

typedef struct head {
    char mark[8];
    uint32_t names; /* bytes of the text of atlas/names */
    uint32_t alias, region, rows, most_words;
    uint32_t zero;
} head;
static const char block_mark[8] = "svnames1";

/* ---- making ---- */

typedef struct maker {
    const sv_table *names;
    sv_arena *arena;
    sv_buf text;
} maker;

static uint32_t put_text(maker *m, const char *text, size_t bytes)
{
    uint32_t at = (uint32_t)m->text.length;
    sv_put_n(&m->text, text, bytes);
    return at;
}

/* Most keys stand in the table of names already. */
static uint32_t place_of(maker *m, const sv_name *n)
{
    uintptr_t at = (uintptr_t)n->key, text = (uintptr_t)m->names->text;
    if (at >= text && at < text + m->names->bytes) return (uint32_t)(at - text);
    return put_text(m, n->key, n->length) | SV_KEY_OWN;
}

/* Five slots of eight are taken. */
static uint32_t slots_for(const sv_names *names)
{
    return (uint32_t)(names->used + names->used * 3 / 5 + 2);
}

/* The values are members, of so many bytes, of the array at `first`; their number goes into the slot. */
static void put_index(maker *m, const sv_names *names, const void *first, size_t size, sv_buf *out)
{
    uint32_t slots = slots_for(names);
    sv_name_slot *slot = SV_NEW_ARRAY(m->arena, slots, sv_name_slot);
    for (size_t i = 0; slot && i < names->slots; i++) {
        const sv_name *n = &names->slot[i];
        if (!n->value) continue;
        uint32_t at = sv_names_first(n->hash, slots);
        while (slot[at].length)
            at = at + 1 == slots ? 0 : at + 1;
        slot[at] = (sv_name_slot){.key = place_of(m, n),
                                  .value = (uint32_t)(((uintptr_t)n->value - (uintptr_t)first) / size),
                                  .owner = n->owner,
                                  .length = n->length,
                                  .check = (uint8_t)n->hash};
    }
    if (slot) sv_put_n(out, slot, slots * sizeof *slot);
}

static void put_block(maker *m, const sv_atlas *a, const sv_name_rows *places, const sv_names *regions,
                      sv_buf *out)
{
    head h = {.names = (uint32_t)m->names->bytes,
              .alias = slots_for(&places->alias),
              .region = slots_for(regions),
              .rows = (uint32_t)places->rows,
              .most_words = places->most_words};
    memcpy(h.mark, block_mark, sizeof h.mark);
    sv_put_char(&m->text, 0); /* the empty part */
    for (size_t i = 0; i < places->rows; i++) {
        const char *part = places->part[i];
        places->row[i].part = *part ? put_text(m, part, strlen(part) + 1) : 0;
    }
    sv_put_n(out, &h, sizeof h);
    put_index(m, &places->alias, places->row, sizeof *places->row, out);
    put_index(m, regions, a->region, sizeof *a->region, out);
    sv_put_n(out, places->row, places->rows * sizeof *places->row);
    sv_put_n(out, m->text.data, m->text.length);
}

static sv_status make(maker *m, const sv_atlas *a, sv_world *w, sv_buf *out, sv_error *err)
{
    sv_name_rows places = {.rows = 0};
    sv_names regions = {.used = 0};
    sv_status s = sv_atlas_aliases(a, w, &places, err);
    if (!s) s = sv_atlas_region_names(a, w, &regions, err);
    if (s) return s;
    if (sv_arena_failed(w->arena)) return SV_NO_MEMORY;
    put_block(m, a, &places, &regions, out);
    return m->text.failed ? m->text.failed : out->failed;
}

sv_status sv_atlas_names_make(const sv_atlas *a, sv_world *w, const void **block, size_t *bytes,
                              sv_error *err)
{
    maker m = {.arena = w->arena};
    sv_buf out;
    sv_status s = sv_world_need(w, "atlas/names", &m.names, err);
    if (s) return s;
    sv_buf_init(&m.text, 0);
    sv_buf_init(&out, 0);
    s = make(&m, a, w, &out, err);
    char *copy = s ? NULL : sv_alloc(w->arena, out.length);
    if (copy) memcpy(copy, out.data, out.length);
    *block = copy;
    *bytes = out.length;
    if (!s && !copy) s = SV_NO_MEMORY;
    sv_buf_free(&m.text);
    sv_buf_free(&out);
    return s == SV_NO_MEMORY ? sv_fail(err, s, "out of memory while opening the atlas") : s;
}

/* ---- asking ---- */

bool sv_name_block_map(const void *block, const sv_table *names, sv_name_block *out)
{
    const head *h = block;
    if (memcmp(h->mark, block_mark, sizeof h->mark) != 0 || h->names != names->bytes) return false;
    const sv_name_slot *alias = (const sv_name_slot *)(const void *)(h + 1), *region = alias + h->alias;
    out->row = (const sv_alias_row *)(const void *)(region + h->region);
    out->text = (const char *)(out->row + h->rows);
    out->alias = (sv_name_index){alias, h->alias, out->text, names->text};
    out->region = (sv_name_index){region, h->region, out->text, names->text};
    out->most_words = h->most_words;
    return true;
}

static const char *key_of(const sv_name_index *x, const sv_name_slot *s)
{
    return s->key & SV_KEY_OWN ? x->own + (s->key & ~SV_KEY_OWN) : x->names + s->key;
}

bool sv_name_find(const sv_name_index *x, uint16_t owner, const char *key, size_t length, uint32_t *value)
{
    if (!length || length > 255) return false;
    uint32_t hash = sv_names_hash(owner, key, length), at = sv_names_first(hash, x->slots);
    for (const sv_name_slot *s; (s = &x->slot[at])->length; at = at + 1 == x->slots ? 0 : at + 1) {
        if (s->check != (uint8_t)hash || s->length != length || s->owner != owner) continue;
        if (memcmp(key_of(x, s), key, length) != 0) continue;
        *value = s->value;
        return true;
    }
    return false;
}
