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
 * facts the list is `no yes`, so 1 is no and 2 is yes. `excluded` is a bit set of values that are known not
 * to be (bit v). */
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
} sv_fibre;
typedef struct sv_fibre_part {
    const char *part;      /* shell lining filling rib collar sleeves front back trim other */
    const sv_fibre *fibre; /* falling percentage, ties by name */
    size_t count;
    uint8_t from;
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
} sv_facts;

/* What the seller gives of one piece; any may be NULL or "". Formats: contracts, section 1. */
typedef struct sv_garment_given {
    const char *text, *garment, *gender, *construction, *fibre, *features, *condition, *presentation;
} sv_garment_given;

SV_MUST_USE sv_status sv_garment_read(const sv_world *world, sv_arena *arena, const sv_garment_given *given,
                                      sv_facts *out, sv_findings *findings);

/* "shell=cotton 60, polyester 40; lining=viscose 100" (contracts, heading: fibres). */
const char *sv_fibres_text(sv_arena *arena, const sv_facts *facts);
/* Word of a fact's value ("knit"), "" when unknown. */
const char *sv_fact_word(const sv_facts *facts, int fact);
const char *sv_fact_name(int fact);

/* The content line: number + user + construction + article + fibres with % + "used" (UPU CN 22/CN 23
 * instructions; (EU) 2015/2446 annex B, D.E. 18 05). `quantity` 0 leaves the number out; language "en", "fr",
 * ... ; *short_line at most 40 characters. Both "" when no article is known. */
SV_MUST_USE sv_status sv_content_line(const sv_world *world, sv_arena *arena, const sv_facts *facts,
                                      int64_t quantity, const char *language, const char **line,
                                      const char **short_line);

/* Is a description fit to print? Sets *acceptable and *reason (a sentence). */
SV_MUST_USE sv_status sv_description_judge(const sv_world *world, sv_arena *arena, const char *text,
                                           const char *language, bool *acceptable, const char **reason);

#endif
