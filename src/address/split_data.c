/* split_data.c - the tables of the splitter, made ready: data/address/. */
#include <stdlib.h>
#include <string.h>
#include <unicode/uchar.h>

#include "address/address.h"
#include "address/split.h"
#include "text/text.h"

static const char *const class_words[SP_WORD_CLASSES] = {
    "attn",         "box",           "box-east",     "care",          "care-east",       "country-tail",
    "customer",     "dept",          "firm",         "firm-east",     "from-label",      "hint",
    "kin",          "label-address", "label-code",   "label-country", "label-dependent", "label-drop",
    "label-email",  "label-firm",    "label-name",   "label-note",    "label-phone",     "label-region",
    "label-street", "label-tax",     "label-town",   "locker",        "military",        "military-force",
    "military-gb",  "near",          "note",         "particle",      "poste-restante",  "rural",
    "street-back",  "street-end",    "street-front", "street-weak",   "title",           "title-after",
    "title-glued",  "unit"};
static const char *const part_words[] = {"dependent", "city", "region", "town", "street", "drop"};

static int word_in(const char *word, const char *const *list, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (strcmp(word, list[i]) == 0) return (int)i;
    }
    return -1;
}

static sv_status bad(sv_error *err, const sv_table *t, size_t row, const char *column)
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

typedef struct reader {
    sp_data *data;
    sv_arena *arena;
    sv_names sets; /* lists of codes, each made once */
} reader;

static const sp_places *places_of(reader *r, const char *list)
{
    size_t bytes = strlen(list);
    if (!bytes) return NULL;
    sp_places *set = (sp_places *)(uintptr_t)sv_names_get(&r->sets, 0, list, bytes);
    if (set) return set;
    set = SV_NEW(r->arena, sp_places);
    if (!set) return NULL;
    for (const char *p = list; *p;) {
        size_t n = strcspn(p, " ");
        if (n == 2 && p[0] >= 'A' && p[0] <= 'Z' && p[1] >= 'A' && p[1] <= 'Z') add_place(set, p);
        p += n + (p[n] == ' ');
    }
    sv_names_put(&r->sets, 0, list, bytes, set);
    return set;
}

static size_t words_of(const char *key, size_t n)
{
    size_t words = 1;
    for (size_t i = 0; i < n; i++)
        words += key[i] == ' ';
    return words;
}

static sv_name *slot_of(const sv_names *names, uint16_t owner, const char *key, size_t n)
{
    return sv_names_slot(names, sv_names_hash(owner, key, n), owner, key, n);
}

/* Remembers the most words of a phrase that opens with its first word. */
static void note_first(reader *r, const char *key, size_t n)
{
    const char *blank = memchr(key, ' ', n);
    size_t first = blank ? (size_t)(blank - key) : n, words = words_of(key, n);
    sv_name *slot = slot_of(&r->data->first, 0, key, first);
    if (!slot->value) {
        sv_names_put(&r->data->first, 0, key, first, (const void *)(uintptr_t)words);
        return;
    }
    if ((size_t)(uintptr_t)slot->value < words) slot->value = (const void *)(uintptr_t)words;
}

static void put_sense(reader *r, uint16_t owner, const char *text, size_t bytes, sp_class class,
                      const sp_places *in, const sp_places *hints)
{
    char key[256];
    size_t n = sv_alias_key(key, sizeof key, text, bytes);
    if (n == SIZE_MAX || n == 0 || n > 250) return;
    sp_sense *s = SV_NEW(r->arena, sp_sense);
    const char *kept = sv_copy_n(r->arena, key, n);
    if (!s) return;
    *s = (sp_sense){.class = (uint8_t) class, .in = in, .hints = hints};
    sv_name *slot = slot_of(&r->data->words, owner, kept, n);
    if (slot->value) {
        s->next = slot->value;
        slot->value = s;
    } else {
        sv_names_put(&r->data->words, owner, kept, n, s);
    }
    if (owner == 0) note_first(r, kept, n);
    if (owner == 1 && n >= 2) {
        unsigned pair = (unsigned char)kept[n - 2] * 256u + (unsigned char)kept[n - 1];
        r->data->ends[pair / 8] |= (uint8_t)(1u << pair % 8);
    }
}

/* Words in Han, kana and Hangul that stand inside longer ones. */
static void note_east(reader *r, const char *text, sp_class class)
{
    /* A single character for room or floor says nothing inside a word. */
    bool wanted = class == SP_IS_FIRM_EAST || class == SP_IS_BOX_EAST || class == SP_IS_CARE_EAST ||
                  (class == SP_IS_UNIT && strlen(text) >= 6) || class == SP_IS_RESTANTE ||
                  class == SP_IS_LOCKER || (class == SP_IS_TITLE_AFTER && strlen(text) >= 6) ||
                  class == SP_IS_TITLE_GLUED;
    unsigned char lead = (unsigned char)text[0];
    if (!wanted || (lead != '(' && (lead < 0xE3 || lead > 0xEF)) || strlen(text) > 60) return;
    r->data->east[r->data->easts++] = (sp_east_word){text, (uint8_t)strlen(text), (uint8_t) class};
}

static sv_status read_words(reader *r, const sv_table *t, sv_error *err)
{
    int word = sv_table_column(t, "word"), class = sv_table_column(t, "class");
    int in = sv_table_column(t, "in"), hints = sv_table_column(t, "hints");
    r->data->east = SV_NEW_ARRAY(r->arena, t->rows, sp_east_word);
    if (!r->data->east) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    for (size_t i = 0; i < t->rows; i++) {
        int c = word_in(sv_cell(t, i, class), class_words, SP_WORD_CLASSES);
        if (c < 0) return bad(err, t, i, "class");
        const char *text = sv_cell(t, i, word);
        note_east(r, text, (sp_class)c);
        put_sense(r, c == SP_IS_END ? 1 : 0, text, strlen(text), (sp_class)c, places_of(r, sv_cell(t, i, in)),
                  places_of(r, sv_cell(t, i, hints)));
    }
    return SV_OK;
}

/* A name and its other names, apart by ;. */
static void put_names(reader *r, const char *name, const char *other, sp_class class, const sp_places *in)
{
    put_sense(r, 0, name, strlen(name), class, in, in);
    while (*other) {
        size_t n = strcspn(other, ";");
        put_sense(r, 0, other, n, class, in, in);
        other += n + (other[n] == ';');
    }
}

static void read_names(reader *r, const sv_table *t, const char *column, sp_class class)
{
    int country = sv_table_column(t, "country"), name = sv_table_column(t, column),
        other = sv_table_column(t, "other");
    for (size_t i = 0; i < t->rows; i++)
        put_names(r, sv_cell(t, i, name), sv_cell(t, i, other), class, places_of(r, sv_cell(t, i, country)));
}

static sv_status read_parts(reader *r, const sv_table *t, sv_error *err)
{
    int country = sv_table_column(t, "country"), word = sv_table_column(t, "word");
    int side = sv_table_column(t, "side"), part = sv_table_column(t, "part");
    for (size_t i = 0; i < t->rows; i++) {
        int p = word_in(sv_cell(t, i, part), part_words, sizeof part_words / sizeof *part_words);
        if (p < 0) return bad(err, t, i, "part");
        char key[256];
        const char *text = sv_cell(t, i, word);
        size_t n = sv_alias_key(key, sizeof key, text, strlen(text));
        if (n == SIZE_MAX || !n) return bad(err, t, i, "word");
        unsigned owner = sp_number(sv_cell(t, i, country)) * 2 + (strcmp(sv_cell(t, i, side), "after") == 0);
        sv_names_put(&r->data->parts, (uint16_t)owner, sv_copy_n(r->arena, key, n), n,
                     (const void *)(uintptr_t)(p + 1));
    }
    return SV_OK;
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
        if (!p) return bad(err, t, i, "country");
        r->data->shape[r->data->shapes++] =
            (sp_shape){.place = p,
                       .weight = (int16_t)atoi(sv_cell(t, i, sv_table_column(t, "weight"))),
                       .region = yes(t, i, "region"),
                       .loose = yes(t, i, "loose"),
                       .opening = sp_opening(p, !yes(t, i, "loose")) & ~32u};
    }
    return SV_OK;
}

/* Regions of the atlas, as evidence for a country that is not named. */
static void read_regions(reader *r, const sv_world *w)
{
    for (size_t i = 0; i < sv_place_count(w); i++) {
        const sv_place *place = sv_place_at(w, i);
        const sv_atlas_place *p = sv_atlas_place_of(place);
        r->data->place[sp_number(place->code)] = p;
        r->data->number[r->data->places++] = (uint16_t)sp_number(place->code);
        const sp_places *in = places_of(r, place->code);
        for (size_t k = 0; k < p->regions; k++) {
            const sv_region *g = &p->region[k];
            put_sense(r, 0, g->name, strlen(g->name), SP_IS_REGION, in, in);
            if (*g->local) put_sense(r, 0, g->local, strlen(g->local), SP_IS_REGION, in, in);
        }
    }
}

static size_t names_in(const sv_table *t, const char *column)
{
    size_t n = t->rows;
    int c = sv_table_column(t, column);
    for (size_t i = 0; i < t->rows; i++) {
        for (const char *p = sv_cell(t, i, c); *p; p++)
            n += *p == ';';
        n++;
    }
    return n;
}

sv_status sp_data_open(sv_world *w, sp_data **out, sv_error *err)
{
    const sv_table *words, *towns, *areas, *parts, *letters, *dialling, *habits, *shapes;
    sv_status s = sv_world_need(w, "address/words", &words, err);
    if (!s) s = sv_world_need(w, "address/towns", &towns, err);
    if (!s) s = sv_world_need(w, "address/areas", &areas, err);
    if (!s) s = sv_world_need(w, "address/parts", &parts, err);
    if (!s) s = sv_world_need(w, "address/scripts", &letters, err);
    if (!s) s = sv_world_need(w, "address/dialling", &dialling, err);
    if (!s) s = sv_world_need(w, "address/habits", &habits, err);
    if (!s) s = sv_world_need(w, "address/shapes", &shapes, err);
    if (s) return s;
    reader r = {.data = SV_NEW(w->arena, sp_data), .arena = w->arena};
    size_t most = words->rows + names_in(towns, "other") + names_in(areas, "other") + 3000;
    if (!r.data || !sv_names_make(w->arena, &r.sets, 4096) ||
        !sv_names_make(w->arena, &r.data->words, most) || !sv_names_make(w->arena, &r.data->first, most) ||
        !sv_names_make(w->arena, &r.data->parts, parts->rows))
        return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    s = read_words(&r, words, err);
    if (!s) s = read_parts(&r, parts, err);
    if (!s) {
        read_names(&r, towns, "town", SP_IS_TOWN);
        read_names(&r, areas, "area", SP_IS_AREA);
        read_letters(&r, letters);
        read_dialling(&r, dialling);
        read_habits(&r, habits);
        read_regions(&r, w);
        s = read_shapes(&r, shapes, err);
    }
    *out = r.data;
    return s;
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
