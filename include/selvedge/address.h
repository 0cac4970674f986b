/* selvedge/address.h - reads a pasted address, checks it, lays it out as the destination's post reads it. */
#ifndef SELVEDGE_ADDRESS_H
#define SELVEDGE_ADDRESS_H

#include "selvedge/atlas.h"

/* An address in parts, as the buyer gave them. Texts may be NULL or "" for absent. Lines inside a text are
 * apart by line feeds. The names are those of the contracts. A `phone` or `email` of NULL was not asked for;
 * "" was asked for and is missing, which is a finding where the destination expects one. */
typedef struct sv_address {
    const char *country; /* code, or a name in any language */
    const char *recipient;
    const char *organisation;
    const char *street_lines;
    const char *dependent_locality;
    const char *city;
    const char *region;
    const char *postcode;
    const char *phone;
    const char *email;
    const char *unplaced; /* words of a pasted block that fit nowhere (split only) */
} sv_address;

/* What the laid-out address is. */
typedef struct sv_laid_address {
    const sv_place *place;         /* NULL when the country is unknown */
    const sv_territory *territory; /* NULL when none applies */
    const char *block; /* Latin lines joined by line feeds; last line the country in capitals, English */
    const char
        *block_local;     /* the same in local script where known, with its country line in Latin; else "" */
    const char *postcode; /* normal form; as given when no form fits */
    int postcode_ok;      /* 1, 0, or -1 when none was given or the country is unknown */
    const char *region_code; /* ISO 3166-2 part after the hyphen where known, else "" */
    const char *country_line;
    const char *format_source, *format_as_of; /* what the layout rests on; "" when the country is unknown */
} sv_laid_address;

/* Lays out and checks. Always gives a block as far as it goes; what is wrong becomes findings with places
 * such as "postcode". The arena owns the texts. `press` may be NULL (then nothing is transliterated).
 * `service` ("letter-post", ...) may be NULL: some services cannot deliver to a box. */
SV_MUST_USE sv_status sv_address_lay_out(const sv_world *world, sv_press *press, sv_arena *arena,
                                         const sv_address *given, const char *service, sv_laid_address *out,
                                         sv_findings *findings);

/* Splits a whole address as it came. `country` is a hint and may be NULL or "". Every word of the block ends
 * in exactly one part or in `unplaced`; label words and honorifics are dropped. Linear in the length of the
 * block. */
SV_MUST_USE sv_status sv_address_split(const sv_world *world, sv_press *press, sv_arena *arena,
                                       const char *block, size_t bytes, const char *country, sv_address *out,
                                       sv_findings *findings);

/* How a place writes addresses, as text for a reader: format, fields, an example, its source. NULL: unknown
 * country. */
const char *sv_address_rules(const sv_world *world, sv_arena *arena, const char *country);

#endif
