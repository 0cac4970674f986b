/* lexicon.c - opens the lexicon and finds words in its index. */
#include "garment/lexicon.h"

#include <string.h>
#include <unistd.h>

#include "garment/rows.h"

/* ---- finding ---- */

uint32_t sv_hash(const char *folded, size_t bytes)
{
    uint32_t h = SV_HASH_START;
    for (size_t i = 0; i < bytes; i++)
        h = sv_hash_byte(h, folded[i]);
    return h;
}

const sv_entry *sv_wordbook_at(const sv_wordbook *lex, const char *folded, size_t bytes, uint32_t hash)
{
    for (size_t i = hash & lex->index.mask;; i = (i + 1) & lex->index.mask) {
        const sv_entry *e = &lex->index.entry[i];
        if (!e->bytes) return NULL;
        if (e->hash == hash && e->bytes == bytes && memcmp(sv_entry_key(lex, e), folded, bytes) == 0)
            return e;
    }
}

const sv_entry *sv_wordbook_find(const sv_wordbook *lex, const char *folded, size_t bytes)
{
    return sv_wordbook_at(lex, folded, bytes, sv_hash(folded, bytes));
}

/* Bytes of the first three letters, all of them when there are fewer. */
static size_t three_letters(const char *folded, size_t bytes)
{
    size_t i = 0;
    for (int letters = 0; i < bytes; i++) {
        if (((unsigned char)folded[i] & 0xC0) == 0x80) continue;
        if (letters++ == 3) return i;
    }
    return i;
}

size_t sv_near_chain(const char *folded, size_t bytes)
{
    uint32_t h = sv_hash(folded, three_letters(folded, bytes));
    return (h ^ h >> 15) & (SV_NEAR - 1);
}

const sv_entry *sv_wordbook_near(const sv_wordbook *lex, const char *folded, size_t bytes)
{
    uint32_t first = lex->index.near[sv_near_chain(folded, bytes)];
    return first ? &lex->index.entry[first - 1] : NULL;
}

uint64_t sv_entry_languages(const sv_wordbook *lex, const sv_entry *e)
{
    uint64_t all = 0;
    for (uint32_t s = e->sense; s; s = sv_sense_at(lex, s)->next)
        all |= sv_sense_at(lex, s)->languages;
    return all;
}

static int row_of(const sv_table *t, const char *key)
{
    size_t row = t ? sv_table_find(t, key) : SV_NO_ROW;
    return row == SV_NO_ROW ? -1 : (int)row;
}

int sv_fibre_index(const sv_wordbook *lex, const char *key)
{
    return row_of(lex->fibre_table, key);
}

int sv_article_index(const sv_wordbook *lex, const char *key)
{
    return row_of(lex->article_table, key);
}

bool sv_article_is(const sv_wordbook *lex, int article, int wider)
{
    for (int steps = 0; article >= 0 && steps < 8; steps++) {
        if (article == wider) return true;
        article = lex->article[article].is;
    }
    return false;
}

/* ---- opening ---- */

static const char *const tables[] = {"lexicon/languages", "lexicon/fibres", "lexicon/kinds",
                                     "lexicon/garments"};
/* Words that are written, not read; the index does not hold them. */
static const char *const written[] = {"lexicon/lines", "lexicon/names"};

sv_status sv_wordbook_tables(sv_world *world, sv_wordbook **out, sv_error *err)
{
    sv_status s = SV_OK;
    for (size_t i = 0; !s && i < sizeof tables / sizeof *tables; i++)
        s = sv_world_load(world, tables[i], err);
    for (size_t i = 0; !s && i < sizeof written / sizeof *written; i++)
        s = sv_world_load(world, written[i], err);
    if (s) return s;
    sv_wordbook *lex = *out = SV_NEW(world->arena, sv_wordbook);
    if (!lex) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the words");
    s = sv_languages_read(lex, world, err);
    if (!s) s = sv_fibres_read(lex, world, err);
    if (!s) s = sv_articles_read(lex, world, err);
    if (!s) sv_articles_mark_sets(lex);
    return s == SV_NO_MEMORY ? sv_fail(err, s, "out of memory while opening the words") : s;
}

/* The built-in index names articles, fibres and languages by their row: the user's rows make it void. */
static bool has_users_rows(const sv_world *world)
{
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        const sv_table *t = sv_world_table(world, tables[i]);
        if (!t || t->users) return true;
    }
    if (!world->data_dir || !*world->data_dir) return false;
    const char *words = sv_format(world->arena, "%s/lexicon/words.tsv", world->data_dir);
    return access(words, F_OK) == 0;
}

sv_status sv_garment_open(sv_world *world, sv_error *err)
{
    if (world->room[SV_ROOM_LEXICON]) return SV_OK;
    sv_wordbook *lex;
    sv_status s = sv_wordbook_tables(world, &lex, err);
    if (s) return s;
    /* cppcheck-suppress comparePointers ; both ends of one block of the assembler file */
    size_t built_in = (size_t)(sv_index_block_end - sv_index_block);
    if (has_users_rows(world) || !sv_index_map(sv_index_block, built_in, &lex->index)) {
        const void *block;
        size_t bytes;
        s = sv_index_make(lex, world, &block, &bytes, err);
        if (!s && !sv_index_map(block, bytes, &lex->index))
            s = sv_fail(err, SV_BAD_FORMAT, "the index of words is broken");
    }
    if (!s) world->room[SV_ROOM_LEXICON] = lex;
    return s;
}
