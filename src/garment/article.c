/* article.c - which of the goods words in a text is the article itself. */
#include "garment/reader.h"

#include <string.h>

#define SHORTEST_NOUN 4 /* bytes */

typedef struct candidate {
    const sv_item *item;
    size_t at; /* among the items */
    int article;
} candidate;

/* Goods words in the order in which they give way: a full noun; one that is as often a material or a quality
 * of other goods (fleece, waterproof); one of a weak kind (zip, cloth), the article only when nothing else is
 * named. */
typedef enum tier { FULL, YIELDING, WEAK } tier;

static uint64_t with_dialects(const sv_wordbook *lex, int tongue)
{
    uint64_t all = (uint64_t)1 << tongue;
    int base = lex->language[tongue].base;
    if (base >= 0) all |= (uint64_t)1 << base;
    for (int l = 0; l < lex->languages; l++) {
        if (lex->language[l].base == tongue) all |= (uint64_t)1 << l;
    }
    return all;
}

/* Does the word say something else in the language of the text, and name goods only in another? English "men"
 * is no Vietnamese blanket. */
static bool is_foreign(const sv_wordbook *lex, const sv_items *items, const sv_item *item,
                       const sv_sense *goods)
{
    uint64_t own = with_dialects(lex, items->tongue) & item->languages;
    bool elsewhere = false;
    if (goods->languages & own) return false;
    for (uint32_t n = item->entry->sense; n; n = sv_sense_at(lex, n)->next) {
        const sv_sense *s = sv_sense_at(lex, n);
        elsewhere = elsewhere || (s->kind != SV_WORD_ARTICLE && (s->languages & own));
    }
    return elsewhere;
}

static bool is_candidate(const sv_wordbook *lex, const sv_items *items, size_t i, tier wanted, int *article)
{
    const sv_item *item = &items->item[i];
    const sv_sense *s = sv_item_sense(lex, item, SV_WORD_ARTICLE);
    if (!s || item->negated) return false;
    tier is = lex->article[s->value].weak || is_foreign(lex, items, item, s) ? WEAK
              : sv_item_marks(lex, item, SV_MARK_YIELDS)                     ? YIELDING
                                                                             : FULL;
    if (is != wanted) return false;
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
    size_t words = 0;
    for (size_t i = a + 1; i <= b; i++) {
        if (items->item[i].gap & ~(SV_GAP_BLANK | SV_GAP_HYPHEN | SV_GAP_SLASH)) return false;
        words += !items->item[i].inner;
        if (i == b || items->item[i].inner) continue;
        if (ends_head(lex, &items->item[i]) || items->item[i].kind != SV_ITEM_KNOWN) return false;
    }
    return words <= 3;
}

/* The next candidate from i on; count when there is none before `end`. */
static size_t next_candidate(const sv_wordbook *lex, const sv_items *items, size_t i, tier wanted,
                             int *article)
{
    while (i < items->count && !is_candidate(lex, items, i, wanted, article))
        i++;
    return i;
}

static bool joined_by_and(const sv_wordbook *lex, const sv_items *items, size_t a, size_t b)
{
    for (size_t i = a + 1; i <= b; i++) {
        if (items->item[i].gap & SV_GAP_PLUS || sv_item_marks(lex, &items->item[i], SV_MARK_AND)) return true;
    }
    return false;
}

/* Worn on the body as clothing: such pieces make a set of garments; a hat and a scarf do not. */
static bool is_clothing(const sv_wordbook *lex, int article)
{
    enum { CLOTHING = 1 << 0 | 1 << 1 | 1 << 2 | 1 << 3 | 1 << 4 };
    return lex->article[article].scope & CLOTHING;
}

static bool of_kind(const sv_wordbook *lex, int article, const char *kind)
{
    return strcmp(lex->article[article].kind, kind) == 0;
}

/* An upper piece and the lower piece named after it are the whole: suit jacket and trousers. */
static int whole_of(const sv_wordbook *lex, int upper, int lower)
{
    static const char *const wholes[][2] = {{"suit-jacket", "suit"},
                                            {"bikini-top", "bikini"},
                                            {"pyjama-top", "pyjamas"},
                                            {"tracksuit-top", "tracksuit"}};
    bool is_lower = of_kind(lex, lower, "trousers") || of_kind(lex, lower, "skirt") ||
                    of_kind(lex, lower, "swimwear") || of_kind(lex, lower, "nightwear");
    for (size_t i = 0; is_lower && i < sizeof wholes / sizeof *wholes; i++) {
        if (strcmp(lex->article[upper].key, wholes[i][0]) == 0) return sv_article_index(lex, wholes[i][1]);
    }
    return -1;
}

/* Head of the first run of goods words. Pieces joined by "and" are a set when a noun for it follows (shirt
 * and trousers set), else the first one stands for all. */
static candidate head_of_run(const sv_wordbook *lex, const sv_items *items, bool head_last, tier wanted)
{
    int article;
    size_t at = next_candidate(lex, items, 0, wanted, &article);
    if (at == items->count) return (candidate){NULL, 0, -1};
    candidate head = {&items->item[at], at, article}, first = {NULL, 0, -1};
    bool joined = false;
    for (;;) {
        size_t next = next_candidate(lex, items, head.at + 1, wanted, &article);
        if (next == items->count || !same_run(lex, items, head.at, next)) break;
        bool and = joined_by_and(lex, items, head.at, next);
        if (!and&&!head_last) break;
        /* "T-shirt tops": a wider word after a narrower one adds nothing. */
        if (sv_article_is(lex, head.article, article) && head.article != article) break;
        if (and&&!first.item) first = head;
        if (and&&whole_of(lex, head.article, article) >= 0) {
            first.article = whole_of(lex, head.article, article);
            joined = true;
            break;
        }
        joined = and;
        head = (candidate){&items->item[next], next, article};
    }
    if (!first.item) return head;
    bool no_set = of_kind(lex, head.article, "ensemble") && !is_clothing(lex, first.article);
    return joined || no_set ? first : head;
}

/* A later word may name the same article more exactly ("Shoes: leather sandals"). */
static candidate narrowest(const sv_wordbook *lex, const sv_items *items, candidate head)
{
    if (!head.item) return head;
    for (size_t i = head.at + 1; i < items->count; i++) {
        int article;
        if (ends_head(lex, &items->item[i])) break;
        if (!is_candidate(lex, items, i, FULL, &article) || article == head.article) continue;
        if (sv_article_is(lex, article, head.article)) head = (candidate){&items->item[i], i, article};
    }
    return head;
}

/* Does the full noun name what the yielding word before it only describes? Not what comes with the goods, nor
 * a belt named further on. */
static bool takes_over(const sv_wordbook *lex, const sv_items *items, candidate yielding, candidate full)
{
    bool apart = false;
    for (size_t i = yielding.at + 1; i <= full.at; i++) {
        if (i < full.at && ends_head(lex, &items->item[i]) &&
            !sv_item_marks(lex, &items->item[i], SV_MARK_OF))
            return false;
        apart = apart || items->item[i].gap & SV_GAP_CLAUSE;
    }
    return !apart || !of_kind(lex, full.article, "belt");
}

static candidate find(const sv_reader *r, sv_source source)
{
    bool head_last = r->lex->head_last >> r->tongues.best & 1;
    const sv_items *items = &r->items[source];
    candidate full = head_of_run(r->lex, items, head_last, FULL),
              yielding = head_of_run(r->lex, items, head_last, YIELDING);
    if (full.item && yielding.item && !takes_over(r->lex, items, yielding, full)) full = yielding;
    if (full.item) return narrowest(r->lex, items, full);
    return yielding.item ? yielding : head_of_run(r->lex, items, head_last, WEAK);
}

/* ---- another article beside it ---- */

static bool related(const sv_wordbook *lex, int a, int b)
{
    return sv_article_is(lex, a, b) || sv_article_is(lex, b, a);
}

/* The word itself means another article too, in a language the text may be in. */
static int other_sense(const sv_wordbook *lex, candidate c)
{
    if (c.item->kind != SV_ITEM_KNOWN) return -1;
    for (uint32_t n = c.item->entry->sense; n; n = sv_sense_at(lex, n)->next) {
        const sv_sense *s = sv_sense_at(lex, n);
        bool may = s->kind == SV_WORD_ARTICLE && (s->languages & c.item->languages);
        if (may && !lex->article[s->value].weak && !related(lex, s->value, c.article)) return s->value;
    }
    return -1;
}

/* Another full noun in the same sentence that does not only come with the goods. */
static int other_noun(const sv_wordbook *lex, const sv_items *items, candidate c)
{
    bool aside = false;
    for (size_t i = 0; i < items->count; i++) {
        const sv_item *item = &items->item[i];
        int article;
        if (i && item->gap & (SV_GAP_STOP | SV_GAP_BREAK)) return -1;
        if (item->gap & SV_GAP_CLAUSE) aside = false;
        if (ends_head(lex, item)) aside = true;
        if (aside || i == c.at || item->inner || !is_candidate(lex, items, i, FULL, &article)) continue;
        if (!related(lex, article, c.article)) return article;
    }
    return -1;
}

/* Is there a word of which nothing was understood where the head of the run stands: dress clip? It may be
 * what the goods are, and the article only what they are for. */
static bool has_unread(const sv_items *items, size_t at, bool head_last)
{
    size_t head = head_last ? at + 1 : at - 1; /* wraps at the first item */
    if (head >= items->count) return false;
    const sv_item *item = &items->item[head];
    uint16_t gap = head_last ? item->gap : items->item[at].gap;
    bool long_enough = item->to - item->from >= SHORTEST_NOUN;
    return item->kind == SV_ITEM_UNKNOWN && long_enough &&
           !(gap & (SV_GAP_CLAUSE | SV_GAP_PLUS | SV_GAP_SLASH));
}

/* A goods word right before the article says what it is worn as: pyjama onesie. */
static void read_qualifier(sv_reader *r, const sv_items *items, candidate c)
{
    if (!c.at || items->item[c.at].gap & (SV_GAP_CLAUSE | SV_GAP_PLUS)) return;
    const sv_item *item = &items->item[c.at - 1];
    const sv_sense *s = sv_item_sense(r->lex, item, SV_WORD_ARTICLE);
    if (!s || item->negated || item->inner || !of_kind(r->lex, s->value, "nightwear")) return;
    sv_set(r, SV_FACT_WORN_AS, SV_WORN_AS_SLEEP, SV_FROM_TEXT, r->out->article_word);
}

static void read_rival(sv_reader *r, sv_source source, candidate c)
{
    int rival = other_sense(r->lex, c);
    if (rival < 0) rival = other_noun(r->lex, &r->items[source], c);
    if (rival >= 0) r->out->rival = r->lex->article[rival].key;
    bool head_last = r->lex->head_last >> r->tongues.best & 1;
    r->out->unread = has_unread(&r->items[source], c.at, head_last);
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
    read_rival(r, source, c);
    read_qualifier(r, &r->items[source], c);
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
