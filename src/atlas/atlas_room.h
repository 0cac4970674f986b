/* atlas_room.h - the room's own index; the other rooms see atlas.h. */
#ifndef SV_ATLAS_ROOM_H
#define SV_ATLAS_ROOM_H

#include "atlas/atlas.h"
#include "atlas/index.h"

#define SV_KEY_ROOM 192 /* the longest name that is looked up */

/* Owners of names in the alias index: 0 the names, this one alpha-3 codes; each with the number of a row. */
#define SV_OWNER_ALPHA3 1

struct sv_atlas {
    const sv_world *world;
    sv_atlas_place *place; /* in the order of codes */
    size_t places;
    uint16_t by_code[26 * 26]; /* number + 1 */
    const sv_region *region;   /* of all places */
    sv_name_block names;
    sv_territory_row *territory;
    size_t territories;
    const sv_table *currency;
    int currency_exponent; /* column */
};

/* Parts of opening; each reads its tables. The arena's failure is checked by the caller. */
sv_status sv_atlas_regions(sv_atlas *a, sv_world *world, sv_error *err);
sv_status sv_atlas_postcodes(sv_atlas *a, sv_world *world, sv_error *err);
sv_status sv_atlas_formats(sv_atlas *a, sv_world *world, sv_error *err);
sv_status sv_atlas_territories(sv_atlas *a, sv_world *world, sv_error *err);
/* All of them: the atlas but for its index of names. */
sv_status sv_atlas_tables(sv_world *world, sv_atlas **out, sv_error *err);

/* The index of names: gathers the names of the places (values: their rows) and of the regions (owner: number
 * of the place; values: regions); makes the block of both. */
sv_status sv_atlas_aliases(const sv_atlas *a, sv_world *world, sv_name_rows *out, sv_error *err);
sv_status sv_atlas_region_names(const sv_atlas *a, sv_world *world, sv_names *out, sv_error *err);
sv_status sv_atlas_names_make(const sv_atlas *a, sv_world *world, const void **block, size_t *bytes,
                              sv_error *err);

/* The place with this alpha-2 code, capitals or not; NULL when there is none. */
sv_atlas_place *sv_atlas_find(const sv_atlas *a, const char *code);
/* A bad cell of our own or the user's table: SV_BAD_FORMAT with table, key and column. */
sv_status sv_atlas_bad(sv_error *err, const sv_table *t, size_t row, const char *column);

#endif
