/* selvedge/atlas.h - places of the world: codes, names, money, unions, how they write addresses. */
#ifndef SELVEDGE_ATLAS_H
#define SELVEDGE_ATLAS_H

#include "selvedge/base.h"

/* A place with a code of its own in ISO 3166-1, or XK. Every text is UTF-8, never NULL, and lives as long as
 * the world. Order and layout data are private to the address room (src/atlas/atlas.h). */
typedef struct sv_place {
    const char *code; /* ISO 3166-1 alpha-2, or XK */
    const char *alpha3;
    const char *numeric;   /* three digits, "" for XK */
    const char *name_en;   /* postal name in English, as the last line prints it, in capitals */
    const char *name_fr;   /* the same in French */
    const char *common_en; /* name in running text: "Germany" */
    const char *currency;  /* ISO 4217, of daily use; "" where none */
    const char *languages; /* ISO 639, apart by blanks, the post's first */
    const char *unions; /* words apart by blanks: eu-customs eu-vat eaeu gcc sacu us-customs ch-customs ... */
    const char *sovereign; /* code of the state that it belongs to, "" when it is itself one */
    const char *source, *as_of;
} sv_place;

/* By alpha-2 (any case), alpha-3, `XK`, or a name or alias in any language of the alias table. NULL: unknown.
 */
const sv_place *sv_place_by_code(const sv_world *world, const char *code);
const sv_place *sv_place_by_name(const sv_world *world, const char *name);
size_t sv_place_count(const sv_world *world);
const sv_place *sv_place_at(const sv_world *world, size_t index); /* in the order of codes */

/* Digits after the point by ISO 4217 (JPY 0, EUR 2, KWD 3); -1 when the code is not in the table. */
int sv_currency_exponent(const sv_world *world, const char *currency);

/* A part of a country whose customs or tax rules differ from the country's, known by postcode or name. */
typedef struct sv_territory {
    const char *
        id; /* ISO code where it has one (AX, RE, JE), ISO 3166-2 or a word where not (ES-CN, DE-helgoland) */
    const char *country; /* ISO code printed in the address */
    const char *name;
    const char *in_customs; /* the customs union it is inside of ("eu-customs"), "" when outside all */
    const char *in_vat;     /* the same for the tax territory */
    const char *print;      /* what the last line is: "" for the country's own */
    const char *note;       /* what to do */
    const char *source, *as_of;
} sv_territory;
/* By country and postcode (normalised or as written) and, where it has none, by region or town. NULL: none.
 */
const sv_territory *sv_territory_of(const sv_world *world, const char *country, const char *postcode,
                                    const char *region, const char *city);
const sv_territory *sv_territory_by_id(const sv_world *world, const char *id);

#endif
