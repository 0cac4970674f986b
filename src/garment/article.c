/* article.c - which of the goods words in a text is the article itself. */
#include "garment/reader.h"

#include <string.h>

typedef struct candidate {
    const sv_item *item;
    size_t at; /* among the items */
    int article;
} candidate;

/* Words of weak kinds count only when `weak` is set: where nothing else was named. */
static bool is_candidate(const sv_wordbook *lex, const sv_items *items, size_t i, bool weak, int *article)
{
    const sv_item *item = &items->item[i];
    const sv_sense *s = sv_item_sense(lex, item, SV_WORD_ARTICLE);
    if (!s || item->negated || lex->article[s->value].weak != weak) return false;
    *article = s->value;
    return true;
}

/* The article of a statement stands before "with", "for", "in": a coat with belt. Japanese, Turkish and
 * others put what the goods come with first; there the last statement wins by the order of the head. */
static bool ends_head(const sv_wordbook *lex, const sv_item *i)
{
    return sv_item_marks(lex, i, SV_MARK_WITH) || sv_item_marks(lex, i, SV_MARK_FOR) ||
           sv_item_marks(lex, i, SV_MARK_WITHOUT) || sv_item_marks(lex, i, SV_MARK_OF);
}

/* Do two candidates stand in one run of nouns, with nothing but words that say no goods between them? */
static bool same_run(const sv_wordbook *lex, const sv_items *items, size_t a, size_t b)
{
    for (size_t i = a + 1; i <= b; i++) {
        if (items->item[i].gap & ~(SV_GAP_BLANK | SV_GAP_HYPHEN | SV_GAP_SLASH)) return false;
        if (i < b && (ends_head(lex, &items->item[i]) || items->item[i].kind != SV_ITEM_KNOWN)) return false;
    }
    return b - a <= 3;
}

/* The next candidate from i on; count when there is none before `end`. */
static size_t next_candidate(const sv_wordbook *lex, const sv_items *items, size_t i, bool weak, int *article)
{
    while (i < items->count && !is_candidate(lex, items, i, weak, article))
        i++;
    return i;
}

/* Head of the first run of goods words. */
static candidate head_of_run(const sv_wordbook *lex, const sv_items *items, bool head_last, bool weak)
{
    int article;
    size_t at = next_candidate(lex, items, 0, weak, &article);
    if (at == items->count) return (candidate){NULL, 0, -1};
    candidate head = {&items->item[at], at, article};
    while (head_last) {
        size_t next = next_candidate(lex, items, head.at + 1, weak, &article);
        if (next == items->count || !same_run(lex, items, head.at, next)) break;
        /* "T-shirt tops": a wider word after a narrower one adds nothing. */
        if (sv_article_is(lex, head.article, article) && head.article != article) break;
        head = (candidate){&items->item[next], next, article};
    }
    return head;
}

/* A later word may name the same article more exactly ("Shoes: leather sandals"). */
static candidate narrowest(const sv_wordbook *lex, const sv_items *items, candidate head)
{
    if (!head.item) return head;
    for (size_t i = head.at + 1; i < items->count; i++) {
        int article;
        if (ends_head(lex, &items->item[i])) break;
        if (!is_candidate(lex, items, i, false, &article) || article == head.article) continue;
        if (sv_article_is(lex, article, head.article)) head = (candidate){&items->item[i], i, article};
    }
    return head;
}

static candidate find(const sv_reader *r, sv_source source)
{
    bool head_last = r->lex->head_last >> r->tongues.best & 1;
    if (!r->items[source].count) return (candidate){NULL, 0, -1};
    candidate head = head_of_run(r->lex, &r->items[source], head_last, false);
    if (!head.item) return head_of_run(r->lex, &r->items[source], head_last, true);
    return narrowest(r->lex, &r->items[source], head);
}

void sv_take_article(sv_reader *r, sv_source source, const sv_item *item, int article, sv_from from)
{
    r->article = article;
    r->article_item = item;
    r->scope = r->lex->article[article].scope;
    r->out->article = r->lex->article[article].key;
    r->out->article_word = sv_item_text(r->arena, &r->items[source], item);
    r->out->article_from = (uint8_t)from;
}

static void take(sv_reader *r, sv_source source, candidate c, sv_from from)
{
    sv_take_article(r, source, c.item, c.article, from);
}

void sv_read_article(sv_reader *r)
{
    candidate column = find(r, SV_SOURCE_GARMENT), text = find(r, SV_SOURCE_TEXT);
    r->article = -1;
    if (column.item) take(r, SV_SOURCE_GARMENT, column, SV_FROM_STATED);
    bool narrower = column.item && text.item && text.article != column.article &&
                    sv_article_is(r->lex, text.article, column.article);
    if (text.item && (!column.item || narrower)) take(r, SV_SOURCE_TEXT, text, SV_FROM_TEXT);
    if (r->article >= 0) return;
    candidate feature = find(r, SV_SOURCE_FEATURES);
    if (feature.item) take(r, SV_SOURCE_FEATURES, feature, SV_FROM_STATED);
}

void sv_suppose_worn(sv_reader *r)
{
    const sv_fact *f = r->out->fact;
    if (r->article >= 0 || f[SV_FACT_PRESENTATION].value != SV_PRESENTATION_BULK ||
        f[SV_FACT_CONDITION].value != SV_CONDITION_USED)
        return;
    r->article = sv_article_index(r->lex, "worn-clothing");
    if (r->article < 0) return;
    r->out->article = r->lex->article[r->article].key;
    r->out->article_word = f[SV_FACT_PRESENTATION].because;
    r->out->article_from = SV_FROM_WORD;
}
