/* items.h - a text as the known words, numbers and unknown words it holds. */
#ifndef SV_GARMENT_ITEMS_H
#define SV_GARMENT_ITEMS_H

#include "garment/lexicon.h"

typedef enum sv_item_kind { SV_ITEM_KNOWN, SV_ITEM_NUMBER, SV_ITEM_UNKNOWN } sv_item_kind;

/* How a word was found; what is less sure than exact counts less for telling the language. */
typedef enum sv_item_how { SV_HOW_EXACT, SV_HOW_INFLECTED, SV_HOW_JOINED, SV_HOW_MISSPELT } sv_item_how;

typedef struct sv_item {
    uint8_t kind, how;
    bool percent; /* a number with a percent sign */
    bool capitals;
    bool whole;   /* it fills its token: no other letters are glued to it */
    bool inner;   /* it stands inside the name of an article, which follows: only what it says of it counts */
    bool negated; /* "no", "without" before it */
    bool used;    /* taken by a reader (fibre of a label, size), so that others leave it */
    uint16_t gap; /* before it; 0 also between the parts of a joined word */
    int32_t milli;
    uint32_t from, to; /* in the source */
    const sv_entry *entry;
    const sv_entry
        *other; /* what a misspelling may mean, where the entry is of a language that the text is not in */
    uint64_t languages;           /* those in which this form can be the entry's word */
    uint16_t pick[SV_WORD_KINDS]; /* sense chosen for each kind: index + 1, 0: none */
} sv_item;

typedef struct sv_items {
    const char *source;
    sv_item *item;
    size_t count;
    bool in_run_script; /* no blanks between words */
    int tongue;         /* the likeliest language, once the senses were chosen */
} sv_items;

/* Scores of languages over all texts of a piece. */
typedef struct sv_tongues {
    int32_t score[SV_LANGUAGES_MAX];
    int best; /* the likeliest, once sv_tongues_weigh was called */
} sv_tongues;

SV_MUST_USE sv_status sv_items_find(const sv_wordbook *lex, sv_arena *arena, const char *text, sv_items *out);
void sv_tongues_count(const sv_wordbook *lex, const sv_items *items, sv_tongues *tongues);
/* Chooses among the senses of each word by the languages of the text. */
void sv_items_choose(const sv_wordbook *lex, sv_items *items, const sv_tongues *tongues);
/* After the last text: the first of the table go before others, and the likeliest is found. */
void sv_tongues_weigh(const sv_wordbook *lex, sv_tongues *tongues);

/* The sense chosen for a kind; NULL: it says nothing of that kind. */
static inline const sv_sense *sv_item_sense(const sv_wordbook *lex, const sv_item *i, sv_word_kind kind)
{
    return i->kind == SV_ITEM_KNOWN && i->pick[kind] ? &lex->index.sense[i->pick[kind] - 1] : NULL;
}
bool sv_item_marks(const sv_wordbook *lex, const sv_item *i, sv_mark mark);
const char *sv_item_text(sv_arena *arena, const sv_items *items, const sv_item *i);

#endif
