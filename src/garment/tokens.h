/* tokens.h - text cut into folded words and numbers, with what stood between them. */
#ifndef SV_GARMENT_TOKENS_H
#define SV_GARMENT_TOKENS_H

#include "selvedge/base.h"

/* A text longer than this (bytes) is read up to here: no label is as long, and the work stays bounded. */
#define SV_TEXT_LONGEST ((size_t)16384)

/* What stood before a token; several may be set. Nothing set: it is glued to the one before (98Cotton). */
enum {
    SV_GAP_BLANK = 1,
    SV_GAP_HYPHEN = 2, /* or an apostrophe: men's, d'agneau */
    SV_GAP_SLASH = 4,
    SV_GAP_COMMA = 8,
    SV_GAP_PLUS = 16, /* + & | */
    SV_GAP_OPEN = 32,
    SV_GAP_CLOSE = 64,
    SV_GAP_COLON = 128,
    SV_GAP_BREAK = 256, /* ; line feed, bullet */
    SV_GAP_STOP = 512,  /* . ! ? */
    SV_GAP_OTHER = 1024
};
/* A phrase of several words may only cross these. */
#define SV_GAP_IN_PHRASE (SV_GAP_BLANK | SV_GAP_HYPHEN)
/* Two of these apart, words belong to different statements. */
#define SV_GAP_CLAUSE (SV_GAP_COMMA | SV_GAP_BREAK | SV_GAP_STOP | SV_GAP_OPEN | SV_GAP_CLOSE | SV_GAP_COLON)

typedef enum sv_text_token_kind {
    SV_TOKEN_WORD, /* letters of a script that puts blanks between words */
    SV_TOKEN_RUN,  /* letters of a script that does not (Han, kana, Hangul, Thai): words stand inside it */
    SV_TOKEN_NUMBER
} sv_text_token_kind;

typedef struct sv_text_token {
    uint32_t at;       /* in the folded text */
    uint32_t from, to; /* in the text as given */
    int32_t milli;     /* a number, in thousandths */
    uint16_t bytes;    /* folded length */
    uint16_t gap;
    uint8_t kind;
    bool percent;  /* a number with a percent sign before or after it */
    bool capitals; /* two letters or more, all capitals as given */
} sv_text_token;

/* The folded text holds the tokens with one blank between each two, so that words of a phrase stand together.
 */
typedef struct sv_text_tokens {
    const char *source;
    const char *folded;
    sv_text_token *token;
    size_t count;
} sv_text_tokens;

/* Folded form of the code points of alphabets, looked up instead of decomposed: made once, at opening. */
#define SV_FOLD_FROM       0x80
#define SV_FOLD_TO         0x0E80
#define SV_FOLD_LATIN_FROM 0x1E00
#define SV_FOLD_LATIN_TO   0x2000
typedef struct sv_folds {
    char out[SV_FOLD_TO - SV_FOLD_FROM + SV_FOLD_LATIN_TO - SV_FOLD_LATIN_FROM][4];
} sv_folds;
void sv_folds_make(sv_folds *folds);

/* Marks (Latin, Greek, Cyrillic, Arabic, Hebrew) and case go, digits become ASCII. Every byte string is fine.
 */
SV_MUST_USE sv_status sv_text_cut(const sv_folds *folds, sv_arena *arena, const char *text,
                                  sv_text_tokens *out);

#endif
