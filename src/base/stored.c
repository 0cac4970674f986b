/* stored.c - tables made ready: written when the program is built, used in place when it starts. */
#include <string.h>

#include "base/banned.h"
#include "base/table.h"

/* Behind it: names and types of the columns, cells, rows by key, as places in the text; then the text. */
typedef struct head {
    char mark[8];
    uint32_t bytes, columns, keys, rows;
    uint32_t oldest, newest, from_memory, text;
} head;
static const char block_mark[8] = "svtable1";

/* ---- writing ---- */

typedef struct writer {
    uint32_t *slot; /* open addressing: where a text begins, 0 free (and the empty text, which is known) */
    size_t mask;
    sv_buf text;
} writer;

static size_t hash_of(const char *text)
{
    uint64_t h = 0xCBF29CE484222325u;
    for (; *text; text++)
        h = (h ^ (unsigned char)*text) * 0x100000001B3u;
    return (size_t)(h ^ h >> 29);
}

static uint32_t place_of(writer *w, const char *text)
{
    if (!*text || w->text.failed) return 0;
    size_t at = hash_of(text) & w->mask;
    while (w->slot[at] && strcmp(w->text.data + w->slot[at], text) != 0)
        at = (at + 1) & w->mask;
    if (!w->slot[at]) {
        w->slot[at] = (uint32_t)w->text.length;
        sv_put_n(&w->text, text, strlen(text) + 1);
    }
    return w->slot[at];
}

static void put_number(sv_buf *out, uint32_t n)
{
    sv_put_n(out, &n, sizeof n);
}

static void put_places(writer *w, const sv_table *t, sv_buf *out)
{
    for (int i = 0; i < t->columns; i++)
        put_number(out, place_of(w, t->column[i]));
    for (int i = 0; i < t->columns; i++)
        put_number(out, place_of(w, t->type[i]));
    for (size_t r = 0; r < t->rows; r++) {
        for (int i = 0; i < t->columns; i++)
            put_number(out, place_of(w, sv_cell(t, r, i)));
    }
    sv_put_n(out, t->by_key, t->rows * sizeof *t->by_key);
}

static void put_block(writer *w, const sv_table *t, sv_buf *out)
{
    head h = {.columns = (uint32_t)t->columns, .keys = (uint32_t)t->keys, .rows = (uint32_t)t->rows};
    memcpy(h.mark, block_mark, sizeof h.mark);
    h.oldest = place_of(w, t->oldest);
    h.newest = place_of(w, t->newest);
    h.from_memory = (uint32_t)t->from_memory;
    size_t start = out->length;
    sv_put_n(out, &h, sizeof h);
    put_places(w, t, out);
    sv_put_n(out, w->text.data, w->text.length);
    if (w->text.failed || out->failed) return;
    h.text = (uint32_t)w->text.length;
    h.bytes = (uint32_t)(out->length - start);
    memcpy(out->data + start, &h, sizeof h);
}

sv_status sv_table_store(const sv_table *t, sv_buf *out)
{
    sv_arena *arena = sv_arena_new();
    if (!arena) return SV_NO_MEMORY;
    writer w = {.mask = 63};
    while (w.mask < 2 * (t->rows + 3) * (size_t)t->columns)
        w.mask = w.mask * 2 + 1;
    w.slot = SV_NEW_ARRAY(arena, w.mask + 1, uint32_t);
    sv_buf_init(&w.text, 0);
    sv_put_char(&w.text, 0);
    if (w.slot) put_block(&w, t, out);
    sv_status s = !w.slot ? SV_NO_MEMORY : w.text.failed ? w.text.failed : out->failed;
    sv_buf_free(&w.text);
    sv_arena_free(arena);
    return s;
}

/* ---- taking ---- */

static const uint32_t *take(const uint32_t **at, size_t n)
{
    const uint32_t *part = *at;
    *at += n;
    return part;
}

sv_status sv_table_map(sv_arena *arena, const char *name, const void *block, size_t bytes, sv_table *out,
                       sv_error *err)
{
    const head *h = block;
    if (bytes < sizeof *h || memcmp(h->mark, block_mark, sizeof h->mark) != 0 || h->bytes != bytes)
        return sv_fail(err, SV_BAD_FORMAT, "the built-in table %s is broken", name);
    const uint32_t *at = (const uint32_t *)(const void *)(h + 1);
    const uint32_t *names = take(&at, 2 * (size_t)h->columns);
    const char **column = SV_NEW_ARRAY(arena, 2 * (size_t)h->columns, const char *);
    if (!column) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    *out = (sv_table){.name = name,
                      .columns = (int)h->columns,
                      .column = column,
                      .type = column + h->columns,
                      .rows = h->rows,
                      .bytes = h->text,
                      .from_memory = h->from_memory,
                      .keys = (int)h->keys};
    out->cell = take(&at, (size_t)h->rows * h->columns);
    out->by_key = take(&at, h->rows);
    out->text = (const char *)at;
    out->oldest = out->text + h->oldest;
    out->newest = out->text + h->newest;
    for (size_t i = 0; i < 2 * (size_t)h->columns; i++)
        column[i] = out->text + names[i];
    return SV_OK;
}
