/* sets.c - sets of several pieces: what the upper and the lower one are. */
#include "garment/reader.h"

#include <string.h>

/* Articles that a set can be made of, the narrower first; those below them go with them. */
static const struct {
    const char *article;
    int fact, value;
} pieces[] = {{"t-shirt", SV_FACT_SET_UPPER, SV_SET_UPPER_T_SHIRT},
              {"tank-top", SV_FACT_SET_UPPER, SV_SET_UPPER_TANK},
              {"crop-top", SV_FACT_SET_UPPER, SV_SET_UPPER_TANK},
              {"camisole", SV_FACT_SET_UPPER, SV_SET_UPPER_TANK},
              {"top", SV_FACT_SET_UPPER, SV_SET_UPPER_T_SHIRT},
              {"shirt", SV_FACT_SET_UPPER, SV_SET_UPPER_SHIRT},
              {"blouse", SV_FACT_SET_UPPER, SV_SET_UPPER_SHIRT},
              {"jumper", SV_FACT_SET_UPPER, SV_SET_UPPER_PULLOVER},
              {"jacket", SV_FACT_SET_UPPER, SV_SET_UPPER_JACKET},
              {"coat", SV_FACT_SET_UPPER, SV_SET_UPPER_JACKET},
              {"waistcoat", SV_FACT_SET_UPPER, SV_SET_UPPER_WAISTCOAT},
              {"undershirt", SV_FACT_SET_UPPER, SV_SET_UPPER_UNDERWEAR},
              {"dress", SV_FACT_SET_UPPER, SV_SET_UPPER_DRESS},
              {"shorts", SV_FACT_SET_LOWER, SV_SET_LOWER_SHORTS},
              {"dungarees", SV_FACT_SET_LOWER, SV_SET_LOWER_OVERALLS},
              {"trousers", SV_FACT_SET_LOWER, SV_SET_LOWER_TROUSERS},
              {"skirt", SV_FACT_SET_LOWER, SV_SET_LOWER_SKIRT},
              {"briefs", SV_FACT_SET_LOWER, SV_SET_LOWER_BRIEFS}};

void sv_articles_mark_sets(sv_wordbook *lex)
{
    lex->ensemble = sv_article_index(lex, "ensemble");
    lex->elastane = sv_fibre_index(lex, "elastane");
    int index[sizeof pieces / sizeof *pieces];
    for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++)
        index[i] = sv_article_index(lex, pieces[i].article);
    for (size_t a = 0; a < lex->articles; a++) {
        lex->article[a].ensemble = sv_article_is(lex, (int)a, lex->ensemble);
        for (size_t i = 0; i < sizeof pieces / sizeof *pieces; i++) {
            if (index[i] < 0 || !sv_article_is(lex, (int)a, index[i])) continue;
            bool upper = pieces[i].fact == SV_FACT_SET_UPPER;
            *(upper ? &lex->article[a].set_upper : &lex->article[a].set_lower) = (uint8_t)pieces[i].value;
            break;
        }
    }
}

typedef struct parts {
    int upper, lower;    /* values of set_upper and set_lower, 0: not named */
    const sv_item *word; /* the word for a set; NULL: none */
    sv_source where;
} parts;

static void look_at(const sv_reader *r, const sv_item *item, sv_source source, parts *p)
{
    const sv_sense *s = sv_item_sense(r->lex, item, SV_WORD_ARTICLE);
    if (!s || item->negated) return;
    const sv_article *a = &r->lex->article[s->value];
    if (a->ensemble) {
        p->word = item;
        p->where = source;
    }
    if (!p->upper) p->upper = a->set_upper;
    if (!p->lower) p->lower = a->set_lower;
}

static bool can_be_set(const sv_reader *r)
{
    static const char *const kinds[] = {"ensemble", "suit", "tracksuit", "nightwear"};
    for (size_t i = 0; r->article >= 0 && i < sizeof kinds / sizeof *kinds; i++) {
        if (strcmp(r->lex->article[r->article].kind, kinds[i]) == 0) return true;
    }
    return false;
}

/* "Shirt and shorts set": the pieces are named, the set is the article. */
void sv_read_set(sv_reader *r)
{
    static const sv_source sources[] = {SV_SOURCE_GARMENT, SV_SOURCE_TEXT, SV_SOURCE_FEATURES};
    parts p = {.word = NULL};
    for (size_t k = 0; k < sizeof sources / sizeof *sources; k++) {
        const sv_items *items = &r->items[sources[k]];
        for (size_t i = 0; i < items->count; i++)
            look_at(r, &items->item[i], sources[k], &p);
    }
    bool set = can_be_set(r);
    if (!set && p.word && p.upper && p.lower && r->lex->ensemble >= 0) {
        sv_take_article(r, p.where, p.word, r->lex->ensemble, SV_FROM_TEXT);
        set = true;
    }
    if (!set) return;
    sv_set(r, SV_FACT_SET_UPPER, p.upper, SV_FROM_TEXT, r->out->article_word);
    sv_set(r, SV_FACT_SET_LOWER, p.lower, SV_FROM_TEXT, r->out->article_word);
}
