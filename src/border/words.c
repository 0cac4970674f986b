/* words.c - the words of border/words that stand in a text. What a match then means
 * beside its neighbours is judged in sense.c. */
#include "border/words.h"

#include <stdlib.h>
#include <string.h>

#include "border/sense.h"
#include "text/text.h"

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
    for (int i = l->bucket[sv_token_hash(token->text, token->bytes) % SV_BUCKETS]; i >= 0;
         i = l->pattern[i].next) {
        if (pattern_fits(&l->pattern[i], token, left) && better(&l->pattern[i], best)) best = &l->pattern[i];
    }
    if (best && best->tokens > 1) return best;
    for (size_t i = 0; i < l->loosely; i++) {
        const sv_pattern *p = &l->pattern[l->loose[i]];
        /* A whole word beats a part of one. */
        if (best && best->tokens >= p->tokens && !sv_token_wild(best->token)) continue;
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
        if (sv_token_wild(p->token) && p->tokens == 1) out[n - 1].inside = mark_inside(l, &token[i], p);
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
        const char *drop = sv_cell(l->words, l->drop[i], 0);
        size_t n = strlen(drop);
        for (const char *at = text; (at = strstr(at, drop)); at += n) {
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
