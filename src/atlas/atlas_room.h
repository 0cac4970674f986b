/* atlas_room.h - the room's own index; the other rooms see atlas.h. */
#ifndef SV_ATLAS_ROOM_H
#define SV_ATLAS_ROOM_H

#include "atlas/atlas.h"
#include "atlas/names.h"

#define SV_KEY_ROOM 192 /* the longest name that is looked up */

/* Owners of names in the alias index: 0 the names, with an sv_alias_row; this one alpha-3 codes, with the
 * place. */
#define SV_OWNER_ALPHA3 1

/* What a name of the alias table stands for. */
typedef struct sv_alias_row {
    const sv_atlas_place *place; /* NULL: shared by two */
    const char *part;
    bool weak;
    bool own; /* of our own table, or the English name: no other place may be called so */
} sv_alias_row;

struct sv_atlas {
    const sv_world *world;
    sv_atlas_place *place; /* in the order of codes */
    size_t places;
    uint16_t by_code[26 * 26]; /* number + 1 */
    sv_names alias, region;
    size_t most_words;
    sv_territory_row *territory;
    size_t territories;
    const sv_table *currency;
    int currency_exponent; /* column */
};

/* Parts of opening; each reads its tables. The arena's failure is checked by the caller. */
sv_status sv_atlas_regions(sv_atlas *a, sv_world *world, sv_error *err);
sv_status sv_atlas_postcodes(sv_atlas *a, sv_world *world, sv_error *err);
sv_status sv_atlas_formats(sv_atlas *a, sv_world *world, sv_error *err);
sv_status sv_atlas_aliases(sv_atlas *a, sv_world *world, sv_error *err);
sv_status sv_atlas_territories(sv_atlas *a, sv_world *world, sv_error *err);

/* The place with this alpha-2 code, capitals or not; NULL when there is none. */
sv_atlas_place *sv_atlas_find(const sv_atlas *a, const char *code);
/* A bad cell of our own or the user's table: SV_BAD_FORMAT with table, key and column. */
sv_status sv_atlas_bad(sv_error *err, const sv_table *t, size_t row, const char *column);

#endif
