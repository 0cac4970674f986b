/* lexicon.h - the words that sellers and labels use, in all languages, found by one hash. */
#ifndef SV_GARMENT_LEXICON_H
#define SV_GARMENT_LEXICON_H

#include "garment/garment.h"
#include "garment/tokens.h"
#include "selvedge/garment.h"

/* What a word can say. The value of a sense counts in the list of its kind. */
typedef enum sv_word_kind {
    SV_WORD_ARTICLE, /* value: index of the article */
    SV_WORD_FIBRE,   /* value: index of the fibre */
    SV_WORD_PART,    /* value: sv_part */
    SV_WORD_FACT,    /* value: index of a fact list; said in so many words */
    SV_WORD_HINT,    /* the same, but the word only suggests it (denim: woven) */
    SV_WORD_GUESS,   /* the same, but it is only usual (satin: polyester) */
    SV_WORD_MARK,    /* value: sv_mark */
    SV_WORD_KINDS
} sv_word_kind;

/* Parts of a garment as labels name them. The first ten are those of the contracts, in their order. */
typedef enum sv_part {
    SV_PART_SHELL,
    SV_PART_LINING,
    SV_PART_FILLING,
    SV_PART_RIB,
    SV_PART_COLLAR,
    SV_PART_SLEEVES,
    SV_PART_FRONT,
    SV_PART_BACK,
    SV_PART_TRIM,
    SV_PART_OTHER,
    SV_PART_UPPER, /* of a shoe */
    SV_PART_SOLE,
    SV_PART_INSOLE,
    SV_PART_PALM,          /* of a glove */
    SV_PART_LESSER_LINING, /* of sleeves, pockets, the hood */
    SV_PART_COATING        /* counts for coated, not among the fibres of the shell */
} sv_part;

/* Little words that steer the reading. MARK WORDS: the names in lexicon.c stand in the same order. */
typedef enum sv_mark {
    SV_MARK_PURE,    /* all, pure: 100 % */
    SV_MARK_PERCENT, /* "percent" in words */
    SV_MARK_AND,
    SV_MARK_WITH,
    SV_MARK_WITHOUT,
    SV_MARK_LACKING, /* the same, after its word: "gallér nélkül" */
    SV_MARK_OF,      /* of, from, in: a fibre or a part follows */
    SV_MARK_FOR,
    SV_MARK_MADE_IN, /* a country follows */
    SV_MARK_SIZE,    /* a size follows */
    SV_MARK_MONTHS,
    SV_MARK_YEARS,
    SV_MARK_CM,
    SV_MARK_HEIGHT,   /* body height follows */
    SV_MARK_NOT_TRIM, /* exclusive of decoration */
    SV_MARK_LOOK,     /* faux, look, effect: the word beside it is no fibre */
    SV_MARK_BLEND,    /* blend, mix: further fibres are not named */
    SV_MARK_PACK,     /* a pack of, N pieces */
    SV_MARK_CHILD,    /* for children, sex not told */
    SV_MARK_REST,     /* the rest, elsewhere */
    SV_MARK_SKIP,     /* says nothing: colours, praise, washing */
    SV_MARK_STOP,     /* too general to describe goods */
    SV_MARK_REFERS,   /* points to another paper */
    SV_MARK_NOUN,     /* goods other than ours: a mug, a book */
    SV_MARK_PLAIN,    /* a common word that names no goods: it tells the language, and is no misspelling */
    SV_MARK_PRINT,    /* print, style: the word before it is only imitated */
    SV_MARK_YIELDS,   /* a goods word that is as often a material or a quality of other goods: fleece */
    SV_MARK_WORDS
} sv_mark;

/* Where a word counts: only with articles of these scopes (kinds.tsv); 0 is everywhere. */
typedef struct sv_sense {
    uint64_t languages; /* bit of each language that has it */
    uint32_t next;      /* further sense of the same word, 0: none */
    uint16_t value;
    uint16_t scope;
    uint8_t kind;
} sv_sense;

/* A word or phrase: its folded words, one blank apart, in the pool. `bytes` 0: an empty slot. */
typedef struct sv_entry {
    uint32_t key; /* where it begins in the pool */
    uint32_t hash;
    uint32_t sense; /* first sense, 0: this is only the beginning of longer phrases */
    uint32_t near;  /* slot + 1 of the next entry whose first three letters hash alike, 0: none */
    uint16_t bytes;
    uint16_t words; /* words in the longest phrase that begins with this one word */
} sv_entry;

typedef struct sv_language {
    const char *code;
    int base;            /* en of en-US; -1: none */
    bool compounds;      /* words are joined: Baumwollkleid */
    bool head_last;      /* the article stands last in a run of nouns: swim shorts; else first: robe pull */
    const char *endings; /* of inflection, apart by blanks */
    const char *source, *as_of;
} sv_language;
#define SV_LANGUAGES_MAX 62

typedef struct sv_set_fact {
    uint16_t fact, value; /* fact SV_FACT_COUNT: value is a fibre's index */
} sv_set_fact;
typedef struct sv_fact_list {
    uint32_t first, count; /* in the index's set facts, or the articles' */
} sv_fact_list;

/* The index of all words: one block of memory without pointers, made at build time from data/lexicon and
 * built into the program; made anew at opening when the user has rows of their own. */
typedef struct sv_index {
    size_t mask; /* slots - 1 */
    size_t words;
    uint32_t senses, lists, sets;
    const sv_folds *folds;
    const sv_entry *entry;
    const sv_sense *sense; /* the first one is not used */
    const uint32_t *near;  /* slot + 1 of the first entry of each chain */
    const sv_fact_list *list;
    const sv_set_fact *set;
    const char *pool;
} sv_index;

typedef struct sv_article {
    const char *key, *kind, *name, *plural, *unit;
    int is;                       /* index of the wider article, -1: none */
    uint16_t scope;               /* one bit */
    bool weak;                    /* its words mostly name a feature of other goods: zip */
    sv_fact_list means, usually;  /* in the articles' set facts */
    uint8_t set_upper, set_lower; /* values of those facts as a piece of a set, 0: none */
    bool ensemble;
    const char *source, *as_of;
} sv_article;

/* A fibre, and what it is as the upper or sole of a shoe, the outside of a bag, the matter of a trinket: a
 * value of those facts, 0 where it says nothing. */
typedef struct sv_fibre_row {
    const char *key, *group;
    uint16_t upper, sole, outside, matter, construction, palm;
    bool only_fibre; /* a name of a textile fibre: as a material it is textile */
} sv_fibre_row;

#define SV_LETTERS 0x2000

struct sv_wordbook {
    sv_index index;
    sv_language language[SV_LANGUAGES_MAX];
    int languages;
    uint64_t compounding, head_last;
    uint64_t
        letter[SV_LETTERS]; /* languages that have this letter, by code point; 0 where it tells nothing */
    const sv_table *article_table, *fibre_table;
    sv_article *article;
    size_t articles;
    sv_set_fact *set; /* of the articles */
    uint32_t sets, sets_room;
    sv_fibre_row *fibre;
    size_t fibres;
    int english, ensemble, elastane;
    int by_capitals; /* the language "mul" of abbreviations, which are read only in capitals */
};
typedef struct sv_wordbook sv_wordbook;

/* For the maker of the built-in index: makes it from the tables, as one block of *bytes in the arena. */
sv_status sv_index_make(sv_wordbook *lex, sv_world *world, const void **block, size_t *bytes, sv_error *err);
/* Reads a block; false when it is none, or of another make. */
bool sv_index_map(const void *block, size_t bytes, sv_index *out);
/* The tables without the index. */
sv_status sv_wordbook_tables(sv_world *world, sv_wordbook **out, sv_error *err);
extern const unsigned char sv_index_block[]; /* built in; of no length in the maker itself */
extern const unsigned char sv_index_block_end[];

static inline const sv_wordbook *sv_wordbook_of(const sv_world *world)
{
    return world->room[SV_ROOM_LEXICON];
}

/* FNV-1a, so that the hash of a longer word grows from that of its beginning. */
#define SV_HASH_START 2166136261u
static inline uint32_t sv_hash_byte(uint32_t h, char c)
{
    return (h ^ (unsigned char)c) * 16777619u;
}
uint32_t sv_hash(const char *folded, size_t bytes);
const sv_entry *sv_wordbook_find(const sv_wordbook *lex, const char *folded, size_t bytes);
const sv_entry *sv_wordbook_at(const sv_wordbook *lex, const char *folded, size_t bytes, uint32_t hash);
static inline const char *sv_entry_key(const sv_wordbook *lex, const sv_entry *e)
{
    return lex->index.pool + e->key;
}
static inline const sv_sense *sv_sense_at(const sv_wordbook *lex, uint32_t sense)
{
    return &lex->index.sense[sense];
}

/* First of the entries that begin with the same three letters (or hash alike), then `near` of each; NULL:
 * none. Phrases are not among them. */
#define SV_NEAR 8192
size_t sv_near_chain(const char *folded, size_t bytes);
const sv_entry *sv_wordbook_near(const sv_wordbook *lex, const char *folded, size_t bytes);
static inline const sv_entry *sv_entry_near(const sv_wordbook *lex, const sv_entry *e)
{
    return e->near ? &lex->index.entry[e->near - 1] : NULL;
}

/* Languages of all senses of a word. */
uint64_t sv_entry_languages(const sv_wordbook *lex, const sv_entry *e);

int sv_fibre_index(const sv_wordbook *lex, const char *key);        /* -1: unknown */
int sv_article_index(const sv_wordbook *lex, const char *key);      /* -1: unknown */
bool sv_article_is(const sv_wordbook *lex, int article, int wider); /* itself or below it */
/* Notes on each article what it is as a piece of a set; finds the rows that the code names. */
void sv_articles_mark_sets(sv_wordbook *lex);
const char *sv_part_word(sv_part part);

#endif
