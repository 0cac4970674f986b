/* split_data.c - the tables of the splitter, made ready: data/address/. */
#include <stdlib.h>
#include <string.h>
#include <unicode/uchar.h>

#include "address/address.h"
#include "address/split_phrases.h"

sv_status sp_bad(sv_error *err, const sv_table *t, size_t row, const char *column)
{
    return sv_fail(err, SV_BAD_FORMAT, "%s, row of \"%s\": bad %s", t->name, sv_cell(t, row, 0), column);
}

static void add_place(sp_places *set, const char *code)
{
    unsigned number = sp_number(code);
    if (sp_has(set, number)) return;
    set->bit[number / 64] |= (uint64_t)1 << number % 64;
    if (set->n < sizeof set->number / sizeof *set->number) set->number[set->n++] = (uint16_t)number;
}

void sp_read_places(sp_places *set, const char *list)
{
    for (const char *p = list; *p;) {
        size_t n = strcspn(p, " ");
        if (n == 2 && p[0] >= 'A' && p[0] <= 'Z' && p[1] >= 'A' && p[1] <= 'Z') add_place(set, p);
        p += n + (p[n] == ' ');
    }
}

typedef struct reader {
    sp_data *data;
    sv_arena *arena;
} reader;

static const sp_places *places_of(const reader *r, const char *list)
{
    sp_places *set = *list ? SV_NEW(r->arena, sp_places) : NULL;
    if (set) sp_read_places(set, list);
    return set;
}

static void read_letters(reader *r, const sv_table *t)
{
    int script = sv_table_column(t, "script"), country = sv_table_column(t, "country");
    int letters = sv_table_column(t, "letters"), weight = sv_table_column(t, "weight");
    r->data->letters = SV_NEW_ARRAY(r->arena, t->rows, sp_letters);
    for (size_t i = 0; r->data->letters && i < t->rows; i++)
        r->data->letters[i] =
            (sp_letters){.script = u_getPropertyValueEnum(UCHAR_SCRIPT, sv_cell(t, i, script)),
                         .country = (uint16_t)sp_number(sv_cell(t, i, country)),
                         .weight = (int16_t)atoi(sv_cell(t, i, weight)),
                         .letters = sv_cell(t, i, letters)};
    r->data->letter_rows = r->data->letters ? t->rows : 0;
}

static void read_dialling(reader *r, const sv_table *t)
{
    int prefix = sv_table_column(t, "prefix"), countries = sv_table_column(t, "countries");
    r->data->dial = SV_NEW_ARRAY(r->arena, t->rows, sp_dial);
    for (size_t i = 0; r->data->dial && i < t->rows; i++)
        r->data->dial[i] = (sp_dial){sv_cell(t, i, prefix), places_of(r, sv_cell(t, i, countries))};
    r->data->dials = r->data->dial ? t->rows : 0;
}

static bool yes(const sv_table *t, size_t row, const char *column)
{
    return strcmp(sv_cell(t, row, sv_table_column(t, column)), "yes") == 0;
}

static void read_habits(reader *r, const sv_table *t)
{
    for (size_t i = 0; i < t->rows; i++) {
        sp_habit *h = &r->data->habit[sp_number(sv_cell(t, i, 0))];
        h->dependent = strcmp(sv_cell(t, i, sv_table_column(t, "bare_line")), "dependent") == 0;
        h->region_above = yes(t, i, "region_above");
        h->town_above = yes(t, i, "town_above");
        h->numbered = yes(t, i, "numbered");
        h->phone_zero = yes(t, i, "phone_zero");
    }
}

/* After the regions: the places must be known. */
static sv_status read_shapes(reader *r, const sv_table *t, sv_error *err)
{
    r->data->shape = SV_NEW_ARRAY(r->arena, t->rows, sp_shape);
    if (!r->data->shape) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    for (size_t i = 0; i < t->rows; i++) {
        const sv_atlas_place *p = r->data->place[sp_number(sv_cell(t, i, 0))];
        if (!p) return sp_bad(err, t, i, "country");
        r->data->shape[r->data->shapes++] =
            (sp_shape){.place = p,
                       .weight = (int16_t)atoi(sv_cell(t, i, sv_table_column(t, "weight"))),
                       .region = yes(t, i, "region"),
                       .loose = yes(t, i, "loose"),
                       .opening = sp_opening(p, !yes(t, i, "loose")) & ~32u};
    }
    return SV_OK;
}

/* The places by their codes. */
static void read_atlas(reader *r, const sv_world *w)
{
    for (size_t i = 0; i < sv_place_count(w); i++) {
        const sv_place *place = sv_place_at(w, i);
        r->data->place[sp_number(place->code)] = sv_atlas_place_of(place);
        r->data->number[r->data->places++] = (uint16_t)sp_number(place->code);
    }
}

/* The built-in block names places, words and regions: the user's rows make it void. */
static bool has_users_rows(const sv_world *w)
{
    static const char *const tables[] = {"atlas/places",  "atlas/regions", "address/words",
                                         "address/towns", "address/areas", "address/parts"};
    for (size_t i = 0; i < sizeof tables / sizeof *tables; i++) {
        const sv_table *t = sv_world_table(w, tables[i]);
        if (!t || t->users) return true;
    }
    return false;
}

static sv_status open_phrases(sp_data *d, sv_world *w, sv_error *err)
{
    if (!has_users_rows(w) && sp_phrases_map(sv_phrases_block, w->arena, d)) return SV_OK;
    const void *block;
    size_t bytes;
    sv_status s = sp_phrases_make(w, &block, &bytes, err);
    if (!s && !sp_phrases_map(block, w->arena, d))
        s = sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    return s;
}

sv_status sp_data_open(sv_world *w, sp_data **out, sv_error *err)
{
    const sv_table *letters, *dialling, *habits, *shapes;
    sv_status s = sv_world_need(w, "address/scripts", &letters, err);
    if (!s) s = sv_world_need(w, "address/dialling", &dialling, err);
    if (!s) s = sv_world_need(w, "address/habits", &habits, err);
    if (!s) s = sv_world_need(w, "address/shapes", &shapes, err);
    if (s) return s;
    reader r = {.data = SV_NEW(w->arena, sp_data), .arena = w->arena};
    if (!r.data) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    s = open_phrases(r.data, w, err);
    if (s) return s;
    read_letters(&r, letters);
    read_dialling(&r, dialling);
    read_habits(&r, habits);
    read_atlas(&r, w);
    *out = r.data;
    return read_shapes(&r, shapes, err);
}

sv_status sv_address_open(sv_world *w, sv_error *err)
{
    sv_status s = sv_world_load(w, "address/", err);
    if (s) return s;
    sv_address_room *room = SV_NEW(w->arena, sv_address_room);
    if (!room) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    s = sp_data_open(w, &room->split, err);
    w->room[SV_ROOM_ADDRESS] = room;
    return s;
}

const sp_data *sp_data_in(const sv_world *w)
{
    const sv_address_room *room = w->room[SV_ROOM_ADDRESS];
    return room ? room->split : NULL;
}
