/* selvedge/garment.h - words and care labels -> one record of facts; facts -> content line. */
#ifndef SELVEDGE_GARMENT_H
#define SELVEDGE_GARMENT_H

#include "selvedge/base.h"
#include "selvedge/facts.h" /* generated from data/lexicon/facts.tsv: SV_FACT_NAME, SV_FACT_COUNT */

/* Where a fact comes from, weakest first. A stronger source beats a weaker one. */
typedef enum sv_from {
    SV_FROM_NOWHERE, /* unknown */
    SV_FROM_DEFAULT, /* the default of the trade */
    SV_FROM_WORD,    /* what the garment's word suggests: a jumper is knitted */
    SV_FROM_TEXT,    /* said in the free text or on the label */
    SV_FROM_STATED   /* a column or an answer to a question */
} sv_from;

/* One fact. `value` counts from 1 in the list of values of its row in facts.tsv; 0 is unknown. For yes-no
 * facts the list is `no yes`: SV_NO, SV_YES. */
typedef struct sv_fact {
    uint16_t value;
    uint8_t from;        /* sv_from */
    const char *because; /* the word or column that said it; "" when unknown */
} sv_fact;

/* A fibre of a part: key as in data/lexicon/fibres.tsv ("cotton"); percent unknown when the label gave none.
 */
typedef struct sv_fibre {
    const char *key;
    sv_dec percent;
    bool rest; /* the percentage was not given: it is what the others leave of 100 */
} sv_fibre;
typedef struct sv_fibre_part {
    const char *part;      /* shell lining filling rib collar sleeves front back trim other */
    const sv_fibre *fibre; /* falling percentage, else in the order given */
    size_t count;
    uint8_t from; /* SV_FROM_DEFAULT: nobody said it, only the fabric or article makes it likely */
} sv_fibre_part;
#define SV_PARTS_MAX 10

/* All that is known of a piece. */
typedef struct sv_facts {
    sv_fact fact[SV_FACT_COUNT];
    sv_fibre_part part[SV_PARTS_MAX]; /* in the order of the contracts: shell first */
    size_t parts;
    const char
        *article; /* key of data/lexicon/garments.tsv ("t-shirt"), "" when no garment word was understood */
    const char *article_word; /* the seller's own word for it */
    uint8_t article_from;
    bool child; /* for children, though neither boys nor girls nor babies are named */
    int pieces; /* a pack of so many, 0: not told */
    const char
        *rival;  /* key of another article that the words name beside the first, "" when there is none */
    bool unread; /* words of the free text that may name goods were not understood */
    bool grown;  /* its size is that of a grown-up or an older child */
} sv_facts;

/* What the seller gives of one piece; any may be NULL or "". Formats: contracts, section 1. */
typedef struct sv_garment_given {
    const char *text, *garment, *gender, *construction, *fibre, *features, *condition, *presentation;
} sv_garment_given;

SV_MUST_USE sv_status sv_garment_read(const sv_world *world, sv_arena *arena, const sv_garment_given *given,
                                      sv_facts *out, sv_findings *findings);

/* "shell=cotton 60, polyester 40; lining=viscose 100" (contracts, heading: fibres). */
const char *sv_fibres_text(sv_arena *arena, const sv_facts *facts);
/* Names of facts and of their values; a fact or value that is not there: -1, 0, "". */
const char *sv_fact_name(int fact);
int sv_fact_find(const char *name, size_t bytes);
int sv_fact_value(int fact, const char *word, size_t bytes);
const char *sv_fact_value_word(int fact, int value);
bool sv_fact_is(const sv_facts *facts, int fact, int value);
/* The same piece under another article: what the first one's word meant is taken away, what the other means
 * is put in. In the arena; NULL: no memory. */
const sv_facts *sv_facts_as(const sv_world *world, sv_arena *arena, const sv_facts *facts,
                            const char *article);
/* Word of the value a fact has ("knit"), "" when unknown. */
const char *sv_fact_word(const sv_facts *facts, int fact);

/* An article of garments.tsv, by its index there. `wider` is the index of the article whose rules hold for it
 * too, -1: none. Texts are never NULL. */
typedef struct sv_article_row {
    const char *key, *kind, *name, *plural, *unit, *source, *as_of;
    int wider;
} sv_article_row;
size_t sv_article_count(const sv_world *world);
int sv_article_find(const sv_world *world, const char *key); /* -1: not there */
sv_article_row sv_article_at(const sv_world *world, int index);

/* The content line: number + user + construction + article + fibres with % + "used" (UPU CN 22/CN 23
 * instructions; (EU) 2015/2446 annex B, D.E. 18 05). `quantity` 0 leaves the number out; language "en", "fr",
 * ... ; *short_line at most 40 characters. Both "" when no article is known. */
SV_MUST_USE sv_status sv_content_line(const sv_world *world, sv_arena *arena, const sv_facts *facts,
                                      int64_t quantity, const char *language, const char **line,
                                      const char **short_line);

/* What a description is worth, with the reason as a sentence. Of goods that are no clothing the tool knows
 * little: where no article is named and no general word either, it says so and does not call the text vague.
 */
typedef enum sv_description {
    SV_DESCRIPTION_FIT,            /* names the article and enough about it */
    SV_DESCRIPTION_OF_OTHER_GOODS, /* names no article that is known here */
    SV_DESCRIPTION_BARE,           /* the article alone: who it is for, what it is made of are missing */
    SV_DESCRIPTION_PARTLY_VAGUE,   /* general words, or a pointer to another paper, among words not known here
                                    */
    SV_DESCRIPTION_VAGUE           /* nothing but general words, pointers, numbers or signs */
} sv_description;
SV_MUST_USE sv_status sv_description_weigh(const sv_world *world, sv_arena *arena, const char *text,
                                           sv_description *out, const char **reason);
/* Is a description fit to print? Sets *acceptable and *reason (a sentence). */
SV_MUST_USE sv_status sv_description_judge(const sv_world *world, sv_arena *arena, const char *text,
                                           const char *language, bool *acceptable, const char **reason);

#endif
