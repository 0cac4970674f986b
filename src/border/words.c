/* words.c - the index of words, and the cutting of a text into tokens and matches. What a match then means
 * beside its neighbours is judged in sense.c. */
#include "border/words.h"

#include <stdlib.h>
#include <string.h>

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

/* ---- the index ----------------------------------------------------------------------------------------- */

static uint32_t hash(const char *text, size_t n)
{
    uint32_t h = 2166136261u;
    for (size_t i = 0; i < n; i++)
        h = (h ^ (unsigned char)text[i]) * 16777619u;
    return h;
}

static bool wild(const sv_pattern *p)
{
    return p->token[0].bytes &&
           (p->token[0].text[0] == '*' || p->token[0].text[p->token[0].bytes - 1] == '*');
}

static sv_word_kind kind_of(const char *word)
{
    static const char *const kinds[] = {"none",   "goods", "device", "matter",
                                        "animal", "wear",  "mark",   "join"};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (strcmp(kinds[i], word) == 0) return (sv_word_kind)i;
    }
    return SV_WORD_NONE;
}

static sv_status read_pattern(sv_arena *arena, const sv_table *t, size_t row, sv_pattern *p, sv_error *err)
{
    const char *word = sv_cell(t, row, 0);
    const char *folded = sv_fold(arena, word, strlen(word));
    sv_token token[SV_LONGEST_PHRASE + 1];
    size_t n = sv_tokens_cut(folded, token, SV_LONGEST_PHRASE + 1);
    sv_token *own = n ? SV_NEW_ARRAY(arena, n, sv_token) : NULL;
    if (n == 0 || n > SV_LONGEST_PHRASE)
        return sv_fail(err, SV_BAD_FORMAT, "%s: \"%s\": a phrase has 1 to %d parts", t->name, word,
                       SV_LONGEST_PHRASE);
    if (!own) return sv_fail(err, SV_NO_MEMORY, "out of memory while indexing %s", t->name);
    *p = (sv_pattern){.token = own,
                      .tokens = n,
                      .kind = kind_of(sv_cell(t, row, sv_table_column(t, "kind"))),
                      .things = sv_cell(t, row, sv_table_column(t, "things")),
                      .takes = sv_cell(t, row, sv_table_column(t, "takes")),
                      .next = -1};
    for (size_t i = 0; i < n; i++) {
        own[i] = token[i];
        p->bytes += token[i].bytes;
    }
    return SV_OK;
}

sv_status sv_lexicon_make(sv_arena *arena, const sv_table *t, sv_lexicon **out, sv_error *err)
{
    sv_lexicon *l = SV_NEW(arena, sv_lexicon);
    sv_pattern *pattern = SV_NEW_ARRAY(arena, t->rows + 1, sv_pattern);
    int *loose = SV_NEW_ARRAY(arena, t->rows + 1, int);
    if (l) l->drop = SV_NEW_ARRAY(arena, t->rows + 1, const char *);
    if (!l || !pattern || !loose || !l->drop)
        return sv_fail(err, SV_NO_MEMORY, "out of memory while indexing %s", t->name);
    for (size_t i = 0; i < SV_BUCKETS; i++)
        l->bucket[i] = -1;
    l->pattern = pattern;
    l->loose = loose;
    for (size_t r = 0; r < t->rows; r++) {
        sv_status s = read_pattern(arena, t, r, &pattern[r], err);
        if (s) return s;
        if (pattern[r].kind == SV_WORD_DROP) {
            l->drop[l->drops++] = sv_cell(t, r, 0);
            continue;
        }
        if (wild(&pattern[r])) {
            loose[l->loosely++] = (int)r;
            continue;
        }
        uint32_t b = hash(pattern[r].token[0].text, pattern[r].token[0].bytes) % SV_BUCKETS;
        pattern[r].next = l->bucket[b];
        l->bucket[b] = (int)r;
    }
    *out = l;
    return SV_OK;
}

/* ---- matching ------------------------------------------------------------------------------------------ */

/* `*` at an end of a pattern's token stands for any letters there. */
static bool token_fits(const sv_token *pattern, const sv_token *token)
{
    const char *p = pattern->text;
    size_t n = pattern->bytes;
    bool front = n > 1 && *p == '*', back = n > 1 && p[n - 1] == '*';
    p += front;
    n -= (size_t)front + (size_t)back;
    if (token->bytes < n) return false;
    if (!front && !back) return token->bytes == n && memcmp(token->text, p, n) == 0;
    if (!front) return memcmp(token->text, p, n) == 0;
    if (!back) return memcmp(token->text + token->bytes - n, p, n) == 0;
    for (size_t i = 0; i + n <= token->bytes; i++) {
        if (memcmp(token->text + i, p, n) == 0) return true;
    }
    return false;
}

static bool pattern_fits(const sv_pattern *p, const sv_token *token, size_t left)
{
    if (p->tokens > left) return false;
    for (size_t i = 0; i < p->tokens; i++) {
        if (!token_fits(&p->token[i], &token[i])) return false;
        if (i && token[i].clause != token[0].clause) return false;
    }
    return true;
}

/* More words win, then more letters (a `*` counts nothing). */
static bool better(const sv_pattern *a, const sv_pattern *b)
{
    return !b || a->tokens > b->tokens || (a->tokens == b->tokens && a->bytes > b->bytes);
}

static const sv_pattern *best_at(const sv_lexicon *l, const sv_token *token, size_t left)
{
    const sv_pattern *best = NULL;
    for (int i = l->bucket[hash(token->text, token->bytes) % SV_BUCKETS]; i >= 0; i = l->pattern[i].next) {
        if (pattern_fits(&l->pattern[i], token, left) && better(&l->pattern[i], best)) best = &l->pattern[i];
    }
    if (best && best->tokens > 1) return best;
    for (size_t i = 0; i < l->loosely; i++) {
        const sv_pattern *p = &l->pattern[l->loose[i]];
        /* A whole word beats a part of one. */
        if (best && best->tokens >= p->tokens && !wild(best)) continue;
        if (pattern_fits(p, token, left) && better(p, best)) best = p;
    }
    return best;
}

/* "with", "and": what stands behind them is another thing. */
static void part_clauses(const sv_lexicon *l, sv_token *token, size_t tokens)
{
    int more = 0;
    for (size_t i = 0; i < tokens; i++) {
        token[i].clause += more;
        const sv_pattern *p = best_at(l, &token[i], 1);
        if (p && p->kind == SV_WORD_JOIN) {
            more++;
            token[i].clause++;
        }
    }
}

/* The marks that stand inside a compound word ("Kunstpelz", "Leopardenmuster"). */
static const sv_pattern *mark_inside(const sv_lexicon *l, const sv_token *token, const sv_pattern *not_this)
{
    for (size_t i = 0; i < l->loosely; i++) {
        const sv_pattern *p = &l->pattern[l->loose[i]];
        if (p != not_this && p->kind == SV_WORD_MARK && p->tokens == 1 && token_fits(&p->token[0], token))
            return p;
    }
    return NULL;
}

size_t sv_matches_find(const sv_lexicon *l, sv_token *token, size_t tokens, sv_match *out, size_t room)
{
    size_t n = 0;
    part_clauses(l, token, tokens);
    for (size_t i = 0; i < tokens && n < room;) {
        const sv_pattern *p = best_at(l, &token[i], tokens - i);
        if (!p) {
            i++;
            continue;
        }
        out[n++] = (sv_match){.pattern = p, .first = i, .last = i + p->tokens - 1, .clause = token[i].clause};
        if (wild(p) && p->tokens == 1) out[n - 1].inside = mark_inside(l, &token[i], p);
        i += p->tokens;
    }
    return n;
}

/* A word whose folded form is another word ("für" folds to "fur") is blanked as it is spelt. */
const char *sv_words_dropped(const sv_lexicon *l, sv_arena *arena, const char *text)
{
    char *copy = NULL;
    size_t size = strlen(text) + 1;
    for (size_t i = 0; i < l->drops; i++) {
        size_t n = strlen(l->drop[i]);
        for (const char *at = text; (at = strstr(at, l->drop[i])); at += n) {
            if ((at != text && at[-1] != ' ') || (at[n] && at[n] != ' ')) continue;
            if (!copy) {
                copy = sv_alloc(arena, size);
                if (!copy) return text;
                memcpy(copy, text, size);
            }
            memset(copy + (at - text), ' ', n);
        }
    }
    return copy ? copy : text;
}

/* ---- things -------------------------------------------------------------------------------------------- */

static size_t place_of(const sv_things *things, const char *key, size_t bytes)
{
    size_t i = 0;
    while (i < things->count && (strlen(things->key[i]) != bytes || memcmp(things->key[i], key, bytes) != 0))
        i++;
    return i;
}

bool sv_thing_in(const sv_things *things, const char *key, size_t bytes)
{
    return place_of(things, key, bytes) < things->count;
}

void sv_thing_add(sv_arena *arena, sv_things *things, const char *key, size_t bytes, const char *because)
{
    if (!bytes || things->count == SV_MOST_THINGS || sv_thing_in(things, key, bytes)) return;
    things->key[things->count] = sv_copy_n(arena, key, bytes);
    things->because[things->count++] = because;
}

void sv_thing_drop(sv_things *things, const char *key, size_t bytes)
{
    size_t i = place_of(things, key, bytes);
    if (i == things->count) return;
    things->count--;
    for (; i < things->count; i++) {
        things->key[i] = things->key[i + 1];
        things->because[i] = things->because[i + 1];
    }
}
