/* region.c - the parts of a country an address names, by any of their names. */
#include <string.h>

#include "atlas/atlas_room.h"

/* Words that say what kind of region it is and may be there or not. */
static const char *const kinds[] = {
    "state",        "province",    "prefecture",   "region",      "county",   "co",      "governorate",
    "oblast",       "oblast'",     "obl",          "krai",        "kray",     "emirate", "of",
    "provincia",    "estado",      "departamento", "department",  "de",       "del",     "district",
    "parish",       "sheng",       "shi",          "si",          "do",       "ken",     "fu",
    "to",           "city",        "changwat",     "ili",         "provinsi", "область", "обл",
    "край",         "province of", "prov",         "dept",        "depto",    "dpto",    "edo",
    "jud",          "judet",       "judetul",      "departement", "di",       "citta",   "metropolitana",
    "metropolitan", "viloyati",    "oblysy",       "wilaya"};
/* The same, written on to the name. */
static const char *const endings[] = {"特別行政區", "特别行政区", "自治区", "自治區", "特別市",
                                      "특별자치도", "특별자치시", "특별시", "광역시", "都",
                                      "道",         "府",         "県",     "省",     "市",
                                      "縣",         "县",         "도",     "시"};

static bool is_kind(const char *word, size_t n)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (strlen(kinds[i]) == n && memcmp(kinds[i], word, n) == 0) return true;
    }
    return false;
}

/* Takes off a word of kind at either end, or an ending; false when there is none. */
static bool shorten(char **key, size_t *n)
{
    const char *blank = memchr(*key, ' ', *n);
    if (blank) {
        size_t first = (size_t)(blank - *key), last = *n;
        while ((*key)[last - 1] != ' ')
            last--;
        if (is_kind(*key + last, *n - last)) {
            *n = last - 1;
            return true;
        }
        if (is_kind(*key, first)) {
            *key += first + 1;
            *n -= first + 1;
            return true;
        }
    }
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        size_t e = strlen(endings[i]);
        if (*n <= e || memcmp(*key + *n - e, endings[i], e) != 0) continue;
        *n -= e;
        return true;
    }
    return false;
}

typedef struct maker {
    sv_names *names;
    sv_arena *arena;
    uint16_t place;
} maker;

static void put_made(const maker *m, const char *key, size_t length, const sv_region *region)
{
    sv_names_put(m->names, m->place, sv_copy_n(m->arena, key, length), length, region);
}

static void put_key(const maker *m, const char *name, size_t bytes, const sv_region *region)
{
    char key[SV_KEY_ROOM];
    size_t length = sv_alias_key(key, sizeof key, name, bytes);
    if (length && length != SIZE_MAX) put_made(m, key, length, region);
}

/* The name without the word that says what kind of region it is, where no other region is called so. */
static void put_short(const maker *m, const char *name, const sv_region *region)
{
    char room[SV_KEY_ROOM], *key = room;
    size_t length = sv_alias_key(room, sizeof room, name, strlen(name));
    if (length == SIZE_MAX) return;
    while (length && shorten(&key, &length))
        put_made(m, key, length, region);
}

static void put_list(const maker *m, const char *list, const sv_region *region)
{
    while (*list) {
        size_t bytes = strcspn(list, ";");
        put_key(m, list, bytes, region);
        list += bytes + (list[bytes] == ';');
    }
}

static void put_place(const maker *m, const sv_atlas_place *p, const sv_table *t, size_t first)
{
    int other = sv_table_column(t, "other");
    const sv_region *r = p->region;
    for (size_t i = 0; i < p->regions; i++) {
        put_key(m, r[i].name, strlen(r[i].name), &r[i]);
        put_key(m, r[i].local, strlen(r[i].local), &r[i]);
    }
    /* Codes and short forms only then: the full name of one region may be the code of no other. */
    for (size_t i = 0; i < p->regions; i++) {
        put_key(m, r[i].shorter, strlen(r[i].shorter), &r[i]);
        put_key(m, r[i].code, strlen(r[i].code), &r[i]);
        put_list(m, sv_cell(t, t->by_key[first + i], other), &r[i]);
    }
    for (size_t i = 0; i < p->regions; i++)
        put_short(m, r[i].name, &r[i]);
}

sv_status sv_atlas_region_names(const sv_atlas *a, sv_world *w, sv_names *out, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(w, "atlas/regions", &t, err);
    if (s || !sv_names_make(w->arena, out, t->rows * 7)) return s;
    for (size_t i = 0; i < a->places; i++) {
        size_t first;
        const maker m = {out, w->arena, a->place[i].index};
        if (sv_table_run(t, a->place[i].place.code, &first)) put_place(&m, &a->place[i], t, first);
    }
    return SV_OK;
}

static void read_regions(sv_region *r, const sv_table *t)
{
    int code = sv_table_column(t, "code"), name = sv_table_column(t, "name");
    int local = sv_table_column(t, "local"), shorter = sv_table_column(t, "short");
    int postcodes = sv_table_column(t, "postcodes");
    int source = sv_table_column(t, "source"), as_of = sv_table_column(t, "as_of");
    for (size_t i = 0; i < t->rows; i++) {
        size_t row = t->by_key[i];
        r[i] = (sv_region){.code = sv_cell(t, row, code),
                           .name = sv_cell(t, row, name),
                           .local = sv_cell(t, row, local),
                           .shorter = sv_cell(t, row, shorter),
                           .postcodes = sv_cell(t, row, postcodes),
                           .source = sv_cell(t, row, source),
                           .as_of = sv_cell(t, row, as_of)};
    }
}

sv_status sv_atlas_regions(sv_atlas *a, sv_world *w, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(w, "atlas/regions", &t, err);
    sv_region *r = s ? NULL : SV_NEW_ARRAY(w->arena, t->rows, sv_region);
    if (!r) return s;
    read_regions(r, t);
    a->region = r;
    for (size_t i = 0; i < a->places; i++) {
        sv_atlas_place *p = &a->place[i];
        size_t first;
        p->regions = sv_table_run(t, p->place.code, &first);
        p->region = p->regions ? r + first : NULL;
    }
    return SV_OK;
}

static const sv_region *find(const sv_atlas_place *p, const char *key, size_t length)
{
    uint32_t region;
    bool known = sv_name_find(&p->atlas->names.region, p->index, key, length, &region);
    return known ? &p->atlas->region[region] : NULL;
}

/* A local name without its ending ("東京" for 東京都): tries each ending. */
static const sv_region *with_ending(const sv_atlas_place *p, char *key, size_t n)
{
    if ((unsigned char)key[0] < 0xE3 || n + 16 > SV_KEY_ROOM) return NULL;
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        size_t e = strlen(endings[i]);
        memcpy(key + n, endings[i], e);
        const sv_region *r = find(p, key, n + e);
        if (r) return r;
    }
    return NULL;
}

const sv_region *sv_region_find(const sv_atlas_place *p, const char *text, size_t bytes)
{
    char room[SV_KEY_ROOM], *key = room;
    if (!p->regions || !bytes) return NULL;
    size_t n = sv_alias_key(room, sizeof room, text, bytes);
    if (n == SIZE_MAX || n == 0) return NULL;
    do {
        const sv_region *r = find(p, key, n);
        if (r) return r;
    } while (shorten(&key, &n));
    memmove(room, key, n);
    return with_ending(p, room, n);
}

const sv_region *sv_region_by_postcode(const sv_atlas_place *p, const char *postcode)
{
    const sv_region *found = NULL;
    size_t best = 0;
    for (size_t i = 0; i < p->regions; i++) {
        size_t n = sv_postcode_in(p->region[i].postcodes, postcode);
        if (n < best || n == 0) continue;
        found = n == best ? NULL : &p->region[i]; /* two share it */
        best = n;
    }
    return found;
}

bool sv_region_has_postcode(const sv_region *r, const char *postcode)
{
    return !*r->postcodes || sv_postcode_in(r->postcodes, postcode);
}
