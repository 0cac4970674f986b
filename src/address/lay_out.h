/* lay_out.h - what the parts of laying out share: one address at work. */
#ifndef SV_LAY_OUT_H
#define SV_LAY_OUT_H

#include "atlas/layout.h"
#include "selvedge/address.h"

/* One cleaned text: blanks folded, controls and invisible marks dropped, lines without blank ones. Not
 * terminated. */
typedef struct sv_part {
    const char *text;
    size_t length;
} sv_part;

/* Scratch for cleaned texts; the texts of one address fit by construction (sv_scratch_room). */
typedef struct sv_scratch {
    char *at;
    bool latin;     /* full-width letters and local digits become ASCII */
    bool foreign;   /* a letter stands in one of the texts that is not Latin */
    bool dropped;   /* something invisible was left out */
    bool combining; /* an accent stands as a character of its own */
} sv_scratch;

/* How capitals are made. */
typedef enum sv_capitals { SV_AS_GIVEN, SV_CAPITALS, SV_CAPITALS_TURKIC } sv_capitals;
sv_capitals sv_capitals_of(const sv_place *place);

/* The most bytes that cleaning `bytes` may give. */
static inline size_t sv_scratch_room(size_t bytes)
{
    return bytes * 3 + 8;
}
/* Cleans a text into the scratch, in capitals or not. */
sv_part sv_clean(sv_scratch *s, const char *text, sv_capitals how);
/* Is the text written in letters that are not Latin? */
bool sv_is_foreign(const char *text, size_t bytes);

static inline const char *sv_text_of(const char *text)
{
    return text ? text : "";
}

typedef struct sv_job {
    const sv_world *world;
    sv_press *press;
    sv_arena *arena;
    const sv_address *given;
    sv_findings *findings;
    const char *service;
    const sv_atlas_place *place, *written; /* after and before a territory with a code of its own was found */
    const sv_territory *territory;
    sv_postcode code;
    bool code_given, code_placeholder;
    bool dropped;    /* something invisible was left out */
    bool decomposed; /* accents stand as characters of their own */
    const sv_region *region;
    sv_laid_address *out;
} sv_job;

/* Lines of a template with these texts (by sv_slot), the country line last. */
const char *sv_print_block(sv_arena *arena, const sv_layout *layout, const sv_part part[SV_SLOTS],
                           const char *country);

/* blocks.c: fills block and block_local. */
void sv_print_address(sv_job *job);
/* Without a country there is no template: the parts in the order most posts use, what was given as the
 * country last. */
void sv_print_without_country(sv_job *job);

/* latin.c: the Latin form of a text of this place by its own romanisation; NULL where there is none that
 * serves. */
const char *sv_latin_of(const sv_job *job, const char *text);
/* The Latin name of a town in local script, by table; NULL when it does not know it. */
const char *sv_latin_town(const sv_job *job, const char *town);

/* checks.c: everything there is to say about the laid out address. */
void sv_check_address(const sv_job *job);

#endif
