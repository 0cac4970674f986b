/* reader.h - reading one piece: what its columns and free text say, as facts. Private to the room. */
#ifndef SV_GARMENT_READER_H
#define SV_GARMENT_READER_H

#include "garment/items.h"
#include "garment/label.h"

typedef enum sv_source {
    SV_SOURCE_TEXT,
    SV_SOURCE_GARMENT,
    SV_SOURCE_FEATURES,
    SV_SOURCE_FIBRE,
    SV_SOURCE_GENDER,
    SV_SOURCE_CONSTRUCTION,
    SV_SOURCE_CONDITION,
    SV_SOURCE_PRESENTATION,
    SV_SOURCES
} sv_source;

/* Is a word about the cloth outside, only about its look, or about what lies inside? */
typedef enum sv_aside { SV_NOT_ASIDE, SV_ASIDE_LOOK, SV_ASIDE_INNER } sv_aside;

typedef struct sv_reader {
    const sv_world *world;
    const sv_wordbook *lex;
    sv_arena *arena;
    sv_facts *out;
    sv_findings *findings; /* NULL: nobody wants them */
    const char *given[SV_SOURCES];
    sv_items items[SV_SOURCES];
    sv_tongues tongues;
    sv_label label;
    int article; /* index, -1: none */
    const sv_item *article_item;
    uint16_t scope;                       /* of the article, 0: unknown */
    uint16_t wearers[SV_FROM_STATED + 1]; /* bits of values said, by strength */
    const char *wearer_word[SV_FROM_STATED + 1];
    sv_aside aside;               /* of the word being read */
    bool upper_named, sole_named; /* of a shoe: its material is said there or nowhere */
    int size, size_from;          /* the largest and the first told: 0 not told, 1 baby's, 2 child's */
} sv_reader;

/* Sets a fact unless a stronger source, or an equal one before, has set it. */
void sv_set(sv_reader *r, int fact, int value, sv_from from, const char *because);
/* What the words of a text say; `stated` where the whole text is a column for it. */
void sv_read_words(sv_reader *r, sv_source source, sv_from from);
void sv_read_negations(const sv_wordbook *lex, sv_items *items);
void sv_read_article(sv_reader *r);
void sv_take_article(sv_reader *r, sv_source source, const sv_item *item, int article, sv_from from);
/* A set: what it is made of, and whether it is one though its pieces are named first. */
void sv_read_set(sv_reader *r);
/* Used clothes in bulk, though no article is named. */
void sv_suppose_worn(sv_reader *r);
void sv_apply_article(sv_reader *r);
bool sv_is_shoe(const sv_reader *r);
void sv_read_shoe_parts(sv_reader *r);
void sv_read_materials(sv_reader *r);
void sv_read_sizes(sv_reader *r);
void sv_read_measures(sv_reader *r);
void sv_read_wearer(sv_reader *r);
void sv_read_columns(sv_reader *r);
/* Findings about the label. */
void sv_judge_label(sv_reader *r);

#endif
