/* lexicon.c - cuts texts into tokens; makes the index of border/words as a block without pointers, and takes
 * it. */
#include "border/lexicon.h"

#include <string.h>

#include "base/buf.h"
#include "border/border.h"
#include "border/sense.h"
#include "text/text.h"

/* ---- tokens -------------------------------------------------------------------------------------------- */

/* Han, kana, Hangul and Thai are written without blanks, or with endings that cling: each letter is a token.
 */
static bool stands_alone(uint32_t c)
{
    return (c >= 0x0E00 && c <= 0x0E7F) || (c >= 0x1100 && c <= 0x11FF) || (c >= 0x2E80 && c <= 0x9FFF) ||
           (c >= 0xAC00 && c <= 0xD7AF) || (c >= 0xF900 && c <= 0xFAFF) || c >= 0x20000;
}

static bool in_word(uint32_t c)
{
    if (c < 128) return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '*';
    if (c >= 0x2000 && c <= 0x206F) return false; /* general punctuation */
    if (c >= 0x3000 && c <= 0x303F) return false; /* CJK punctuation */
    return c != 0xA0 && c != 0xB7 && c != 0x60C && c != 0x61B && c != 0x30FB;
}

static bool ends_clause(uint32_t c)
{
    return c == ',' || c == ';' || c == ':' || c == '(' || c == ')' || c == '+' || c == '|' || c == '!' ||
           c == '?' || c == 0x3001 || c == 0x3002 || c == 0x60C || c == 0x30FB;
}

size_t sv_tokens_cut(const char *folded, sv_token *out, size_t room)
{
    size_t n = 0;
    int clause = 0;
    const char *end = folded + strlen(folded);
    for (const char *p = folded; p < end && n < room;) {
        const char *at = p;
        uint32_t c = sv_utf8_next(&p, end);
        /* A full stop parts sentences only before a blank: 0.5 and t.shirt stay. */
        if (ends_clause(c) || (c == '.' && (*p == ' ' || !*p))) clause++;
        if (!in_word(c)) continue;
        if (!stands_alone(c)) {
            while (p < end) {
                const char *next = p;
                c = sv_utf8_next(&next, end);
                if (!in_word(c) || stands_alone(c)) break;
                p = next;
            }
        }
        out[n++] = (sv_token){at, (size_t)(p - at), clause};
    }
    return n;
}

/* ---- making ---- */

typedef struct head {
    char mark[8];
    uint32_t bytes; /* of the text of the table */
    uint32_t rows, tokens, loosely, drops, zero;
} head;
static const char block_mark[8] = "svterms1";

typedef struct pattern_row {
    uint32_t first; /* token */
    int32_t next;
    uint16_t bytes;
    uint8_t tokens, kind;
} pattern_row;

typedef struct token_row {
    uint32_t text;
    uint16_t bytes, clause;
} token_row;

typedef struct maker {
    const sv_table *words;
    sv_arena *arena;
    int32_t bucket[SV_BUCKETS];
    sv_buf pattern, token, loose, drop, text;
} maker;

static sv_word_kind kind_of(const char *word)
{
    static const char *const kinds[] = {"none", "goods", "device", "matter", "animal",
                                        "wear", "mark",  "join",   "drop"};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (strcmp(kinds[i], word) == 0) return (sv_word_kind)i;
    }
    return SV_WORD_NONE;
}

/* A token's letters, put into the block. */
static token_row put_token(maker *m, const sv_token *t)
{
    token_row row = {(uint32_t)m->text.length, (uint16_t)t->bytes, (uint16_t)t->clause};
    sv_put_n(&m->text, t->text, t->bytes);
    return row;
}

static void put_pattern(maker *m, uint32_t row, const sv_token *token, size_t tokens)
{
    pattern_row p = {.first = (uint32_t)(m->token.length / sizeof(token_row)),
                     .next = -1,
                     .tokens = (uint8_t)tokens,
                     .kind = (uint8_t)kind_of(sv_by_name(m->words, row, "kind"))};
    for (size_t i = 0; i < tokens; i++) {
        token_row t = put_token(m, &token[i]);
        sv_put_n(&m->token, &t, sizeof t);
        p.bytes = (uint16_t)(p.bytes + t.bytes);
    }
    if (p.kind == SV_WORD_DROP) {
        sv_put_n(&m->drop, &row, sizeof row);
    } else if (sv_token_wild(token)) {
        sv_put_n(&m->loose, &row, sizeof row);
    } else {
        int32_t *bucket = &m->bucket[sv_token_hash(token->text, token->bytes) % SV_BUCKETS];
        p.next = *bucket;
        *bucket = (int32_t)row;
    }
    sv_put_n(&m->pattern, &p, sizeof p);
}

static sv_status read_patterns(maker *m, sv_error *err)
{
    const sv_table *t = m->words;
    for (size_t r = 0; r < t->rows; r++) {
        const char *word = sv_cell(t, r, 0), *folded = sv_fold(m->arena, word, strlen(word));
        sv_token token[SV_LONGEST_PHRASE + 1];
        size_t n = sv_tokens_cut(folded, token, SV_LONGEST_PHRASE + 1);
        if (n == 0 || n > SV_LONGEST_PHRASE)
            return sv_fail(err, SV_BAD_FORMAT, "%s: \"%s\": a phrase has 1 to %d parts", t->name, word,
                           SV_LONGEST_PHRASE);
        put_pattern(m, (uint32_t)r, token, n);
    }
    return SV_OK;
}

static void put_block(const maker *m, sv_buf *out)
{
    head h = {.bytes = (uint32_t)m->words->bytes,
              .rows = (uint32_t)m->words->rows,
              .tokens = (uint32_t)(m->token.length / sizeof(token_row)),
              .loosely = (uint32_t)(m->loose.length / sizeof(uint32_t)),
              .drops = (uint32_t)(m->drop.length / sizeof(uint32_t))};
    const sv_buf *parts[] = {&m->pattern, &m->token, &m->loose, &m->drop, &m->text};
    memcpy(h.mark, block_mark, sizeof h.mark);
    sv_put_n(out, &h, sizeof h);
    sv_put_n(out, m->bucket, sizeof m->bucket);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        if (parts[i]->length) sv_put_n(out, parts[i]->data, parts[i]->length);
        if (parts[i]->failed) out->failed = parts[i]->failed;
    }
}

sv_status sv_lexicon_make(sv_arena *arena, const sv_table *words, const void **block, size_t *bytes,
                          sv_error *err)
{
    maker m = {.words = words, .arena = arena};
    sv_buf *parts[] = {&m.pattern, &m.token, &m.loose, &m.drop, &m.text}, out;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        sv_buf_init(parts[i], 0);
    sv_buf_init(&out, 0);
    for (size_t i = 0; i < SV_BUCKETS; i++)
        m.bucket[i] = -1;
    sv_status s = read_patterns(&m, err);
    if (!s) put_block(&m, &out);
    char *copy = s || out.failed || sv_arena_failed(arena) ? NULL : sv_alloc(arena, out.length);
    if (copy) memcpy(copy, out.data, out.length);
    *block = copy;
    *bytes = out.length;
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++)
        sv_buf_free(parts[i]);
    sv_buf_free(&out);
    if (!s && !copy) s = sv_fail(err, SV_NO_MEMORY, "out of memory while indexing %s", words->name);
    return s;
}

/* ---- taking ---- */

static void take_tokens(const token_row *row, size_t n, const char *text, sv_token *out)
{
    for (size_t i = 0; i < n; i++)
        out[i] = (sv_token){text + row[i].text, row[i].bytes, row[i].clause};
}

static void take_patterns(const pattern_row *row, const sv_token *token, const sv_table *words,
                          sv_pattern *out)
{
    int things = sv_table_column(words, "things"), takes = sv_table_column(words, "takes");
    for (size_t i = 0; i < words->rows; i++)
        out[i] = (sv_pattern){.token = token + row[i].first,
                              .tokens = row[i].tokens,
                              .bytes = row[i].bytes,
                              .kind = (sv_word_kind)row[i].kind,
                              .things = sv_cell(words, i, things),
                              .takes = sv_cell(words, i, takes),
                              .next = row[i].next};
}

static sv_lexicon *map(sv_arena *arena, const sv_table *words, const void *block)
{
    const head *h = block;
    const int32_t *bucket = (const int32_t *)(const void *)(h + 1);
    const pattern_row *pattern = (const pattern_row *)(const void *)(bucket + SV_BUCKETS);
    const token_row *token = (const token_row *)(const void *)(pattern + h->rows);
    const uint32_t *loose = (const uint32_t *)(const void *)(token + h->tokens), *drop = loose + h->loosely;
    const char *text = (const char *)(drop + h->drops);
    sv_lexicon *l = SV_NEW(arena, sv_lexicon);
    sv_token *tokens = SV_NEW_ARRAY(arena, h->tokens + 1, sv_token);
    sv_pattern *patterns = SV_NEW_ARRAY(arena, words->rows + 1, sv_pattern);
    if (!l || !tokens || !patterns) return NULL;
    take_tokens(token, h->tokens, text, tokens);
    take_patterns(pattern, tokens, words, patterns);
    *l = (sv_lexicon){.pattern = patterns,
                      .words = words,
                      .bucket = bucket,
                      .loose = loose,
                      .loosely = h->loosely,
                      .drop = drop,
                      .drops = h->drops};
    return l;
}

/* The built-in block speaks of the rows by number: the user's make it void. */
static bool is_over(const void *block, const sv_table *words)
{
    const head *h = block;
    return !words->users && memcmp(h->mark, block_mark, sizeof h->mark) == 0 && h->rows == words->rows &&
           h->bytes == words->bytes;
}

sv_status sv_lexicon_open(sv_arena *arena, const sv_table *words, sv_lexicon **out, sv_error *err)
{
    const void *block = sv_terms_block;
    size_t bytes;
    sv_status s = is_over(block, words) ? SV_OK : sv_lexicon_make(arena, words, &block, &bytes, err);
    if (s) return s;
    *out = map(arena, words, block);
    return *out ? SV_OK : sv_fail(err, SV_NO_MEMORY, "out of memory while indexing %s", words->name);
}
