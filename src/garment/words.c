/* words.c - what single words say: facts, their negation, and the stronger source that wins. */
#include "garment/reader.h"

#include <string.h>

void sv_set(sv_reader *r, int fact, int value, sv_from from, const char *because)
{
    if (fact < 0 || fact >= SV_FACT_COUNT || value <= 0) return;
    if (fact == SV_FACT_WEARER) {
        if (!r->wearers[from]) r->wearer_word[from] = because;
        r->wearers[from] |= (uint16_t)(1u << value);
        return;
    }
    sv_fact *f = &r->out->fact[fact];
    /* "coating ... the coating is not visible": the second says more exactly what the first left open. */
    bool more_exact = fact == SV_FACT_COATED && f->from == from && f->value == SV_COATED_YES &&
                      value == SV_COATED_INVISIBLE;
    if (f->from >= from && !more_exact) return;
    *f = (sv_fact){(uint16_t)value, (uint8_t)from, because};
}

/* ---- negation ---- */

/* "no pockets", "without hood or collar": up to the end of the statement, or to a "with". */
static void negate_after(const sv_wordbook *lex, sv_items *items, size_t i)
{
    int left = 3;
    for (size_t k = i + 1; k < items->count && left > 0; k++) {
        sv_item *item = &items->item[k];
        if (item->gap & (SV_GAP_CLAUSE | SV_GAP_PLUS)) return;
        if (sv_item_marks(lex, item, SV_MARK_WITH) || sv_item_marks(lex, item, SV_MARK_WITHOUT)) return;
        if (sv_item_marks(lex, item, SV_MARK_AND)) {
            left = 3;
            continue;
        }
        item->negated = true;
        left--;
    }
}

void sv_read_negations(const sv_wordbook *lex, sv_items *items)
{
    for (size_t i = 0; i < items->count; i++) {
        if (sv_item_marks(lex, &items->item[i], SV_MARK_WITHOUT)) negate_after(lex, items, i);
        bool lacking = i && sv_item_marks(lex, &items->item[i], SV_MARK_LACKING);
        if (lacking && !(items->item[i].gap & SV_GAP_CLAUSE)) items->item[i - 1].negated = true;
    }
}

/* What a denied value leaves: "no" of a yes-no fact, "none" where the fact has it; 0: nothing follows. */
static int denied(int fact, int value)
{
    const char *first = sv_fact_value_word(fact, 1);
    int none = sv_fact_value(fact, "none", 4);
    if (none) return value == none ? 0 : none;
    return strcmp(first, "no") == 0 && value != 1 ? 1 : 0;
}

/* ---- facts ---- */

/* Facts of the cloth outside, which a word that speaks of a mere look (waxed-look), or of a lining or a
 * filling, does not tell. */
static bool is_aside(sv_aside aside, int fact)
{
    if (aside == SV_ASIDE_LOOK) return fact == SV_FACT_CONSTRUCTION || fact == SV_FACT_COATED;
    return aside == SV_ASIDE_INNER && fact == SV_FACT_CONSTRUCTION;
}

static void set_list(sv_reader *r, const sv_set_fact *set, const sv_fact_list *list, sv_from from,
                     bool negated, const char *because)
{
    for (size_t i = 0; i < list->count; i++) {
        const sv_set_fact *f = &set[list->first + i];
        if (f->fact == SV_FACT_COUNT || is_aside(r->aside, f->fact)) continue;
        int value = negated ? denied(f->fact, f->value) : f->value;
        sv_set(r, f->fact, value, from, because);
    }
}

static bool in_scope(const sv_reader *r, const sv_sense *s)
{
    return !s->scope || (s->scope & r->scope);
}

/* "Nonwoven polyester insulation", "knitted lining", "waxed-look": the word is not about the cloth outside.
 */
static sv_aside speaks_aside(const sv_wordbook *lex, const sv_items *items, size_t i)
{
    for (size_t k = i + 1; k < items->count && k <= i + 3; k++) {
        const sv_item *item = &items->item[k];
        if (item->gap & (SV_GAP_CLAUSE | SV_GAP_PLUS)) return SV_NOT_ASIDE;
        if (k == i + 1 && sv_item_marks(lex, item, SV_MARK_LOOK) && item->gap & SV_GAP_HYPHEN)
            return SV_ASIDE_LOOK;
        if (sv_item_marks(lex, item, SV_MARK_AND) || sv_item_marks(lex, item, SV_MARK_WITH) ||
            sv_item_marks(lex, item, SV_MARK_OF) || sv_item_sense(lex, item, SV_WORD_ARTICLE))
            return SV_NOT_ASIDE;
        const sv_sense *part = sv_item_sense(lex, item, SV_WORD_PART);
        bool inner = part && (part->value == SV_PART_LINING || part->value == SV_PART_FILLING);
        if (part) return inner ? SV_ASIDE_INNER : SV_NOT_ASIDE;
    }
    return SV_NOT_ASIDE;
}

void sv_read_words(sv_reader *r, sv_source source, sv_from from)
{
    const sv_items *items = &r->items[source];
    for (size_t i = 0; i < items->count; i++) {
        const sv_item *item = &items->item[i];
        if (item->kind != SV_ITEM_KNOWN) continue;
        r->aside = speaks_aside(r->lex, items, i);
        const char *word = NULL; /* one text for all that it says, so that it can be told apart */
        for (uint32_t n = item->entry->sense; n; n = r->lex->index.sense[n].next) {
            const sv_sense *s = &r->lex->index.sense[n];
            if (!(s->languages & item->languages) || !in_scope(r, s)) continue;
            if (s->kind != SV_WORD_FACT && s->kind != SV_WORD_HINT && s->kind != SV_WORD_GUESS) continue;
            if (item->negated && s->kind != SV_WORD_FACT) continue;
            sv_from strength = s->kind == SV_WORD_FACT   ? from
                               : s->kind == SV_WORD_HINT ? SV_FROM_WORD
                                                         : SV_FROM_DEFAULT;
            if (!word) word = sv_item_text(r->arena, items, item);
            set_list(r, r->lex->index.set, &r->lex->index.list[s->value], strength, item->negated, word);
        }
        if (sv_item_marks(r->lex, item, SV_MARK_CHILD)) r->out->child = true;
    }
    r->aside = SV_NOT_ASIDE;
}

/* The noun of a set says more exactly what set it is than "put up as a set" beside it. */
static void keep_set_kind(sv_reader *r, const sv_article *a)
{
    sv_fact *f = &r->out->fact[SV_FACT_SET_KIND];
    if (f->value != SV_SET_KIND_ENSEMBLE) return;
    for (size_t i = 0; i < a->means.count; i++) {
        const sv_set_fact *m = &r->lex->set[a->means.first + i];
        if (m->fact == SV_FACT_SET_KIND) f->value = m->value;
    }
}

void sv_apply_article(sv_reader *r)
{
    if (r->article < 0) return;
    const sv_article *a = &r->lex->article[r->article];
    set_list(r, r->lex->set, &a->means, SV_FROM_WORD, false, r->out->article_word);
    set_list(r, r->lex->set, &a->usually, SV_FROM_DEFAULT, false, r->out->article_word);
    keep_set_kind(r, a);
}

/* A stronger word of the seller stands; of two as strong, the article's. */
static void put_list(sv_facts *out, const sv_set_fact *set, const sv_fact_list *list, sv_from from)
{
    for (size_t i = 0; i < list->count; i++) {
        const sv_set_fact *f = &set[list->first + i];
        if (f->fact >= SV_FACT_COUNT || out->fact[f->fact].from >= from) continue;
        out->fact[f->fact] = (sv_fact){f->value, (uint8_t)from, out->article_word};
    }
}

const sv_facts *sv_facts_as(const sv_world *world, sv_arena *arena, const sv_facts *facts,
                            const char *article)
{
    const sv_wordbook *lex = sv_wordbook_of(world);
    int at = sv_article_index(lex, article);
    sv_facts *out = SV_NEW(arena, sv_facts);
    if (!out || at < 0) return out ? facts : NULL;
    *out = *facts;
    for (int i = 0; i < SV_FACT_COUNT; i++) {
        bool of_article = out->fact[i].from < SV_FROM_TEXT && out->fact[i].because == facts->article_word;
        if (of_article) out->fact[i] = (sv_fact){.because = ""};
    }
    out->article = lex->article[at].key;
    put_list(out, lex->set, &lex->article[at].means, SV_FROM_WORD);
    put_list(out, lex->set, &lex->article[at].usually, SV_FROM_DEFAULT);
    return out;
}
