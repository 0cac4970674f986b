/* split_phrases.c - makes the block of phrases, and takes it. */
#include "address/split_phrases.h"

#include <string.h>

#include "base/buf.h"

typedef struct head {
    char mark[8];
    uint32_t sets, words, first, parts, easts, senses;
} head;
static const char block_mark[8] = "svphras1";

/* The senses of one phrase stand side by side. */
typedef struct sense_row {
    uint16_t in, hints; /* number of the set + 1; 0 none */
    uint8_t class, last;
} sense_row;
typedef struct east_row {
    uint32_t text;
    uint8_t bytes, class;
} east_row;

/* ---- making ---- */

typedef struct maker {
    sv_arena *arena;
    const sp_places **set;
    uint32_t sets, senses;
    sv_buf sense, text;
} maker;

static uint32_t put_text(maker *m, const char *text, size_t bytes)
{
    uint32_t at = (uint32_t)m->text.length;
    sv_put_n(&m->text, text, bytes);
    return at;
}

static uint16_t set_number(const maker *m, const sp_places *set)
{
    uint32_t i = 0;
    while (set && m->set[i] != set)
        i++;
    return (uint16_t)(set ? i + 1 : 0);
}

static uint32_t put_senses(maker *m, const sp_sense *s)
{
    uint32_t first = m->senses;
    for (; s; s = s->next, m->senses++) {
        sense_row row = {set_number(m, s->in), set_number(m, s->hints), s->class, s->next == NULL};
        sv_put_n(&m->sense, &row, sizeof row);
    }
    return first;
}

/* Five slots of eight are taken. */
static uint32_t slots_for(const sv_names *names)
{
    return (uint32_t)(names->used + names->used * 3 / 5 + 2);
}

static void put_index(maker *m, const sv_names *names, bool senses, sv_buf *out)
{
    uint32_t slots = slots_for(names);
    sv_name_slot *slot = SV_NEW_ARRAY(m->arena, slots, sv_name_slot);
    for (size_t i = 0; slot && i < names->slots; i++) {
        const sv_name *n = &names->slot[i];
        if (!n->value) continue;
        uint32_t at = sv_names_first(n->hash, slots);
        while (slot[at].length)
            at = at + 1 == slots ? 0 : at + 1;
        slot[at] = (sv_name_slot){.key = put_text(m, n->key, n->length) | SV_KEY_OWN,
                                  .value = senses ? put_senses(m, n->value) : (uint32_t)(uintptr_t)n->value,
                                  .owner = n->owner,
                                  .length = n->length,
                                  .check = (uint8_t)n->hash};
    }
    if (slot) sv_put_n(out, slot, slots * sizeof *slot);
}

static void number_sets(maker *m, const sv_names *sets, sv_buf *out)
{
    m->set = SV_NEW_ARRAY(m->arena, sets->used + 1, const sp_places *);
    for (size_t i = 0; m->set && i < sets->slots; i++) {
        if (!sets->slot[i].value) continue;
        m->set[m->sets++] = sets->slot[i].value;
        sv_put_n(out, sets->slot[i].value, sizeof(sp_places));
    }
}

static void put_block(maker *m, const sp_gathered *g, sv_buf *out)
{
    head h = {.sets = (uint32_t)g->sets.used,
              .words = slots_for(&g->words),
              .first = slots_for(&g->first),
              .parts = slots_for(&g->parts),
              .easts = (uint32_t)g->easts};
    memcpy(h.mark, block_mark, sizeof h.mark);
    sv_put_n(out, &h, sizeof h);
    number_sets(m, &g->sets, out);
    if (!m->set) return;
    put_index(m, &g->words, true, out);
    put_index(m, &g->first, false, out);
    put_index(m, &g->parts, false, out);
    for (size_t i = 0; i < g->easts; i++) {
        const sp_east_word *e = &g->east[i];
        east_row row = {put_text(m, e->text, e->bytes), e->bytes, e->class};
        sv_put_n(out, &row, sizeof row);
    }
    sv_put_n(out, m->sense.data, m->sense.length);
    sv_put_n(out, g->ends, sizeof g->ends);
    sv_put_n(out, m->text.data, m->text.length);
    if (out->failed) return;
    h.senses = m->senses;
    memcpy(out->data, &h, sizeof h);
}

static const void *make(maker *m, const sp_gathered *g, size_t *bytes)
{
    sv_buf out;
    sv_buf_init(&out, 0);
    put_block(m, g, &out);
    bool failed = out.failed || m->text.failed || m->sense.failed || sv_arena_failed(m->arena);
    char *block = failed ? NULL : sv_alloc(m->arena, out.length);
    if (block) memcpy(block, out.data, out.length);
    *bytes = out.length;
    sv_buf_free(&out);
    return block;
}

sv_status sp_phrases_make(sv_world *w, const void **block, size_t *bytes, sv_error *err)
{
    sp_gathered *g = SV_NEW(w->arena, sp_gathered);
    if (!g) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    g->arena = w->arena;
    sv_status s = sp_gather(g, w, err);
    if (s) return s;
    maker m = {.arena = w->arena};
    sv_buf_init(&m.sense, 0);
    sv_buf_init(&m.text, 0);
    *block = make(&m, g, bytes);
    sv_buf_free(&m.sense);
    sv_buf_free(&m.text);
    return *block ? SV_OK : sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
}

/* ---- taking ---- */

static bool take_senses(const sense_row *row, size_t n, const sp_places *set, sv_arena *arena, sp_data *out)
{
    sp_sense *sense = SV_NEW_ARRAY(arena, n + 1, sp_sense);
    for (size_t i = 0; sense && i < n; i++)
        sense[i] = (sp_sense){.class = row[i].class,
                              .in = row[i].in ? &set[row[i].in - 1] : NULL,
                              .hints = row[i].hints ? &set[row[i].hints - 1] : NULL,
                              .next = row[i].last ? NULL : &sense[i + 1]};
    out->sense = sense;
    return sense != NULL;
}

static bool take_east(const east_row *row, size_t n, const char *text, sv_arena *arena, sp_data *out)
{
    sp_east_word *east = SV_NEW_ARRAY(arena, n + 1, sp_east_word);
    for (size_t i = 0; east && i < n; i++)
        east[i] = (sp_east_word){text + row[i].text, row[i].bytes, row[i].class};
    out->east = east;
    out->easts = n;
    return east != NULL;
}

bool sp_phrases_map(const void *block, sv_arena *arena, sp_data *out)
{
    const head *h = block;
    if (memcmp(h->mark, block_mark, sizeof h->mark) != 0) return false;
    const sp_places *set = (const sp_places *)(const void *)(h + 1);
    const sv_name_slot *words = (const sv_name_slot *)(const void *)(set + h->sets);
    const sv_name_slot *first = words + h->words, *parts = first + h->first;
    const east_row *east = (const east_row *)(const void *)(parts + h->parts);
    const sense_row *sense = (const sense_row *)(const void *)(east + h->easts);
    out->ends = (const uint8_t *)(sense + h->senses);
    const char *text = (const char *)out->ends + SP_ENDS;
    out->words = (sv_name_index){words, h->words, text, NULL};
    out->first = (sv_name_index){first, h->first, text, NULL};
    out->parts = (sv_name_index){parts, h->parts, text, NULL};
    return take_senses(sense, h->senses, set, arena, out) && take_east(east, h->easts, text, arena, out);
}
