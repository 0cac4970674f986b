/* things.c - all things a piece is or holds: from its words, its facts and its HS code; then what follows
 * from several of them together. */
#include "border/things.h"

#include <string.h>

#include "border/border.h"

static void add_list(sv_arena *arena, sv_things *things, const char *list, const char *because)
{
    for (const char *p = list; *p;) {
        size_t n = strcspn(p, " ");
        sv_thing_add(arena, things, p, n, because);
        p += n + (p[n] == ' ');
    }
}

/* Rows of border/signs with this fact and value; where the trade only supposes it, those that hold even so.
 */
static void add_sign(const sv_border *b, sv_arena *arena, sv_things *things, const char *fact,
                     const char *value, const char *because, bool supposed)
{
    const sv_table *t = b->signs;
    size_t first, n = *value ? sv_table_run(t, fact, &first) : 0;
    for (size_t i = 0; i < n; i++) {
        size_t row = t->by_key[first + i];
        if (strcmp(sv_cell(t, row, 1), value) != 0 || (supposed && !*sv_cell(t, row, 3))) continue;
        add_list(arena, things, sv_cell(t, row, 2), because);
    }
}

static void from_fibres(const sv_border *b, sv_arena *arena, const sv_facts *facts, sv_things *things)
{
    for (size_t i = 0; i < facts->parts; i++) {
        const sv_fibre_part *part = &facts->part[i];
        for (size_t k = 0; k < part->count; k++)
            add_sign(b, arena, things, "fibre", part->fibre[k].key, part->fibre[k].key,
                     part->from == SV_FROM_DEFAULT);
    }
}

/* The article's kind, and those of the wider articles it is one of. */
static void from_article(const sv_world *world, sv_arena *arena, const sv_facts *facts, sv_things *things)
{
    const sv_border *b = sv_border_in(world);
    const char *key = sv_or_empty(facts->article), *word = sv_or_empty(facts->article_word);
    add_sign(b, arena, things, "article", key, word, false);
    if (!*key || !world->room[SV_ROOM_LEXICON]) return;
    for (int i = sv_article_find(world, key); i >= 0;) {
        sv_article_row a = sv_article_at(world, i);
        add_sign(b, arena, things, "kind", a.kind, word, false);
        i = a.wider;
    }
}

static void from_facts(const sv_world *world, sv_arena *arena, const sv_facts *facts, sv_things *things)
{
    const sv_border *b = sv_border_in(world);
    for (int f = 0; f < SV_FACT_COUNT; f++) {
        if (!facts->fact[f].value) continue;
        add_sign(b, arena, things, sv_fact_name(f), sv_fact_word(facts, f),
                 sv_or_empty(facts->fact[f].because), facts->fact[f].from == SV_FROM_DEFAULT);
    }
    if (facts->child) sv_thing_add(arena, things, "child", strlen("child"), "");
    from_article(world, arena, facts, things);
    from_fibres(b, arena, facts, things);
}

/* Rows whose value begins the code. */
static void from_code(const sv_border *b, sv_arena *arena, const char *hs6, sv_things *things)
{
    const sv_table *t = b->signs;
    size_t first, n = *hs6 ? sv_table_run(t, "hs", &first) : 0;
    for (size_t i = 0; i < n; i++) {
        size_t row = t->by_key[first + i];
        const char *prefix = sv_cell(t, row, 1);
        if (strncmp(hs6, prefix, strlen(prefix)) == 0) add_list(arena, things, sv_cell(t, row, 2), hs6);
    }
}

static bool has_all(const sv_things *things, const char *list)
{
    for (const char *p = list; *p;) {
        size_t n = strcspn(p, " ");
        if (!sv_thing_in(things, p, n)) return false;
        p += n + (p[n] == ' ');
    }
    return true;
}

bool sv_things_any(const sv_things *things, const char *list, const char **which)
{
    for (const char *p = list; *p;) {
        size_t n = strcspn(p, " ");
        if (n == 3 && memcmp(p, "any", 3) == 0) return true;
        for (size_t i = 0; i < things->count; i++) {
            if (strlen(things->key[i]) != n || memcmp(things->key[i], p, n) != 0) continue;
            if (which) *which = things->because[i];
            return true;
        }
        p += n + (p[n] == ' ');
    }
    return false;
}

/* Rows of border/combine in their order: all of these, none of those, then this. */
static void combine(const sv_border *b, sv_arena *arena, sv_things *things)
{
    const sv_table *t = b->combine;
    for (size_t r = 0; r < t->rows; r++) {
        const char *because = "";
        if (!has_all(things, sv_by_name(t, r, "all"))) continue;
        const char *one_of = sv_by_name(t, r, "one_of");
        if (*one_of && !sv_things_any(things, one_of, &because)) continue;
        if (sv_things_any(things, sv_by_name(t, r, "none"), NULL)) continue;
        const char *drops = sv_by_name(t, r, "drops");
        for (const char *p = drops; *p;) {
            size_t n = strcspn(p, " ");
            sv_thing_drop(things, p, n);
            p += n + (p[n] == ' ');
        }
        add_list(arena, things, sv_by_name(t, r, "gives"), because);
    }
}

void sv_things_of(const sv_world *world, sv_arena *arena, const sv_goods *goods, sv_things *things)
{
    const sv_border *b = sv_border_in(world);
    things->count = 0;
    sv_words_read(b->lexicon, arena, goods->item, things);
    if (goods->facts) from_facts(world, arena, goods->facts, things);
    from_code(b, arena, sv_or_empty(goods->hs6), things);
    combine(b, arena, things);
}
