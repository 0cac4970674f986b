/* label_atoms.c - which words of a label are numbers, fibres and parts. */
#include <string.h>

#include "garment/atoms.h"

static bool is_fibre(const sv_wordbook *lex, const sv_item *i)
{
    return sv_item_sense(lex, i, SV_WORD_FIBRE) != NULL;
}

static bool is_imitation(const sv_wordbook *lex, const sv_item *i)
{
    const sv_sense *s = sv_item_sense(lex, i, SV_WORD_FIBRE);
    return s && strncmp(lex->fibre[s->value].group, "imitation", 9) == 0;
}

/* "faux", "look", "feel": the fibre beside it is only imitated. */
static bool only_looks(const sv_wordbook *lex, const sv_items *items, size_t i)
{
    const sv_item *item = items->item;
    if (is_imitation(lex, &item[i])) return false;
    if (i && sv_item_marks(lex, &item[i - 1], SV_MARK_LOOK) && !(item[i].gap & SV_GAP_CLAUSE)) return true;
    return i + 1 < items->count &&
           (sv_item_marks(lex, &item[i + 1], SV_MARK_LOOK) ||
            sv_item_marks(lex, &item[i + 1], SV_MARK_PRINT)) &&
           !(item[i + 1].gap & SV_GAP_CLAUSE);
}

/* Letters such as CO and PA are fibres only on a label: beside a number, or beside another of their kind that
 * is. */
static bool is_abbreviation(const sv_wordbook *lex, const sv_item *i)
{
    const sv_sense *s = sv_item_sense(lex, i, SV_WORD_FIBRE);
    return s && lex->by_capitals >= 0 && (s->languages & i->languages) == (uint64_t)1 << lex->by_capitals;
}

/* A word that is as often a colour or a quality (camel, paper): whatever else it marks. */
static bool is_quality(const sv_wordbook *lex, const sv_item *i)
{
    for (uint32_t n = i->entry->sense; n; n = lex->index.sense[n].next) {
        const sv_sense *s = &lex->index.sense[n];
        if (s->kind == SV_WORD_MARK && s->value == SV_MARK_YIELDS && s->languages & i->languages) return true;
    }
    return false;
}

static bool beside_number(const sv_items *items, size_t i)
{
    return (i && items->item[i - 1].kind == SV_ITEM_NUMBER) ||
           (i + 1 < items->count && items->item[i + 1].kind == SV_ITEM_NUMBER);
}

/* "Padding: 90% down" heads a part, though padding is a material too. */
static bool heads_part(const sv_wordbook *lex, const sv_items *items, size_t i)
{
    if (!sv_item_sense(lex, &items->item[i], SV_WORD_PART) || i + 1 >= items->count) return false;
    /* "70% wadding", but not "nylon 100% wadding polyester 100%" */
    bool taken = i > 1 && is_fibre(lex, &items->item[i - 2]) && !(items->item[i - 1].gap & SV_GAP_CLAUSE);
    if (i && !taken && items->item[i - 1].percent && !(items->item[i].gap & SV_GAP_CLAUSE)) return false;
    const sv_item *next = &items->item[i + 1];
    if (next->gap & SV_GAP_COLON || is_fibre(lex, next)) return true;
    /* "wadding 100% polyester", but not "faux fur 100%" */
    const sv_item *then = i + 2 < items->count ? next + 1 : NULL;
    return next->kind == SV_ITEM_NUMBER && next->percent && then && is_fibre(lex, then) &&
           !(then->gap & SV_GAP_CLAUSE);
}

static bool counts_as_fibre(const sv_wordbook *lex, const sv_items *items, size_t i, bool column)
{
    const sv_item *item = &items->item[i];
    if (!is_fibre(lex, item) || item->negated || only_looks(lex, items, i) || heads_part(lex, items, i))
        return false;
    if (column) return true;
    if (!is_abbreviation(lex, item) && !is_quality(lex, item)) return true;
    return beside_number(items, i);
}

static bool is_percent_number(const sv_wordbook *lex, const sv_items *items, size_t i)
{
    const sv_item *item = &items->item[i];
    if (item->kind != SV_ITEM_NUMBER || item->milli > 100000 || item->milli <= 0) return false;
    if (item->percent) return true;
    return i + 1 < items->count && sv_item_marks(lex, &items->item[i + 1], SV_MARK_PERCENT);
}

/* A bare number may be a percentage when it is not the number of something else. */
static bool may_be_percent(const sv_wordbook *lex, const sv_items *items, size_t i)
{
    const sv_item *item = &items->item[i];
    if (item->kind != SV_ITEM_NUMBER || item->used || item->milli > 100000 || item->milli <= 0) return false;
    const sv_item *before = i ? &items->item[i - 1] : NULL;
    if (before && sv_item_marks(lex, before, SV_MARK_SIZE) && !is_fibre(lex, before)) return false;
    return !(i + 1 < items->count && items->item[i + 1].gap & SV_GAP_COLON);
}

static void add(sv_atoms *a, sv_atom_kind kind, uint16_t value, size_t item, uint16_t gap)
{
    if (a->count == a->room) return;
    a->atom[a->count++] =
        (sv_atom){.kind = (uint8_t)kind, .value = value, .item = (uint32_t)item, .gap = gap};
}

/* The country after "made in" can be the name of a fibre in another language. */
static size_t skip_country(const sv_items *items, size_t i)
{
    size_t end = i + 1;
    while (end < items->count && end < i + 4 && !(items->item[end].gap & (SV_GAP_CLAUSE | SV_GAP_SLASH)) &&
           items->item[end].kind != SV_ITEM_NUMBER)
        end++;
    return end;
}

/* A word that we do not know, with a colon after it and fibres after that, heads a part all the same. */
static bool heads_unknown_part(const sv_items *items, size_t i)
{
    const sv_item *item = &items->item[i];
    bool first = i == 0 || item->gap & SV_GAP_CLAUSE || items->item[i - 1].kind == SV_ITEM_UNKNOWN;
    return item->kind == SV_ITEM_UNKNOWN && first && i + 1 < items->count &&
           items->item[i + 1].gap & SV_GAP_COLON;
}

/* A "cotton top" is no part of cotton: in free text a word for goods is one for a part only where a colon or
 * a percentage follows. */
static bool is_article_too(const sv_wordbook *lex, const sv_items *items, size_t i)
{
    const sv_sense *article = sv_item_sense(lex, &items->item[i], SV_WORD_ARTICLE);
    if (!article || lex->article[article->value].weak) return false;
    const sv_item *next = i + 1 < items->count ? &items->item[i + 1] : NULL;
    return !next || !(next->gap & SV_GAP_COLON || next->percent);
}

/* "5 % other" at the end of a statement: other fibres, not another part. */
static bool is_other_fibre(const sv_wordbook *lex, const sv_items *items, size_t i)
{
    if (!i || !sv_item_marks(lex, &items->item[i], SV_MARK_REST) || !items->item[i - 1].percent) return false;
    if (sv_fibre_index(lex, "other fibres") < 0) return false;
    return i + 1 >= items->count || items->item[i + 1].gap & (SV_GAP_CLAUSE | SV_GAP_SLASH);
}

static void add_item(const sv_wordbook *lex, const sv_items *items, size_t i, bool column, uint16_t gap,
                     sv_atoms *a)
{
    const sv_item *item = &items->item[i];
    const sv_sense *part = sv_item_sense(lex, item, SV_WORD_PART),
                   *fibre = sv_item_sense(lex, item, SV_WORD_FIBRE);
    if (is_percent_number(lex, items, i) || may_be_percent(lex, items, i)) {
        add(a, SV_ATOM_NUMBER, 0, i, gap);
        a->atom[a->count - 1].milli = item->milli;
        a->atom[a->count - 1].bare = !is_percent_number(lex, items, i);
    } else if (counts_as_fibre(lex, items, i, column)) {
        /* Pure wool in one word. */
        if (sv_item_marks(lex, item, SV_MARK_PURE)) add(a, SV_ATOM_PURE, 0, i, gap);
        add(a, SV_ATOM_FIBRE, fibre->value, i, gap);
    } else if (part && !item->negated && (column || !is_article_too(lex, items, i))) {
        add(a, SV_ATOM_PART, part->value, i, gap);
    } else if (heads_unknown_part(items, i)) {
        add(a, SV_ATOM_PART, SV_PART_SHELL, i, gap);
    } else if (is_other_fibre(lex, items, i)) {
        add(a, SV_ATOM_FIBRE, (uint16_t)sv_fibre_index(lex, "other fibres"), i, gap);
    } else if (sv_item_marks(lex, item, SV_MARK_REST)) {
        add(a, SV_ATOM_PART, SV_PART_OTHER, i, gap);
    } else if (sv_item_marks(lex, item, SV_MARK_PURE)) {
        add(a, SV_ATOM_PURE, 0, i, gap);
    } else if (sv_item_marks(lex, item, SV_MARK_BLEND)) {
        add(a, SV_ATOM_BLEND, 0, i, gap);
    }
}

sv_status sv_atoms_of(const sv_wordbook *lex, sv_arena *arena, const sv_items *items, bool column,
                      sv_atoms *a)
{
    *a = (sv_atoms){.room = 2 * items->count};
    if (!items->count) return SV_OK;
    a->atom = SV_NEW_ARRAY(arena, items->count, sv_atom);
    if (!a->atom) return SV_NO_MEMORY;
    uint16_t gap = 0;
    for (size_t i = 0; i < items->count; i++) {
        gap |= items->item[i].gap;
        if (sv_item_marks(lex, &items->item[i], SV_MARK_MADE_IN)) {
            i = skip_country(items, i) - 1;
            continue;
        }
        size_t before = a->count;
        add_item(lex, items, i, column, gap, a);
        if (a->count > before) gap = 0;
    }
    for (size_t i = 0; i < a->count; i++) {
        size_t next = a->atom[i].item + 1;
        a->atom[i].gap_after = next < items->count ? items->item[next].gap : SV_GAP_STOP;
    }
    return SV_OK;
}
