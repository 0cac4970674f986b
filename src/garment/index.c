/* index.c - makes the index of all words: one hash over all languages, as a block without pointers. */
#include <string.h>

#include "base/buf.h"
#include "garment/rows.h"

typedef struct head {
    char mark[8];
    uint32_t bytes, slots, words, senses, lists, sets, pool, near;
} head;
static const char block_mark[8] = "svwords1";

/* ---- building ---- */

typedef struct builder {
    sv_wordbook *lex;
    sv_arena *arena, *scratch;
    sv_folds *folds;
    sv_entry *entry;
    size_t mask, words;
    sv_sense *sense;
    uint32_t senses;
    uint32_t *near;
    sv_list_room lists;
    sv_buf pool;
} builder;

static sv_entry *slot(builder *b, const char *folded, size_t bytes)
{
    uint32_t hash = sv_hash(folded, bytes);
    size_t i = hash & b->mask;
    while (b->entry[i].bytes) {
        sv_entry *e = &b->entry[i];
        if (e->hash == hash && e->bytes == bytes && memcmp(b->pool.data + e->key, folded, bytes) == 0)
            return e;
        i = (i + 1) & b->mask;
    }
    sv_entry *e = &b->entry[i];
    *e = (sv_entry){.key = (uint32_t)b->pool.length, .hash = hash, .bytes = (uint16_t)bytes};
    sv_put_n(&b->pool, folded, bytes);
    b->words++;
    return e;
}

static void note_near(builder *b, sv_entry *e)
{
    uint32_t *first = &b->near[sv_near_chain(b->pool.data + e->key, e->bytes)];
    e->near = *first;
    *first = (uint32_t)(e - b->entry) + 1;
}

/* Joins languages to a sense that is there already, or adds the sense at the end of the word's list. */
static void add_sense(builder *b, sv_entry *e, const sv_sense *sense)
{
    uint32_t *link = &e->sense;
    while (*link) {
        sv_sense *s = &b->sense[*link];
        if (s->kind == sense->kind && s->value == sense->value && s->scope == sense->scope) {
            s->languages |= sense->languages;
            return;
        }
        link = &s->next;
    }
    b->sense[b->senses] = *sense;
    *link = b->senses++;
}

/* The first word alone must be known as a beginning of the phrase. */
static void add_word(builder *b, const sv_text_tokens *t, const sv_sense *sense)
{
    if (!t->count || b->pool.failed) return;
    const sv_text_token *last = &t->token[t->count - 1];
    sv_entry *whole = slot(b, t->folded, last->at + last->bytes);
    if (!whole->sense && t->count == 1) note_near(b, whole);
    add_sense(b, whole, sense);
    if (!whole->words) whole->words = 1;
    if (t->count == 1) return;
    sv_entry *begin = slot(b, t->folded, t->token[0].bytes);
    if (begin->words < t->count) begin->words = (uint16_t)t->count;
}

static sv_status add_row(builder *b, const char *words, const sv_sense *sense)
{
    for (const char *p = words; p && *p;) {
        const char *end = strchr(p, ';');
        size_t bytes = end ? (size_t)(end - p) : strlen(p);
        sv_arena_reset(b->scratch);
        const char *word = sv_copy_n(b->scratch, p, bytes);
        sv_text_tokens tokens;
        sv_status s = sv_text_cut(b->folds, b->scratch, word, &tokens);
        if (s) return s;
        add_word(b, &tokens, sense);
        p = end ? end + 1 : NULL;
    }
    return SV_OK;
}

/* ---- the names that content lines are written with ---- */

static bool says_kind(const builder *b, const sv_entry *e, const sv_sense *sense)
{
    for (uint32_t s = e ? e->sense : 0; s; s = b->sense[s].next) {
        if (b->sense[s].kind == sense->kind && b->sense[s].languages & sense->languages) return true;
    }
    return false;
}

static const sv_entry *entry_of(const builder *b, const char *folded, size_t bytes)
{
    for (size_t i = sv_hash(folded, bytes) & b->mask; b->entry[i].bytes; i = (i + 1) & b->mask) {
        const sv_entry *e = &b->entry[i];
        if (e->bytes == bytes && memcmp(b->pool.data + e->key, folded, bytes) == 0) return e;
    }
    return NULL;
}

/* What we write we read: a name that words.tsv does not have in its language means its own article or fibre.
 */
static sv_status add_name(builder *b, const char *name, const sv_sense *sense)
{
    sv_text_tokens t;
    if (!*name || !sense->languages) return SV_OK;
    sv_arena_reset(b->scratch);
    sv_status s = sv_text_cut(b->folds, b->scratch, name, &t);
    if (s || !t.count) return s;
    const sv_text_token *last = &t.token[t.count - 1];
    if (!says_kind(b, entry_of(b, t.folded, last->at + last->bytes), sense)) add_word(b, &t, sense);
    return SV_OK;
}

static sv_status read_names(builder *b, const sv_table *names)
{
    sv_status s = SV_OK;
    for (size_t r = 0; !s && r < names->rows; r++) {
        sv_sense sense;
        if (!sv_name_row(b->lex, names, r, &sense)) continue;
        s = add_name(b, sv_cell(names, r, 3), &sense);
        if (!s) s = add_name(b, sv_cell(names, r, 4), &sense);
    }
    for (size_t i = 0; !s && i < b->lex->articles; i++) {
        const sv_article *a = &b->lex->article[i];
        sv_sense sense = {
            .languages = (uint64_t)1 << b->lex->english, .kind = SV_WORD_ARTICLE, .value = (uint16_t)i};
        s = add_name(b, a->name, &sense);
        if (!s) s = add_name(b, a->plural, &sense);
    }
    return s;
}

static size_t count_words(const sv_table *t, int column)
{
    size_t n = 0;
    for (size_t r = 0; r < t->rows; r++) {
        n++;
        for (const char *p = sv_cell(t, r, column); (p = strchr(p, ';')); p++)
            n++;
    }
    return n;
}

static sv_status make_room(builder *b, size_t words)
{
    /* A word gives at most two entries: itself and its first word. */
    size_t slots = 1024;
    while (slots < words * 2)
        slots *= 2;
    b->mask = slots - 1;
    b->entry = SV_NEW_ARRAY(b->arena, slots, sv_entry);
    b->senses = 1;
    b->sense = SV_NEW_ARRAY(b->arena, words + 1, sv_sense);
    b->near = SV_NEW_ARRAY(b->arena, SV_NEAR, uint32_t);
    b->folds = SV_NEW(b->arena, sv_folds);
    return b->entry && b->sense && b->near && b->folds ? SV_OK : SV_NO_MEMORY;
}

static sv_status read_words(builder *b, const sv_table *t, const sv_table *names, sv_error *err)
{
    size_t words = count_words(t, sv_table_column(t, "words")) + 2 * (names->rows + b->lex->articles);
    sv_status s = make_room(b, words);
    if (s) return s;
    sv_folds_make(b->folds);
    sv_word_columns at = sv_word_columns_of(t);
    for (size_t r = 0; !s && r < t->rows; r++) {
        sv_sense sense;
        s = sv_word_row(b->lex, b->arena, &b->lists, t, r, &at, &sense, err);
        if (!s) s = add_row(b, sv_cell(t, r, at.words), &sense);
    }
    if (!s) s = read_names(b, names);
    return s;
}

/* ---- as a block ---- */

static void put_part(sv_buf *out, const void *bytes, size_t n)
{
    static const char zero[8];
    sv_put_n(out, bytes, n);
    sv_put_n(out, zero, (8 - out->length % 8) % 8);
}

static void put_block(const builder *b, sv_buf *out)
{
    head h = {.slots = (uint32_t)b->mask + 1,
              .words = (uint32_t)b->words,
              .senses = b->senses,
              .lists = b->lists.lists,
              .sets = b->lists.sets,
              .pool = (uint32_t)b->pool.length,
              .near = SV_NEAR};
    memcpy(h.mark, block_mark, sizeof h.mark);
    put_part(out, &h, sizeof h);
    put_part(out, b->folds, sizeof *b->folds);
    put_part(out, b->entry, (b->mask + 1) * sizeof *b->entry);
    put_part(out, b->sense, b->senses * sizeof *b->sense);
    put_part(out, b->near, SV_NEAR * sizeof *b->near);
    put_part(out, b->lists.list, b->lists.lists * sizeof *b->lists.list);
    put_part(out, b->lists.set, b->lists.sets * sizeof *b->lists.set);
    put_part(out, b->pool.data, b->pool.length);
    if (!out->failed) ((head *)(void *)out->data)->bytes = (uint32_t)out->length;
}

sv_status sv_index_make(sv_wordbook *lex, sv_world *world, const void **block, size_t *bytes, sv_error *err)
{
    const sv_table *t, *names;
    sv_status s = sv_world_load(world, "lexicon/words", err);
    if (!s) s = sv_world_need(world, "lexicon/words", &t, err);
    if (!s) s = sv_world_need(world, "lexicon/names", &names, err);
    if (s) return s;
    builder b = {.lex = lex, .arena = world->arena, .scratch = sv_arena_new()};
    sv_buf out;
    sv_buf_init(&b.pool, 0);
    sv_buf_init(&out, 0);
    s = b.scratch ? read_words(&b, t, names, err) : SV_NO_MEMORY;
    if (!s) put_block(&b, &out);
    if (!s) s = b.pool.failed ? b.pool.failed : out.failed;
    char *copy = s ? NULL : sv_alloc(world->arena, out.length);
    if (copy) memcpy(copy, out.data, out.length);
    *block = copy;
    *bytes = out.length;
    sv_buf_free(&b.pool);
    sv_buf_free(&out);
    sv_arena_free(b.scratch);
    if (!s && !copy) s = SV_NO_MEMORY;
    return s == SV_NO_MEMORY ? sv_fail(err, s, "out of memory while opening the words") : s;
}

/* ---- from a block ---- */

static const void *take(const char **at, size_t bytes)
{
    const void *part = *at;
    *at += (bytes + 7) / 8 * 8;
    return part;
}

bool sv_index_map(const void *block, size_t bytes, sv_index *out)
{
    if (bytes < sizeof(head)) return false;
    const head *h = block;
    if (memcmp(h->mark, block_mark, sizeof h->mark) != 0 || h->bytes != bytes || h->near != SV_NEAR)
        return false;
    const char *at = block;
    take(&at, sizeof *h);
    out->mask = h->slots - 1;
    out->words = h->words;
    out->senses = h->senses;
    out->lists = h->lists;
    out->sets = h->sets;
    out->folds = take(&at, sizeof(sv_folds));
    out->entry = take(&at, h->slots * sizeof(sv_entry));
    out->sense = take(&at, h->senses * sizeof(sv_sense));
    out->near = take(&at, SV_NEAR * sizeof(uint32_t));
    out->list = take(&at, h->lists * sizeof(sv_fact_list));
    out->set = take(&at, h->sets * sizeof(sv_set_fact));
    out->pool = take(&at, h->pool);
    return true;
}
