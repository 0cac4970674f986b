/* tariff_pieces.h - builds the facts of a piece for the tests of the tariff, without the reader of words. */
#ifndef SV_TARIFF_PIECES_H
#define SV_TARIFF_PIECES_H

#include <string.h>

#include "tariff/tariff.h"

/* Sets facts of a list "wearer=men construction=knit"; false when a word is not in the vocabulary. */
static inline bool say(sv_facts *facts, const char *list, sv_from from)
{
    for (const char *p = list; *p;) {
        p += strspn(p, " ");
        size_t word = strcspn(p, " "), name = strcspn(p, "=");
        if (!word) break;
        if (name == 5 && strncmp(p, "fibre", 5) == 0) { /* the reader of labels takes it */
            p += word;
            continue;
        }
        int fact = sv_fact_find(p, name),
            value = name < word ? sv_fact_value(fact, p + name + 1, word - name - 1) : 0;
        if (!value) return false;
        if (facts->fact[fact].from < from)
            facts->fact[fact] = (sv_fact){(uint16_t)value, (uint8_t)from, "test"};
        p += word;
    }
    return true;
}

/* Reads "60 cotton, 40 polyester" as the shell; a fibre without a number has no percentage. */
static inline void label(sv_arena *arena, sv_facts *facts, const char *fibres)
{
    sv_fibre *f = SV_NEW_ARRAY(arena, 16, sv_fibre);
    size_t n = 0;
    for (const char *p = fibres; *p && n < 16;) {
        p += strspn(p, " ,");
        size_t digits = strspn(p, "0123456789."), end = strcspn(p, ",");
        f[n].percent = SV_DEC_UNKNOWN;
        if (digits && !sv_dec_read(sv_copy_n(arena, p, digits), &f[n].percent)) f[n].percent = SV_DEC_UNKNOWN;
        const char *key = p + digits + strspn(p + digits, " ");
        f[n++].key = sv_copy_n(arena, key, (size_t)(p + end - key));
        p += end;
    }
    facts->part[0] = (sv_fibre_part){"shell", f, n, SV_FROM_STATED};
    facts->parts = 1;
}

/* A piece: article, what is said of it, its label ("" for none), and what its word means. */
static inline void piece(const sv_world *world, sv_arena *arena, sv_facts *facts, const char *article,
                         const char *said, const char *fibres)
{
    const sv_table *g = sv_world_table(world, "lexicon/garments");
    size_t row = sv_table_find(g, article);
    memset(facts, 0, sizeof *facts);
    facts->article = article;
    facts->article_word = article;
    assert_true(say(facts, said, SV_FROM_STATED));
    if (*fibres) label(arena, facts, fibres);
    assert_int_not_equal(row, SV_NO_ROW);
    assert_true(say(facts, sv_cell(g, row, sv_table_column(g, "means")), SV_FROM_WORD));
    assert_true(say(facts, sv_cell(g, row, sv_table_column(g, "usually")), SV_FROM_DEFAULT));
}

static inline sv_heading classify(const sv_world *world, sv_arena *arena, const sv_facts *facts,
                                  const char *destination)
{
    sv_heading h;
    sv_findings said = sv_findings_in(arena);
    assert_int_equal(sv_classify(world, arena, facts, destination, "2026-11-25", "", &h, &said), SV_OK);
    return h;
}

#endif
