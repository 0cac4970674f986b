/* rows.c - the rows of data/lexicon as lists of the lexicon. */
#include "garment/rows.h"

#include <string.h>

#include "base/utf8.h"

/* ---- fact lists ---- */

/* "zip=yes neck_opening=full fibre=cotton" */
static bool read_set_fact(const sv_wordbook *lex, sv_arena *scratch, const char *text, size_t bytes,
                          sv_set_fact *out)
{
    const char *equals = memchr(text, '=', bytes);
    if (!equals) return false;
    size_t name = (size_t)(equals - text), value = bytes - name - 1;
    if (name == 5 && memcmp(text, "fibre", 5) == 0) {
        char *key = (char *)sv_copy_n(scratch, equals + 1, value);
        for (char *p = key; *p; p++)
            if (*p == '_') *p = ' ';
        int fibre = sv_fibre_index(lex, key);
        *out = (sv_set_fact){SV_FACT_COUNT, (uint16_t)fibre};
        return fibre >= 0;
    }
    int fact = sv_fact_find(text, name);
    int v = sv_fact_value(fact, equals + 1, value);
    *out = (sv_set_fact){(uint16_t)fact, (uint16_t)v};
    return v > 0;
}

static bool grow(sv_arena *arena, void **array, uint32_t *room, uint32_t used, size_t size)
{
    if (used < *room) return true;
    uint32_t more = *room ? *room * 2 : 1024;
    void *other = sv_alloc_array(arena, more, size);
    if (!other) return false;
    if (used) memcpy(other, *array, used * size);
    *array = other;
    *room = more;
    return true;
}

static sv_status read_facts(const sv_wordbook *lex, sv_arena *arena, const char *text, const char *where,
                            sv_list_room *room, sv_fact_list *out, sv_error *err)
{
    *out = (sv_fact_list){room->sets, 0};
    for (const char *p = text; p && *p;) {
        const char *end = strchr(p, ' ');
        size_t bytes = end ? (size_t)(end - p) : strlen(p);
        void *set = room->set;
        if (!grow(arena, &set, &room->sets_room, room->sets, sizeof *room->set)) return SV_NO_MEMORY;
        room->set = set;
        if (bytes && !read_set_fact(lex, arena, p, bytes, &room->set[room->sets]))
            return sv_fail(err, SV_BAD_FORMAT, "%s: \"%.*s\" is no fact with a value of facts.tsv", where,
                           (int)bytes, p);
        if (bytes) room->sets++;
        p = end ? end + 1 : NULL;
    }
    out->count = room->sets - out->first;
    return SV_OK;
}

/* ---- scopes ---- */

static const char *const scope_words[] = {"upper",    "lower",   "whole", "under", "swim", "leg",
                                          "foot",     "hand",    "neck",  "belt",  "head", "bag",
                                          "umbrella", "trinket", "home",  "other"};

static uint16_t scope_bit(const char *word, size_t bytes)
{
    for (size_t i = 0; i < sizeof scope_words / sizeof *scope_words; i++) {
        if (strlen(scope_words[i]) == bytes && memcmp(scope_words[i], word, bytes) == 0)
            return (uint16_t)(1u << i);
    }
    return 0;
}

/* "upper+whole" */
static uint16_t scope_bits(const char *text)
{
    uint16_t bits = 0;
    for (const char *p = text; p && *p;) {
        const char *end = strchr(p, '+');
        uint16_t bit = scope_bit(p, end ? (size_t)(end - p) : strlen(p));
        if (!bit) return 0;
        bits |= bit;
        p = end ? end + 1 : NULL;
    }
    return bits;
}

/* ---- languages ---- */

/* The language of a dialect stands before it in the table. */
static int base_of(const sv_wordbook *lex, size_t rows, const char *code)
{
    const char *hyphen = strchr(code, '-');
    for (size_t i = 0; hyphen && i < rows; i++) {
        const char *other = lex->language[i].code;
        if (strlen(other) == (size_t)(hyphen - code) && strncmp(other, code, strlen(other)) == 0)
            return (int)i;
    }
    return -1;
}

static void read_letters(sv_wordbook *lex, const char *letters, uint64_t bit)
{
    const char *end = letters + strlen(letters);
    while (letters < end) {
        uint32_t c = sv_utf8_next(&letters, end);
        if (c >= 0x80 && c < SV_LETTERS) lex->letter[c] |= bit;
    }
}

sv_status sv_languages_read(sv_wordbook *lex, sv_world *world, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(world, "lexicon/languages", &t, err);
    if (s) return s;
    if (t->rows > SV_LANGUAGES_MAX)
        return sv_fail(err, SV_LIMIT, "lexicon/languages: more than %d rows", SV_LANGUAGES_MAX);
    int compounds = sv_table_column(t, "compounds"), head = sv_table_column(t, "head");
    int letters = sv_table_column(t, "letters"), endings = sv_table_column(t, "endings");
    int source = sv_table_column(t, "source"), as_of = sv_table_column(t, "as_of");
    lex->english = lex->by_capitals = -1;
    for (size_t r = 0; r < t->rows; r++) {
        uint64_t bit = (uint64_t)1 << r;
        sv_language *l = &lex->language[r];
        *l = (sv_language){.code = sv_cell(t, r, 0),
                           .base = base_of(lex, r, sv_cell(t, r, 0)),
                           .compounds = strcmp(sv_cell(t, r, compounds), "yes") == 0,
                           .head_last = strcmp(sv_cell(t, r, head), "last") == 0,
                           .endings = sv_cell(t, r, endings),
                           .source = sv_cell(t, r, source),
                           .as_of = sv_cell(t, r, as_of)};
        if (l->compounds) lex->compounding |= bit;
        if (l->head_last) lex->head_last |= bit;
        if (strcmp(l->code, "en") == 0) lex->english = (int)r;
        if (strcmp(l->code, "mul") == 0) lex->by_capitals = (int)r;
        read_letters(lex, sv_cell(t, r, letters), bit);
    }
    lex->languages = (int)t->rows;
    return SV_OK;
}

/* "de", or several apart by blanks. */
static uint64_t language_bits(const sv_wordbook *lex, const char *text)
{
    uint64_t bits = 0;
    for (const char *p = text; p && *p;) {
        const char *end = strchr(p, ' ');
        size_t bytes = end ? (size_t)(end - p) : strlen(p);
        for (int i = 0; i < lex->languages; i++) {
            const char *code = lex->language[i].code;
            if (strlen(code) == bytes && memcmp(code, p, bytes) == 0) bits |= (uint64_t)1 << i;
        }
        p = end ? end + 1 : NULL;
    }
    return bits;
}

/* ---- fibres ---- */

static uint16_t value_of(int fact, const char *word)
{
    return (uint16_t)sv_fact_value(fact, word, strlen(word));
}

sv_status sv_fibres_read(sv_wordbook *lex, sv_world *world, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(world, "lexicon/fibres", &t, err);
    if (s) return s;
    lex->fibre_table = t;
    lex->fibre = SV_NEW_ARRAY(world->arena, t->rows + 1, sv_fibre_row);
    if (!lex->fibre) return SV_NO_MEMORY;
    int group = sv_table_column(t, "group"), upper = sv_table_column(t, "upper"),
        outside = sv_table_column(t, "outside");
    int matter = sv_table_column(t, "matter"), construction = sv_table_column(t, "construction");
    int palm = sv_table_column(t, "palm"), sole = sv_table_column(t, "sole");
    for (size_t r = 0; r < t->rows; r++) {
        lex->fibre[r] =
            (sv_fibre_row){.key = sv_cell(t, r, 0),
                           .group = sv_cell(t, r, group),
                           .upper = value_of(SV_FACT_UPPER, sv_cell(t, r, upper)),
                           .sole = value_of(SV_FACT_SOLE, sv_cell(t, r, sole)),
                           .outside = value_of(SV_FACT_OUTER_SURFACE, sv_cell(t, r, outside)),
                           .matter = value_of(SV_FACT_MATTER, sv_cell(t, r, matter)),
                           .construction = value_of(SV_FACT_CONSTRUCTION, sv_cell(t, r, construction)),
                           .palm = value_of(SV_FACT_PALM, sv_cell(t, r, palm))};
        lex->fibre[r].only_fibre = strcmp(sv_cell(t, r, upper), "textile") == 0;
    }
    lex->fibres = t->rows;
    return SV_OK;
}

/* ---- articles ---- */

static uint16_t scope_of_kind(const sv_table *kinds, const char *kind)
{
    size_t row = sv_table_find(kinds, kind);
    if (row == SV_NO_ROW) return 0;
    const char *scope = sv_cell(kinds, row, sv_table_column(kinds, "scope"));
    return scope_bit(scope, strlen(scope));
}

static bool is_weak(const sv_table *kinds, const char *kind)
{
    size_t row = sv_table_find(kinds, kind);
    return row != SV_NO_ROW && strcmp(sv_cell(kinds, row, sv_table_column(kinds, "weak")), "yes") == 0;
}

static sv_status read_article(sv_wordbook *lex, sv_world *world, sv_list_room *room, const sv_table *t,
                              size_t r, const sv_table *kinds, sv_error *err)
{
    sv_article *a = &lex->article[r];
    a->key = sv_cell(t, r, 0);
    a->kind = sv_cell(t, r, sv_table_column(t, "kind"));
    a->name = sv_cell(t, r, sv_table_column(t, "name"));
    a->plural = sv_cell(t, r, sv_table_column(t, "plural"));
    a->unit = sv_cell(t, r, sv_table_column(t, "unit"));
    a->source = sv_cell(t, r, sv_table_column(t, "source"));
    a->as_of = sv_cell(t, r, sv_table_column(t, "as_of"));
    a->scope = scope_of_kind(kinds, a->kind);
    a->weak = is_weak(kinds, a->kind);
    if (!a->scope)
        return sv_fail(err, SV_BAD_FORMAT, "lexicon/garments: %s: the kind \"%s\" is not in kinds.tsv",
                       a->key, a->kind);
    sv_status s = read_facts(lex, world->arena, sv_cell(t, r, sv_table_column(t, "means")), a->key, room,
                             &a->means, err);
    if (s) return s;
    return read_facts(lex, world->arena, sv_cell(t, r, sv_table_column(t, "usually")), a->key, room,
                      &a->usually, err);
}

sv_status sv_articles_read(sv_wordbook *lex, sv_world *world, sv_error *err)
{
    const sv_table *t, *kinds;
    sv_status s = sv_world_need(world, "lexicon/garments", &t, err);
    if (!s) s = sv_world_need(world, "lexicon/kinds", &kinds, err);
    if (s) return s;
    lex->article_table = t;
    lex->article = SV_NEW_ARRAY(world->arena, t->rows + 1, sv_article);
    if (!lex->article) return SV_NO_MEMORY;
    sv_list_room room = {.lists = 0};
    for (size_t r = 0; !s && r < t->rows; r++)
        s = read_article(lex, world, &room, t, r, kinds, err);
    lex->set = room.set;
    lex->articles = t->rows;
    int is = sv_table_column(t, "is");
    for (size_t r = 0; !s && r < t->rows; r++) {
        const char *wider = sv_cell(t, r, is);
        size_t row = *wider ? sv_table_find(t, wider) : SV_NO_ROW;
        lex->article[r].is = row == SV_NO_ROW ? -1 : (int)row;
        if (*wider && row == SV_NO_ROW)
            s = sv_fail(err, SV_BAD_FORMAT, "lexicon/garments: %s: there is no article \"%s\"",
                        lex->article[r].key, wider);
    }
    return s;
}

/* ---- words ---- */

static const char *const part_words[] = {"shell",  "lining", "filling",       "rib",    "collar", "sleeves",
                                         "front",  "back",   "trim",          "other",  "upper",  "sole",
                                         "insole", "palm",   "lesser-lining", "coating"};

const char *sv_part_word(sv_part part)
{
    return part < SV_PARTS_MAX ? part_words[part] : "other";
}

/* MARK WORDS: in the order of sv_mark. */
static const char *const mark_words[] = {
    "pure",  "percent", "and",   "with", "without", "lacking",  "of",    "for",   "made-in",
    "size",  "months",  "years", "cm",   "height",  "not-trim", "look",  "blend", "pack",
    "child", "rest",    "skip",  "stop", "refers",  "noun",     "plain", "print", "yields"};

static int among(const char *word, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(words[i], word) == 0) return (int)i;
    }
    return -1;
}

sv_word_columns sv_word_columns_of(const sv_table *t)
{
    return (sv_word_columns){sv_table_column(t, "what"), sv_table_column(t, "value"),
                             sv_table_column(t, "lang"), sv_table_column(t, "words")};
}

static sv_status new_list(sv_wordbook *lex, sv_arena *arena, sv_list_room *room, const char *value,
                          int *index, sv_error *err)
{
    void *list = room->list;
    if (!grow(arena, &list, &room->lists_room, room->lists, sizeof *room->list)) return SV_NO_MEMORY;
    room->list = list;
    *index = (int)room->lists;
    return read_facts(lex, arena, value, "lexicon/words", room, &room->list[room->lists++], err);
}

sv_status sv_word_row(sv_wordbook *lex, sv_arena *arena, sv_list_room *lists, const sv_table *t, size_t row,
                      const sv_word_columns *at, sv_sense *out, sv_error *err)
{
    static const char *const kinds[] = {"article", "fibre", "part", "fact", "hint", "guess", "mark"};
    const char *what = sv_cell(t, row, at->what), *value = sv_cell(t, row, at->value);
    const char *scope = strchr(what, '@');
    int kind = among(scope ? sv_copy_n(arena, what, (size_t)(scope - what)) : what, kinds, SV_WORD_KINDS),
        index = -1;
    *out = (sv_sense){.languages = language_bits(lex, sv_cell(t, row, at->lang)), .kind = (uint8_t)kind};
    sv_status s = SV_OK;
    if (kind == SV_WORD_ARTICLE) index = sv_article_index(lex, value);
    if (kind == SV_WORD_FIBRE) index = sv_fibre_index(lex, value);
    if (kind == SV_WORD_PART) index = among(value, part_words, sizeof part_words / sizeof *part_words);
    if (kind == SV_WORD_MARK) index = among(value, mark_words, sizeof mark_words / sizeof *mark_words);
    if (kind >= SV_WORD_FACT && kind <= SV_WORD_GUESS) s = new_list(lex, arena, lists, value, &index, err);
    if (s) return s;
    if (scope) out->scope = scope_bits(scope + 1);
    if (kind < 0 || index < 0 || !out->languages || (scope && !out->scope))
        return sv_fail(err, SV_BAD_FORMAT,
                       "lexicon/words: row \"%s %s %s\": unknown kind, value, language or scope", what, value,
                       sv_cell(t, row, at->lang));
    out->value = (uint16_t)index;
    return SV_OK;
}

bool sv_name_row(const sv_wordbook *lex, const sv_table *names, size_t row, sv_sense *out)
{
    const char *lang = sv_cell(names, row, 0), *key = sv_cell(names, row, 2);
    bool article = strcmp(sv_cell(names, row, 1), "article") == 0;
    int index = article ? sv_article_index(lex, key) : sv_fibre_index(lex, key);
    /* The lines in Chinese are written in short signs. */
    if (strcmp(lang, "zh") == 0) lang = "zh-Hans";
    *out = (sv_sense){.languages = language_bits(lex, lang),
                      .kind = article ? SV_WORD_ARTICLE : SV_WORD_FIBRE,
                      .value = (uint16_t)index};
    return index >= 0 && out->languages;
}
