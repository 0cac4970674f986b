/* read.c - a piece's columns and free text to one record of facts. */
#include "garment/reader.h"

#include <string.h>

static void take_given(sv_reader *r, const sv_garment_given *g)
{
    const char *const given[SV_SOURCES] = {
        [SV_SOURCE_TEXT] = g->text,           [SV_SOURCE_GARMENT] = g->garment,
        [SV_SOURCE_FEATURES] = g->features,   [SV_SOURCE_FIBRE] = g->fibre,
        [SV_SOURCE_GENDER] = g->gender,       [SV_SOURCE_CONSTRUCTION] = g->construction,
        [SV_SOURCE_CONDITION] = g->condition, [SV_SOURCE_PRESENTATION] = g->presentation};
    for (int i = 0; i < SV_SOURCES; i++)
        r->given[i] = given[i] ? given[i] : "";
}

static bool tells_language(int source)
{
    return source <= SV_SOURCE_FIBRE;
}

static sv_status find_items(sv_reader *r)
{
    for (int i = 0; i < SV_SOURCES; i++) {
        sv_status s = sv_items_find(r->lex, r->arena, r->given[i], &r->items[i]);
        if (s) return s;
        if (tells_language(i)) sv_tongues_count(r->lex, &r->items[i], &r->tongues);
    }
    sv_tongues_weigh(r->lex, &r->tongues);
    for (int i = 0; i < SV_SOURCES; i++) {
        sv_items_choose(r->lex, &r->items[i], &r->tongues);
        sv_read_negations(r->lex, &r->items[i]);
    }
    return SV_OK;
}

/* The column names fibres; without it the free text may. The garment's own words ("cotton jumper") come last.
 */
static sv_status read_label(sv_reader *r)
{
    static const sv_source sources[] = {SV_SOURCE_FIBRE, SV_SOURCE_TEXT, SV_SOURCE_GARMENT,
                                        SV_SOURCE_FEATURES};
    for (size_t i = 0; i < sizeof sources / sizeof *sources; i++) {
        sv_source source = sources[i];
        if (!*r->given[source]) continue;
        sv_status s =
            sv_label_read(r->lex, r->arena, &r->items[source], source == SV_SOURCE_FIBRE, &r->label);
        if (s || r->label.parts) return s;
    }
    return SV_OK;
}

static void read_facts(sv_reader *r)
{
    sv_read_article(r);
    sv_read_set(r);
    if (sv_is_shoe(r)) sv_read_shoe_parts(r);
    sv_read_columns(r);
    sv_read_words(r, SV_SOURCE_FEATURES, SV_FROM_STATED);
    sv_read_words(r, SV_SOURCE_GARMENT, SV_FROM_TEXT);
    sv_read_words(r, SV_SOURCE_TEXT, SV_FROM_TEXT);
    sv_read_words(r, SV_SOURCE_FIBRE, SV_FROM_TEXT);
    sv_read_materials(r);
    sv_suppose_worn(r);
    sv_apply_article(r);
    sv_read_sizes(r);
    sv_read_measures(r);
    sv_read_wearer(r);
}

sv_status sv_garment_read(const sv_world *world, sv_arena *arena, const sv_garment_given *given,
                          sv_facts *out, sv_findings *findings)
{
    *out = (sv_facts){.article = "", .article_word = "", .rival = ""};
    for (int i = 0; i < SV_FACT_COUNT; i++)
        out->fact[i].because = "";
    sv_reader *r = SV_NEW(arena, sv_reader);
    if (!r) return SV_NO_MEMORY;
    r->world = world;
    r->lex = sv_wordbook_of(world);
    r->arena = arena;
    r->out = out;
    r->findings = findings;
    take_given(r, given);
    sv_status s = find_items(r);
    if (!s) s = read_label(r);
    if (s) return s;
    read_facts(r);
    if (findings) sv_judge_label(r);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}

/* ---- as text ---- */

static const char *fibre_text(sv_arena *arena, const sv_fibre *f)
{
    if (!f->percent.known || f->rest) return f->key;
    return sv_format(arena, "%s %s", f->key, sv_dec_text_short(arena, f->percent));
}

const char *sv_fibres_text(sv_arena *arena, const sv_facts *facts)
{
    const char *text = "";
    for (size_t i = 0; i < facts->parts; i++) {
        const sv_fibre_part *p = &facts->part[i];
        if (p->from < SV_FROM_TEXT) continue;
        text = sv_format(arena, "%s%s%s=", text, *text ? "; " : "", p->part);
        for (size_t k = 0; k < p->count; k++)
            text = sv_format(arena, "%s%s%s", text, k ? ", " : "", fibre_text(arena, &p->fibre[k]));
    }
    return text;
}

/* ---- articles ---- */

size_t sv_article_count(const sv_world *world)
{
    return sv_wordbook_of(world)->articles;
}

int sv_article_find(const sv_world *world, const char *key)
{
    return sv_article_index(sv_wordbook_of(world), key);
}

sv_article_row sv_article_at(const sv_world *world, int index)
{
    const sv_wordbook *lex = sv_wordbook_of(world);
    if (index < 0 || (size_t)index >= lex->articles) return (sv_article_row){"", "", "", "", "", "", "", -1};
    const sv_article *a = &lex->article[index];
    return (sv_article_row){a->key, a->kind, a->name, a->plural, a->unit, a->source, a->as_of, a->is};
}
