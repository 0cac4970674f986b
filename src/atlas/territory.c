/* territory.c - parts of countries with customs or tax rules of their own, found by postcode or name. */
#include <string.h>

#include "atlas/atlas_room.h"

static const char *const no_keys[] = {NULL};

static const char *const *make_keys(sv_arena *arena, const char *list)
{
    size_t most = 1;
    for (const char *p = list; *p; p++)
        most += *p == ';';
    const char **keys = SV_NEW_ARRAY(arena, most + 1, const char *);
    if (!keys) return no_keys;
    size_t k = 0;
    while (*list) {
        char key[SV_KEY_ROOM];
        size_t n = strcspn(list, ";"), length = sv_alias_key(key, sizeof key, list, n);
        if (length && length != SIZE_MAX) keys[k++] = sv_copy_n(arena, key, length);
        list += n + (list[n] == ';');
    }
    return keys;
}

static void read_row(sv_arena *arena, const sv_table *t, size_t row, sv_territory_row *r)
{
#define CELL(name) sv_cell(t, row, sv_table_column(t, name))
    r->territory = (sv_territory){.id = CELL("id"),
                                  .country = CELL("country"),
                                  .in_customs = CELL("in_customs"),
                                  .in_vat = CELL("in_vat"),
                                  .print = CELL("print"),
                                  .note = CELL("note"),
                                  .source = CELL("source"),
                                  .as_of = CELL("as_of")};
    r->within = CELL("within");
    r->postcodes = CELL("postcodes");
    r->places = CELL("places");
    r->key = make_keys(arena, r->places);
    r->whole = strcmp(CELL("whole"), "yes") == 0;
    r->severity = CELL("severity");
    const char *end = strchr(r->places, ';');
    r->territory.name = end ? sv_copy_n(arena, r->places, (size_t)(end - r->places)) : r->places;
#undef CELL
}

/* The places an address of the territory may be written with: its own code, and the country it hides under.
 */
static size_t places_of(const sv_atlas *a, const sv_territory_row *r, sv_atlas_place *place[2])
{
    size_t n = 0;
    place[n++] = sv_atlas_find(a, r->territory.country);
    if (strcmp(r->within, r->territory.country) != 0) place[n++] = sv_atlas_find(a, r->within);
    if (n == 2 && !place[1]) n = 1;
    return n;
}

/* Each place keeps the rows that may apply to it, so that most places look at none. */
static void spread(sv_atlas *a, sv_arena *arena)
{
    sv_atlas_place *place[2];
    size_t n = 0;
    for (size_t i = 0; i < a->territories; i++) {
        for (size_t k = places_of(a, &a->territory[i], place); k-- > 0; n++)
            place[k]->territories++;
    }
    const sv_territory_row **list = SV_NEW_ARRAY(arena, n, const sv_territory_row *);
    for (size_t i = 0; i < a->places; i++) {
        if (list && a->place[i].territories) a->place[i].territory = list;
        if (list) list += a->place[i].territories;
        a->place[i].territories = 0;
    }
    for (size_t i = 0; list && i < a->territories; i++) {
        for (size_t k = places_of(a, &a->territory[i], place); k-- > 0;)
            place[k]->territory[place[k]->territories++] = &a->territory[i];
    }
}

sv_status sv_atlas_territories(sv_atlas *a, sv_world *w, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(w, "atlas/territories", &t, err);
    if (s) return s;
    a->territory = SV_NEW_ARRAY(w->arena, t->rows, sv_territory_row);
    for (size_t i = 0; a->territory && i < t->rows; i++) {
        read_row(w->arena, t, i, &a->territory[i]);
        if (!sv_atlas_find(a, a->territory[i].territory.country)) return sv_atlas_bad(err, t, i, "country");
    }
    a->territories = a->territory ? t->rows : 0;
    spread(a, w->arena);
    /* A territory that is a whole place has the place's name. */
    for (size_t i = 0; i < a->territories; i++) {
        sv_territory *r = &a->territory[i].territory;
        if (a->territory[i].whole) r->name = sv_atlas_find(a, r->country)->place.common_en;
    }
    return SV_OK;
}

size_t sv_territory_count(const sv_world *w)
{
    const sv_atlas *a = sv_atlas_in(w);
    return a ? a->territories : 0;
}

const sv_territory *sv_territory_at(const sv_world *w, size_t i)
{
    const sv_atlas *a = sv_atlas_in(w);
    return a && i < a->territories ? &a->territory[i].territory : NULL;
}

const sv_territory *sv_territory_by_id(const sv_world *w, const char *id)
{
    for (size_t i = 0; i < sv_territory_count(w); i++) {
        const sv_territory *t = sv_territory_at(w, i);
        if (strcmp(t->id, id) == 0) return t;
    }
    return NULL;
}

/* The row whose postcodes hold this one; the longest item wins (97150 before 971). */
static const sv_territory_row *by_postcode(const sv_atlas_place *p, const char *normal)
{
    const sv_territory_row *best = NULL;
    size_t most = 0;
    for (size_t i = 0; i < p->territories; i++) {
        size_t n = sv_postcode_in(p->territory[i]->postcodes, normal);
        if (n <= most) continue;
        most = n;
        best = p->territory[i];
    }
    return best;
}

static const sv_territory_row *by_name(const sv_atlas_place *p, const char *name, bool coded)
{
    char key[SV_KEY_ROOM];
    size_t n = name && *name ? sv_alias_key(key, sizeof key, name, strlen(name)) : 0;
    if (!n || n == SIZE_MAX) return NULL;
    for (size_t i = 0; i < p->territories; i++) {
        /* Where a postcode was given, it speaks for every row that has postcodes. */
        if (coded && *p->territory[i]->postcodes) continue;
        for (const char *const *k = p->territory[i]->key; *k; k++) {
            if (strcmp(*k, key) == 0) return p->territory[i];
        }
    }
    return NULL;
}

static const sv_territory_row *whole(const sv_atlas_place *p)
{
    for (size_t i = 0; i < p->territories; i++) {
        const sv_territory_row *r = p->territory[i];
        if (r->whole && strcmp(r->territory.country, p->place.code) == 0) return r;
    }
    return NULL;
}

const sv_territory *sv_territory_of(const sv_world *w, const char *country, const char *postcode,
                                    const char *region, const char *city)
{
    const sv_place *place = sv_place_by_code(w, country);
    if (!place) return NULL;
    const sv_atlas_place *p = sv_atlas_place_of(place);
    if (!p->territories) return NULL;
    sv_postcode code;
    bool coded = postcode && *postcode && sv_postcode_read(p, postcode, strlen(postcode), &code);
    const sv_territory_row *r = coded ? by_postcode(p, code.text) : NULL;
    if (!r) r = by_name(p, region, coded);
    if (!r) r = by_name(p, city, coded);
    if (!r) r = whole(p);
    return r ? &r->territory : NULL;
}

const sv_place *sv_place_by_postcode(const sv_world *w, const sv_place *place, const char *postcode,
                                     const char *region, const char *city)
{
    const sv_territory *t = sv_territory_of(w, place->code, postcode, region, city);
    if (!t || strcmp(t->country, place->code) == 0) return place;
    const sv_place *own = sv_place_by_code(w, t->country);
    return own ? own : place;
}
