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

static size_t words_in(const char *key, size_t n)
{
    size_t words = 1;
    for (size_t i = 0; i < n; i++)
        words += key[i] == ' ';
    return words;
}

static const sv_alias_row shared_row = {NULL, "", false, false};

static void note_words(sv_atlas *a, const char *key, size_t n)
{
    if (n / 2 < a->most_words) return;
    size_t words = words_in(key, n);
    if (words > a->most_words) a->most_words = words;
}

static void put(sv_atlas *a, const char *key, size_t n, const sv_alias_row *row)
{
    if (sv_names_put(&a->alias, 0, key, n, row)) note_words(a, key, n);
}

/* atlas/aliases: our own rows come first and stand. */
static sv_status read_own(sv_atlas *a, sv_arena *arena, const sv_table *t, sv_error *err)
{
    int name = sv_table_column(t, "name"), country = sv_table_column(t, "country");
    int part = sv_table_column(t, "part"), weak = sv_table_column(t, "weak");
    sv_alias_row *row = SV_NEW_ARRAY(arena, t->rows, sv_alias_row);
    for (size_t i = 0; row && i < t->rows; i++) {
        char key[SV_KEY_ROOM];
        const char *text = sv_cell(t, i, name);
        size_t n = sv_alias_key(key, sizeof key, text, strlen(text));
        row[i].place = sv_atlas_find(a, sv_cell(t, i, country));
        if (!row[i].place) return sv_atlas_bad(err, t, i, "country");
        if (n == SIZE_MAX || !n) return sv_atlas_bad(err, t, i, "name");
        row[i].part = sv_cell(t, i, part);
        row[i].weak = strcmp(sv_cell(t, i, weak), "yes") == 0;
        row[i].own = true;
        put(a, sv_copy_n(arena, key, n), n, &row[i]);
    }
    return SV_OK;
}

/* Four Latin letters or fewer, in one language or another, are too often a word or a surname. */
static bool is_short(const char *key, size_t n)
{
    return n <= 4 && (unsigned char)key[0] < 0x80;
}

/* atlas/names: keys made when the table was, apart by |. A name of two places is shared. */
static void read_names(sv_atlas *a, const char *list, const sv_alias_row *row, const sv_alias_row *weak)
{
    for (const char *end; *list; list = *end ? end + 1 : end) {
        end = strchr(list, '|');
        if (!end) end = list + strlen(list);
        size_t n = (size_t)(end - list);
        uint32_t hash = sv_names_hash(0, list, n);
        sv_name *known = sv_names_slot(&a->alias, hash, 0, list, n);
        const sv_alias_row *other = known->value;
        if (!other) {
            const sv_alias_row *value = is_short(list, n) ? weak : row;
            if (n && n < 256 && sv_names_fill(&a->alias, known, (sv_name){list, hash, 0, (uint8_t)n, value}))
                note_words(a, list, n);
        } else if (!other->own && other->place && other->place != row->place) {
            known->value = &shared_row;
        }
    }
}

static size_t count_names(const sv_table *t, int column)
{
    size_t names = t->rows;
    for (size_t i = 0; i < t->rows; i++) {
        const char *list = sv_cell(t, i, column);
        size_t bytes = strlen(list), bars = 0;
        for (size_t k = 0; k < bytes; k++)
            bars += list[k] == '|';
        names += bars;
    }
    return names;
}

static void put_name(sv_atlas *a, sv_arena *arena, const char *name, const sv_alias_row *row)
{
    char key[SV_KEY_ROOM];
    size_t n = sv_alias_key(key, sizeof key, name, strlen(name));
    if (n && n != SIZE_MAX) put(a, sv_copy_n(arena, key, n), n, row);
}

sv_status sv_atlas_aliases(sv_atlas *a, sv_world *w, sv_error *err)
{
    const sv_table *own, *names;
    sv_status s = sv_world_need(w, "atlas/aliases", &own, err);
    if (!s) s = sv_world_need(w, "atlas/names", &names, err);
    if (s) return s;
    int list = sv_table_column(names, "names");
    if (!sv_names_make(w->arena, &a->alias, own->rows + 5 * a->places + count_names(names, list)))
        return SV_OK;
    s = read_own(a, w->arena, own, err);
    if (s) return s;
    /* For each place a row for its own names, one for those of the table, one for short names and codes. */
    size_t n = a->places;
    sv_alias_row *row = SV_NEW_ARRAY(w->arena, n * 3, sv_alias_row);
    for (size_t i = 0; row && i < n; i++) {
        row[i] = (sv_alias_row){.place = &a->place[i], .part = "", .own = true};
        row[n + i] = (sv_alias_row){.place = &a->place[i], .part = ""};
        row[2 * n + i] = (sv_alias_row){.place = &a->place[i], .part = "", .weak = true};
        const char *alpha3 = a->place[i].place.alpha3;
        sv_names_put(&a->alias, SV_OWNER_ALPHA3, alpha3, strlen(alpha3), &a->place[i]);
        put_name(a, w->arena, a->place[i].place.name_en, &row[i]);
        put_name(a, w->arena, a->place[i].place.common_en, &row[i]);
    }
    for (size_t i = 0; row && i < n; i++) {
        const sv_place *p = &a->place[i].place;
        size_t at = sv_table_find(names, p->code);
        if (at != SV_NO_ROW) read_names(a, sv_cell(names, at, list), &row[n + i], &row[2 * n + i]);
        put_name(a, w->arena, p->code, &row[2 * n + i]);
        put_name(a, w->arena, p->alpha3, &row[2 * n + i]);
    }
    return SV_OK;
}

bool sv_alias_find(const sv_atlas *a, const char *key, size_t bytes, sv_alias *out)
{
    const sv_alias_row *row = sv_names_get(&a->alias, 0, key, bytes);
    if (!row) return false;
    *out = (sv_alias){.place = row->place ? &row->place->place : NULL,
                      .part = row->part,
                      .weak = row->weak,
                      .shared = !row->place};
    return true;
}

size_t sv_alias_most_words(const sv_atlas *a)
{
    return a->most_words;
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
