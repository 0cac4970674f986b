/* open.c - reads the places and opens the rest of the room. */
#include <string.h>

#include "atlas/atlas_room.h"

sv_status sv_atlas_bad(sv_error *err, const sv_table *t, size_t row, const char *column)
{
    return sv_fail(err, SV_BAD_FORMAT, "data/%s.tsv: row %s: %s cannot be read: %s", t->name,
                   sv_cell(t, row, 0), column, sv_cell(t, row, sv_table_column(t, column)));
}

static int letter(char c)
{
    if (c >= 'A' && c <= 'Z') return c - 'A';
    if (c >= 'a' && c <= 'z') return c - 'a';
    return -1;
}

sv_atlas_place *sv_atlas_find(const sv_atlas *a, const char *code)
{
    int first = letter(code[0]), second = first < 0 ? -1 : letter(code[1]);
    if (second < 0 || code[2]) return NULL;
    uint16_t n = a->by_code[first * 26 + second];
    return n ? &a->place[n - 1] : NULL;
}

/* A row of atlas/places becomes a place that writes addresses in the general way until its format is read. */
static void read_place(const sv_table *t, size_t row, sv_atlas_place *p)
{
#define CELL(name) sv_cell(t, row, sv_table_column(t, name))
    p->place = (sv_place){.code = CELL("code"),
                          .alpha3 = CELL("alpha3"),
                          .numeric = CELL("numeric"),
                          .name_en = CELL("name_en"),
                          .name_fr = CELL("name_fr"),
                          .common_en = CELL("common_en"),
                          .currency = CELL("currency"),
                          .languages = CELL("languages"),
                          .unions = CELL("unions"),
                          .sovereign = CELL("sovereign"),
                          .source = CELL("source"),
                          .as_of = CELL("as_of")};
#undef CELL
}

static sv_status read_places(sv_atlas *a, sv_world *w, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(w, "atlas/places", &t, err);
    if (s) return s;
    a->place = SV_NEW_ARRAY(w->arena, t->rows, sv_atlas_place);
    if (!a->place) return SV_OK;
    for (size_t i = 0; i < t->rows; i++) {
        size_t row = t->by_key[i];
        sv_atlas_place *p = &a->place[i];
        read_place(t, row, p);
        const char *c = p->place.code;
        if (strlen(c) != 2 || letter(c[0]) < 0 || letter(c[1]) < 0) return sv_atlas_bad(err, t, row, "code");
        p->index = (uint16_t)i;
        p->atlas = a;
        a->by_code[letter(c[0]) * 26 + letter(c[1])] = (uint16_t)(i + 1);
    }
    a->places = t->rows;
    return SV_OK;
}

static sv_status read_currencies(sv_atlas *a, sv_world *w, sv_error *err)
{
    sv_status s = sv_world_need(w, "atlas/currencies", &a->currency, err);
    if (!s) a->currency_exponent = sv_table_column(a->currency, "exponent");
    return s;
}

sv_status sv_atlas_tables(sv_world *w, sv_atlas **out, sv_error *err)
{
    static sv_status (*const parts[])(sv_atlas *, sv_world *, sv_error *) = {
        read_places,        read_currencies,  sv_atlas_formats,
        sv_atlas_postcodes, sv_atlas_regions, sv_atlas_territories};
    sv_status s = sv_world_load(w, "atlas/", err);
    sv_atlas *a = *out = s ? NULL : SV_NEW(w->arena, sv_atlas);
    if (a) a->world = w;
    for (size_t i = 0; a && !s && !sv_arena_failed(w->arena) && i < sizeof parts / sizeof *parts; i++)
        s = parts[i](a, w, err);
    if (!s && sv_arena_failed(w->arena))
        s = sv_fail(err, SV_NO_MEMORY, "out of memory while opening the atlas");
    return s;
}

/* The built-in index names places and regions by their number: the user's rows make it void. */
static bool has_users_rows(const sv_world *w)
{
    static const char *const tables[] = {"atlas/places", "atlas/names", "atlas/aliases", "atlas/regions"};
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        const sv_table *t = sv_world_table(w, tables[i]);
        if (!t || t->users) return true;
    }
    return false;
}

static sv_status open_names(sv_atlas *a, sv_world *w, sv_error *err)
{
    const sv_table *names;
    sv_status s = sv_world_need(w, "atlas/names", &names, err);
    if (s) return s;
    if (!has_users_rows(w) && sv_name_block_map(sv_names_block, names, &a->names)) return SV_OK;
    const void *block;
    size_t bytes;
    s = sv_atlas_names_make(a, w, &block, &bytes, err);
    if (!s && !sv_name_block_map(block, names, &a->names))
        s = sv_fail(err, SV_BAD_FORMAT, "the index of names is broken");
    return s;
}

sv_status sv_atlas_open(sv_world *w, sv_error *err)
{
    if (w->room[SV_ROOM_ATLAS]) return SV_OK;
    sv_atlas *a;
    sv_status s = sv_atlas_tables(w, &a, err);
    if (!s) s = open_names(a, w, err);
    if (!s) w->room[SV_ROOM_ATLAS] = a;
    return s;
}

/* ---- the public questions ---- */

size_t sv_place_count(const sv_world *w)
{
    const sv_atlas *a = sv_atlas_in(w);
    return a ? a->places : 0;
}

const sv_place *sv_place_at(const sv_world *w, size_t i)
{
    const sv_atlas *a = sv_atlas_in(w);
    return a && i < a->places ? &a->place[i].place : NULL;
}

/* A three-letter code is the code even where some language calls another place so. */
static const sv_atlas_place *by_alpha3(const sv_atlas *a, const char *code)
{
    if (strlen(code) != 3) return NULL;
    char capitals[4] = "";
    for (int i = 0; i < 3; i++) {
        if (letter(code[i]) < 0) return NULL;
        capitals[i] = (char)('A' + letter(code[i]));
    }
    uint32_t row;
    if (!sv_name_find(&a->names.alias, SV_OWNER_ALPHA3, capitals, 3, &row)) return NULL;
    return &a->place[a->names.row[row].place - 1];
}

const sv_place *sv_place_by_code(const sv_world *w, const char *code)
{
    const sv_atlas *a = sv_atlas_in(w);
    if (!a || !code) return NULL;
    const sv_atlas_place *p = sv_atlas_find(a, code);
    if (p) return &p->place;
    if (letter(code[0]) >= 0 && letter(code[1]) >= 0 && code[2] == '-') { /* ISO 3166-2: US-CA */
        char two[3] = {code[0], code[1], 0};
        p = sv_atlas_find(a, two);
        return p ? &p->place : NULL;
    }
    if ((p = by_alpha3(a, code)) != NULL) return &p->place;
    return sv_place_by_name(w, code);
}

int sv_currency_exponent(const sv_world *w, const char *currency)
{
    const sv_atlas *a = sv_atlas_in(w);
    char code[4];
    if (!a || !currency || strlen(currency) != 3) return -1;
    for (int i = 0; i < 3; i++) {
        if (letter(currency[i]) < 0) return -1;
        code[i] = (char)('A' + letter(currency[i]));
    }
    code[3] = 0;
    size_t row = sv_table_find(a->currency, code);
    const char *exponent = row == SV_NO_ROW ? "" : sv_cell(a->currency, row, a->currency_exponent);
    return *exponent ? *exponent - '0' : -1;
}
