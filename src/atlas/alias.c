/* alias.c - the names by which buyers call places. */
#include <string.h>

#include "atlas/atlas_room.h"
#include "base/utf8.h"
#include "text/text.h"

/* What becomes of an ASCII character in a key: itself, 0 dropped, or a blank. */
static char key_char(unsigned char c)
{
    if (c >= 'A' && c <= 'Z') return (char)(c + 32);
    if ((c >= 'a' && c <= 'z') || (c >= '0' && c <= '9')) return (char)c;
    if (c == '.' || c == '\'' || c == '`') return 0;
    return ' ';
}

static bool key_ascii(char *out, size_t room, const char *text, size_t bytes, size_t *length)
{
    size_t n = 0;
    bool blank = false;
    for (size_t i = 0; i < bytes; i++) {
        if ((unsigned char)text[i] >= 0x80 || n + 2 >= room) return false;
        char c = key_char((unsigned char)text[i]);
        if (!c) continue;
        if (c == ' ') {
            blank = n > 0;
            continue;
        }
        if (blank) out[n++] = ' ';
        blank = false;
        out[n++] = c;
    }
    out[n] = 0;
    *length = n;
    return true;
}

static bool is_dropped(uint32_t c)
{
    return c == 0x2019 || c == 0x2018 || c == 0x02BC || c == 0x02BB || c == 0x02B9 || c == 0x02BF ||
           c == 0x02BE || c == 0xB7 || c == 0x30FB || c == 0xB4 || c == 0x5F3 || c == 0x640;
}

/* Folded text, in place: punctuation outside ASCII dropped or made a blank. */
static size_t clean_folded(char *key, size_t n)
{
    const char *p = key, *end = key + n;
    size_t k = 0;
    bool blank = false;
    while (p < end) {
        const char *at = p;
        uint32_t c = sv_utf8_next(&p, end);
        if (c < 0x80) c = (unsigned char)key_char((unsigned char)c);
        if (!c || is_dropped(c)) continue;
        bool punctuation =
            (c >= 0x2000 && c < 0x2070) || (c >= 0x3000 && c <= 0x3003) || c == 0x3008 || c == 0x3009;
        if (c == ' ' || punctuation) {
            blank = k > 0;
            continue;
        }
        if (blank) key[k++] = ' ';
        blank = false;
        memmove(key + k, at, (size_t)(p - at));
        k += (size_t)(p - at);
    }
    key[k] = 0;
    return k;
}

size_t sv_alias_key(char *out, size_t room, const char *text, size_t bytes)
{
    size_t n;
    if (key_ascii(out, room, text, bytes, &n)) return n;
    n = sv_fold_into(out, room, text, bytes);
    return n == SIZE_MAX ? n : clean_folded(out, n);
}

/* ---- the names of all places, when the index is made ---- */

typedef struct maker {
    const sv_atlas *a;
    sv_arena *arena;
    sv_name_rows *out;
    bool *own; /* beside each row: of our own table, or the English name; no other place may be called so */
    size_t shared; /* the row of names that two places share */
} maker;

static void note_words(maker *m, const char *key, size_t n)
{
    uint32_t words = 1;
    for (size_t i = 0; i < n; i++)
        words += key[i] == ' ';
    if (words > m->out->most_words) m->out->most_words = words;
}

/* The first place that has a name keeps it. */
static void put(maker *m, const char *name, size_t row)
{
    char key[SV_KEY_ROOM];
    size_t n = sv_alias_key(key, sizeof key, name, strlen(name));
    if (!n || n == SIZE_MAX) return;
    if (sv_names_put(&m->out->alias, 0, sv_copy_n(m->arena, key, n), n, &m->out->row[row]))
        note_words(m, key, n);
}

static size_t add_row(maker *m, const sv_atlas_place *place, const char *part, bool weak, bool own)
{
    size_t row = m->out->rows++;
    m->out->row[row] = (sv_alias_row){.place = place ? (uint16_t)(place->index + 1) : 0, .weak = weak};
    m->out->part[row] = part;
    m->own[row] = own;
    return row;
}

/* atlas/aliases: our own rows come first and stand. */
static sv_status read_own(maker *m, const sv_table *t, sv_error *err)
{
    int name = sv_table_column(t, "name"), country = sv_table_column(t, "country");
    int part = sv_table_column(t, "part"), weak = sv_table_column(t, "weak");
    for (size_t i = 0; i < t->rows; i++) {
        char key[SV_KEY_ROOM];
        const char *text = sv_cell(t, i, name);
        size_t n = sv_alias_key(key, sizeof key, text, strlen(text));
        const sv_atlas_place *place = sv_atlas_find(m->a, sv_cell(t, i, country));
        if (!place) return sv_atlas_bad(err, t, i, "country");
        if (n == SIZE_MAX || !n) return sv_atlas_bad(err, t, i, "name");
        put(m, text, add_row(m, place, sv_cell(t, i, part), strcmp(sv_cell(t, i, weak), "yes") == 0, true));
    }
    return SV_OK;
}

/* Four Latin letters or fewer, in one language or another, are too often a word or a surname. */
static bool is_short(const char *key, size_t n)
{
    return n <= 4 && (unsigned char)key[0] < 0x80;
}

/* atlas/names: keys made when the table was, apart by |. A name of two places is shared. */
static void read_names(maker *m, const char *list, size_t row, size_t weak)
{
    for (const char *end; *list; list = *end ? end + 1 : end) {
        end = strchr(list, '|');
        if (!end) end = list + strlen(list);
        size_t n = (size_t)(end - list);
        uint32_t hash = sv_names_hash(0, list, n);
        sv_name *known = sv_names_slot(&m->out->alias, hash, 0, list, n);
        if (!known->value) {
            const void *value = &m->out->row[is_short(list, n) ? weak : row];
            if (n && n < 256 &&
                sv_names_fill(&m->out->alias, known, (sv_name){list, hash, 0, (uint8_t)n, value}))
                note_words(m, list, n);
            continue;
        }
        const sv_alias_row *other = known->value;
        bool stands = m->own[other - m->out->row] || !other->place;
        if (!stands && other->place != m->out->row[row].place) known->value = &m->out->row[m->shared];
    }
}

static size_t count_names(const sv_table *t, int column)
{
    size_t names = t->rows;
    for (size_t i = 0; i < t->rows; i++) {
        for (const char *p = sv_cell(t, i, column); (p = strchr(p, '|')); p++)
            names++;
    }
    return names;
}

static bool make_room(maker *m, size_t rows, size_t names)
{
    m->out->row = SV_NEW_ARRAY(m->arena, rows, sv_alias_row);
    m->out->part = SV_NEW_ARRAY(m->arena, rows, const char *);
    m->own = SV_NEW_ARRAY(m->arena, rows, bool);
    return m->out->row && m->out->part && m->own && sv_names_make(m->arena, &m->out->alias, names);
}

sv_status sv_atlas_aliases(const sv_atlas *a, sv_world *w, sv_name_rows *out, sv_error *err)
{
    const sv_table *own, *names;
    sv_status s = sv_world_need(w, "atlas/aliases", &own, err);
    if (!s) s = sv_world_need(w, "atlas/names", &names, err);
    if (s) return s;
    int list = sv_table_column(names, "names");
    maker m = {.a = a, .arena = w->arena, .out = out};
    /* For each place a row for its own names, one for those of the table, one for short names and codes. */
    size_t n = a->places;
    if (!make_room(&m, own->rows + 3 * n + 1, own->rows + 5 * n + count_names(names, list))) return SV_OK;
    m.shared = add_row(&m, NULL, "", false, false);
    s = read_own(&m, own, err);
    if (s) return s;
    size_t first = out->rows;
    for (size_t i = 0; i < n; i++) {
        const sv_place *p = &a->place[i].place;
        size_t row = add_row(&m, &a->place[i], "", false, true);
        add_row(&m, &a->place[i], "", false, false);
        add_row(&m, &a->place[i], "", true, false);
        sv_names_put(&out->alias, SV_OWNER_ALPHA3, p->alpha3, strlen(p->alpha3), &out->row[row]);
        put(&m, p->name_en, row);
        put(&m, p->common_en, row);
    }
    for (size_t i = 0; i < n; i++) {
        const sv_place *p = &a->place[i].place;
        size_t row = first + 3 * i + 1, at = sv_table_find(names, p->code);
        if (at != SV_NO_ROW) read_names(&m, sv_cell(names, at, list), row, row + 1);
        put(&m, p->code, row + 1);
        put(&m, p->alpha3, row + 1);
    }
    return SV_OK;
}

/* ---- asking ---- */

bool sv_alias_find(const sv_atlas *a, const char *key, size_t bytes, sv_alias *out)
{
    uint32_t row;
    if (!sv_name_find(&a->names.alias, 0, key, bytes, &row)) return false;
    const sv_alias_row *r = &a->names.row[row];
    *out = (sv_alias){.place = r->place ? &a->place[r->place - 1].place : NULL,
                      .part = a->names.text + r->part,
                      .weak = r->weak,
                      .shared = !r->place};
    return true;
}

size_t sv_alias_most_words(const sv_atlas *a)
{
    return a->names.most_words;
}

const sv_place *sv_place_by_name(const sv_world *w, const char *name)
{
    const sv_atlas *a = sv_atlas_in(w);
    char key[SV_KEY_ROOM];
    sv_alias alias;
    size_t n = a && name ? sv_alias_key(key, sizeof key, name, strlen(name)) : 0;
    if (!n || n == SIZE_MAX || !sv_alias_find(a, key, n, &alias)) return NULL;
    return alias.place;
}
