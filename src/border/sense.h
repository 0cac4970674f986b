/* sense.h - between words.c and sense.c: tokens, patterns, matches. */
#ifndef SV_BORDER_SENSE_H
#define SV_BORDER_SENSE_H

#include "border/words.h"

#define SV_LONGEST_PHRASE 32
#define SV_MOST_TOKENS    512
#define SV_BUCKETS        2048

typedef struct sv_token {
    const char *text;
    size_t bytes;
    int clause;
} sv_token;

/* none: takes its words out of sight; goods: a thing by itself, a style before a garment's name; device: a
 * thing even then; matter: a material; animal: a material only beside what it `takes`; wear: a kind of
 * clothing; mark: changes what stands beside it; join: what follows is another thing. */
typedef enum sv_word_kind {
    SV_WORD_NONE,
    SV_WORD_GOODS,
    SV_WORD_DEVICE,
    SV_WORD_MATTER,
    SV_WORD_ANIMAL,
    SV_WORD_WEAR,
    SV_WORD_MARK,
    SV_WORD_JOIN,
    SV_WORD_DROP
} sv_word_kind;

typedef struct sv_pattern {
    const sv_token *token;
    size_t tokens, bytes;
    sv_word_kind kind;
    const char *things, *takes;
    int next; /* of the same bucket */
} sv_pattern;

struct sv_lexicon {
    const sv_pattern *pattern;
    const sv_table *words;
    const int32_t *bucket;
    const uint32_t *loose; /* patterns whose first token has a * */
    size_t loosely;
    const uint32_t *drop; /* rows of spellings */
    size_t drops;
};

typedef struct sv_match {
    const sv_pattern *pattern;
    const sv_pattern *inside; /* a mark in the same compound word; NULL */
    size_t first, last;       /* tokens */
    int clause;
} sv_match;

/* Does the token open or end in a *? */
static inline bool sv_token_wild(const sv_token *t)
{
    return t->bytes && (t->text[0] == '*' || t->text[t->bytes - 1] == '*');
}
static inline uint32_t sv_token_hash(const char *text, size_t n)
{
    uint32_t h = 2166136261u;
    for (size_t i = 0; i < n; i++)
        h = (h ^ (unsigned char)text[i]) * 16777619u;
    return h;
}

const char *sv_words_dropped(const sv_lexicon *lexicon, sv_arena *arena, const char *text);
size_t sv_tokens_cut(const char *folded, sv_token *out, size_t room);
size_t sv_matches_find(const sv_lexicon *lexicon, sv_token *token, size_t tokens, sv_match *out, size_t room);

#endif
