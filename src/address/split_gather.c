/* split_gather.c - gathers the phrases of data/address/ and the regions of the atlas: what each may mean. */
#include <string.h>

#include "address/split_phrases.h"
#include "text/text.h"

typedef sp_gathered maker;

static const char *const class_words[SP_WORD_CLASSES] = {
    "attn",           "box",          "box-east",      "care",         "care-east",     "code-word",
    "country-tail",   "customer",     "dept",          "firm",         "firm-east",     "from-label",
    "hint",           "kin",          "label-address", "label-code",   "label-country", "label-dependent",
    "label-drop",     "label-email",  "label-firm",    "label-name",   "label-note",    "label-phone",
    "label-region",   "label-street", "label-tax",     "label-town",   "locker",        "military",
    "military-force", "military-gb",  "near",          "note",         "particle",      "poste-restante",
    "rural",          "street-back",  "street-end",    "street-front", "street-weak",   "title",
    "title-after",    "title-glued",  "unit"};
static const char *const part_words[] = {"dependent", "city", "region", "town", "street", "drop"};

static int word_in(const char *word, const char *const *list, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (strcmp(word, list[i]) == 0) return (int)i;
    }
    return -1;
}

static const sp_places *places_of(maker *m, const char *list)
{
    size_t bytes = strlen(list);
    if (!bytes) return NULL;
    sp_places *set = (sp_places *)(uintptr_t)sv_names_get(&m->sets, 0, list, bytes);
    if (set) return set;
    set = SV_NEW(m->arena, sp_places);
    if (!set) return NULL;
    sp_read_places(set, list);
    sv_names_put(&m->sets, 0, list, bytes, set);
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
static void note_first(maker *m, const char *key, size_t n)
{
    const char *blank = memchr(key, ' ', n);
    size_t first = blank ? (size_t)(blank - key) : n, words = words_of(key, n);
    sv_name *slot = slot_of(&m->first, 0, key, first);
    if (!slot->value) {
        sv_names_put(&m->first, 0, key, first, (const void *)(uintptr_t)words);
        return;
    }
    if ((size_t)(uintptr_t)slot->value < words) slot->value = (const void *)(uintptr_t)words;
}

static void put_sense(maker *m, uint16_t owner, const char *text, size_t bytes, sp_class class,
                      const sp_places *in, const sp_places *hints)
{
    char key[256];
    size_t n = sv_alias_key(key, sizeof key, text, bytes);
    if (n == SIZE_MAX || n == 0 || n > 250) return;
    sp_sense *s = SV_NEW(m->arena, sp_sense);
    const char *kept = sv_copy_n(m->arena, key, n);
    if (!s) return;
    *s = (sp_sense){.class = (uint8_t) class, .in = in, .hints = hints};
    sv_name *slot = slot_of(&m->words, owner, kept, n);
    if (slot->value) {
        s->next = slot->value;
        slot->value = s;
    } else {
        sv_names_put(&m->words, owner, kept, n, s);
    }
    if (owner == 0) note_first(m, kept, n);
    if (owner == 1 && n >= 2) {
        unsigned pair = (unsigned char)kept[n - 2] * 256u + (unsigned char)kept[n - 1];
        m->ends[pair / 8] |= (uint8_t)(1u << pair % 8);
    }
}

/* Words in Han, kana and Hangul that stand inside longer ones. */
static void note_east(maker *m, const char *text, sp_class class)
{
    /* A single character for room or floor says nothing inside a word. */
    bool wanted = class == SP_IS_FIRM_EAST || class == SP_IS_BOX_EAST || class == SP_IS_CARE_EAST ||
                  (class == SP_IS_UNIT && strlen(text) >= 6) || class == SP_IS_RESTANTE ||
                  class == SP_IS_LOCKER || (class == SP_IS_TITLE_AFTER && strlen(text) >= 6) ||
                  class == SP_IS_TITLE_GLUED;
    unsigned char lead = (unsigned char)text[0];
    if (!wanted || (lead != '(' && (lead < 0xE3 || lead > 0xEF)) || strlen(text) > 60) return;
    m->east[m->easts++] = (sp_east_word){text, (uint8_t)strlen(text), (uint8_t) class};
}

static sv_status read_words(maker *m, const sv_table *t, sv_error *err)
{
    int word = sv_table_column(t, "word"), class = sv_table_column(t, "class");
    int in = sv_table_column(t, "in"), hints = sv_table_column(t, "hints");
    m->east = SV_NEW_ARRAY(m->arena, t->rows, sp_east_word);
    if (!m->east) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    for (size_t i = 0; i < t->rows; i++) {
        int c = word_in(sv_cell(t, i, class), class_words, SP_WORD_CLASSES);
        if (c < 0) return sp_bad(err, t, i, "class");
        const char *text = sv_cell(t, i, word);
        note_east(m, text, (sp_class)c);
        put_sense(m, c == SP_IS_END ? 1 : 0, text, strlen(text), (sp_class)c, places_of(m, sv_cell(t, i, in)),
                  places_of(m, sv_cell(t, i, hints)));
    }
    return SV_OK;
}

/* A name and its other names, apart by ;. */
static void put_names(maker *m, const char *name, const char *other, sp_class class, const sp_places *in)
{
    put_sense(m, 0, name, strlen(name), class, in, in);
    while (*other) {
        size_t n = strcspn(other, ";");
        put_sense(m, 0, other, n, class, in, in);
        other += n + (other[n] == ';');
    }
}

static void read_names(maker *m, const sv_table *t, const char *column, sp_class class)
{
    int country = sv_table_column(t, "country"), name = sv_table_column(t, column),
        other = sv_table_column(t, "other");
    for (size_t i = 0; i < t->rows; i++)
        put_names(m, sv_cell(t, i, name), sv_cell(t, i, other), class, places_of(m, sv_cell(t, i, country)));
}

static sv_status read_parts(maker *m, const sv_table *t, sv_error *err)
{
    int country = sv_table_column(t, "country"), word = sv_table_column(t, "word");
    int side = sv_table_column(t, "side"), part = sv_table_column(t, "part");
    for (size_t i = 0; i < t->rows; i++) {
        int p = word_in(sv_cell(t, i, part), part_words, sizeof part_words / sizeof *part_words);
        if (p < 0) return sp_bad(err, t, i, "part");
        char key[256];
        const char *text = sv_cell(t, i, word);
        size_t n = sv_alias_key(key, sizeof key, text, strlen(text));
        if (n == SIZE_MAX || !n) return sp_bad(err, t, i, "word");
        unsigned owner = sp_number(sv_cell(t, i, country)) * 2 + (strcmp(sv_cell(t, i, side), "after") == 0);
        sv_names_put(&m->parts, (uint16_t)owner, sv_copy_n(m->arena, key, n), n,
                     (const void *)(uintptr_t)(p + 1));
    }
    return SV_OK;
}

/* Regions of the atlas, as evidence for a country that is not named. */
static void read_regions(maker *m, const sv_world *w)
{
    for (size_t i = 0; i < sv_place_count(w); i++) {
        const sv_place *place = sv_place_at(w, i);
        const sv_atlas_place *p = sv_atlas_place_of(place);
        const sp_places *in = places_of(m, place->code);
        for (size_t k = 0; k < p->regions; k++) {
            const sv_region *g = &p->region[k];
            put_sense(m, 0, g->name, strlen(g->name), SP_IS_REGION, in, in);
            if (*g->local) put_sense(m, 0, g->local, strlen(g->local), SP_IS_REGION, in, in);
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

sv_status sp_gather(sp_gathered *m, sv_world *w, sv_error *err)
{
    const sv_table *words, *towns, *areas, *parts;
    sv_status s = sv_world_need(w, "address/words", &words, err);
    if (!s) s = sv_world_need(w, "address/towns", &towns, err);
    if (!s) s = sv_world_need(w, "address/areas", &areas, err);
    if (!s) s = sv_world_need(w, "address/parts", &parts, err);
    if (s) return s;
    size_t most = words->rows + names_in(towns, "other") + names_in(areas, "other") + 3000;
    if (!sv_names_make(m->arena, &m->sets, 4096) || !sv_names_make(m->arena, &m->words, most) ||
        !sv_names_make(m->arena, &m->first, most) || !sv_names_make(m->arena, &m->parts, parts->rows))
        return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    s = read_words(m, words, err);
    if (!s) s = read_parts(m, parts, err);
    if (s) return s;
    read_names(m, towns, "town", SP_IS_TOWN);
    read_names(m, areas, "area", SP_IS_AREA);
    read_regions(m, w);
    return SV_OK;
}
