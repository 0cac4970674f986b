/* atoms.c - percentages to fibres. The number may stand before or after its fibre, or all numbers before all
 * fibres. */
#include "garment/atoms.h"

#include <string.h>

/* A number or a group of names of one fibre (a label in many languages names it many times). */
typedef struct piece {
    bool number;
    bool bare;
    uint16_t fibre;
    int32_t milli;
    uint32_t item, last_item;
    uint16_t gap;
} piece;

typedef struct pieces {
    piece piece[SV_BOUND_MAX * 2];
    size_t count;
    size_t numbers, fibres;
} pieces;

static void add_fibre(pieces *p, const sv_atom *a)
{
    piece *last = p->count ? &p->piece[p->count - 1] : NULL;
    if (last && !last->number && last->fibre == a->value) {
        last->last_item = a->item;
        return;
    }
    p->piece[p->count++] =
        (piece){.fibre = a->value, .milli = -1, .item = a->item, .last_item = a->item, .gap = a->gap};
}

/* 60-65 %: its middle. Not 60-40, which is two numbers for two fibres. */
static bool is_range(const piece *last, const sv_atom *a)
{
    return last && last->number && (a->gap & SV_GAP_HYPHEN) && !(a->gap & ~(SV_GAP_HYPHEN | SV_GAP_BLANK)) &&
           last->milli < a->milli && last->milli + a->milli != 100000;
}

static void add_number(sv_segment *s, pieces *p, const sv_atom *a)
{
    piece *last = p->count ? &p->piece[p->count - 1] : NULL;
    if (is_range(last, a)) {
        last->milli = (last->milli + a->milli) / 2;
        last->bare = last->bare && a->bare;
        last->last_item = a->item;
        s->label->range = true;
        return;
    }
    p->piece[p->count++] = (piece){.number = true,
                                   .bare = a->bare,
                                   .milli = a->milli,
                                   .item = a->item,
                                   .last_item = a->item,
                                   .gap = a->gap};
}

static void count_kinds(pieces *p)
{
    p->numbers = p->fibres = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (p->piece[i].number)
            p->numbers++;
        else
            p->fibres++;
    }
}

static void drop(pieces *p, size_t i)
{
    memmove(&p->piece[i], &p->piece[i + 1], (p->count - i - 1) * sizeof *p->piece);
    p->count--;
}

/* ---- numbers that are no percentages
 * -------------------------------------------------------------------------------- */

static bool near_fibre(const pieces *p, size_t i)
{
    const piece *n = &p->piece[i];
    bool before = i && !p->piece[i - 1].number && n->item - p->piece[i - 1].last_item <= 2;
    bool after = i + 1 < p->count && !p->piece[i + 1].number && p->piece[i + 1].item - n->last_item <= 2;
    bool number =
        (i && p->piece[i - 1].number && n->gap & (SV_GAP_SLASH | SV_GAP_HYPHEN)) ||
        (i + 1 < p->count && p->piece[i + 1].number && p->piece[i + 1].gap & (SV_GAP_SLASH | SV_GAP_HYPHEN));
    return before || after || number;
}

/* In free text bare numbers are percentages only when those beside fibres add up to 100. */
static void judge_bare(const sv_segment *s, pieces *p)
{
    int32_t sum = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (p->piece[i].number && p->piece[i].bare && near_fibre(p, i)) sum += p->piece[i].milli;
        if (p->piece[i].number && !p->piece[i].bare) sum += p->piece[i].milli;
    }
    bool fine = s->column || (sum >= 99000 && sum <= 101000);
    for (size_t i = p->count; i-- > 0;) {
        if (p->piece[i].number && p->piece[i].bare && (!fine || !near_fibre(p, i))) drop(p, i);
    }
}

/* A percentage that no fibre stands near is one of something else (20 % off). */
static void drop_far(pieces *p)
{
    for (size_t i = p->count; i-- > 0;) {
        const piece *n = &p->piece[i];
        if (!n->number) continue;
        bool after = i + 1 < p->count && p->piece[i + 1].item - n->last_item <= 4;
        bool before = i && n->item - p->piece[i - 1].last_item <= 3;
        if (!after && !before) drop(p, i);
    }
}

/* ---- pairing
 * -----------------------------------------------------------------------------------------------------------
 */

static void pair_in_order(const pieces *p, sv_bound *out, size_t *n)
{
    size_t number = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (p->piece[i].number) continue;
        while (!p->piece[number].number)
            number++;
        out[(*n)++] = (sv_bound){p->piece[i].fibre, p->piece[number].milli, p->piece[i].item};
        number++;
    }
}

/* More fibres than numbers, or fewer: each number goes to the fibre after it, or before it where the label
 * ends with a number or puts the first fibre before any. */
static void pair_nearest(const pieces *p, sv_bound *out, size_t *n)
{
    bool backward = p->piece[p->count - 1].number && !p->piece[0].number;
    for (size_t i = 0; i < p->count; i++) {
        if (p->piece[i].number) continue;
        const piece *number = NULL;
        if (!backward && i && p->piece[i - 1].number) number = &p->piece[i - 1];
        if (backward && i + 1 < p->count && p->piece[i + 1].number) number = &p->piece[i + 1];
        out[(*n)++] = (sv_bound){p->piece[i].fibre, number ? number->milli : -1, p->piece[i].item};
    }
}

static const char *word_at(const sv_items *items, uint32_t i)
{
    return i < items->count && items->item[i].kind == SV_ITEM_UNKNOWN ? items->source + items->item[i].from
                                                                      : NULL;
}

/* The first percentage that no fibre follows, where a word that we do not know does. */
static void note_unknown(sv_segment *s, const pieces *p, const sv_items *items)
{
    for (size_t i = 0; i < p->count && !s->label->unknown; i++) {
        const piece *n = &p->piece[i];
        bool has_fibre = i + 1 < p->count && !p->piece[i + 1].number;
        if (!n->number || n->bare || has_fibre || (i && !p->piece[i - 1].number && !p->piece[0].number))
            continue;
        s->label->unknown = word_at(items, n->last_item + 1);
        s->label->unknown_milli = n->milli;
    }
}

size_t sv_atoms_bind(sv_segment *s, sv_bound *out, const sv_items *items)
{
    pieces p = {.count = 0};
    bool pure = false;
    for (size_t i = s->from; i < s->to && p.count < SV_BOUND_MAX; i++) {
        const sv_atom *a = &s->a->atom[i];
        if (a->kind == SV_ATOM_FIBRE) add_fibre(&p, a);
        if (a->kind == SV_ATOM_NUMBER) add_number(s, &p, a);
        if (a->kind == SV_ATOM_PURE) pure = true;
        if (a->kind == SV_ATOM_BLEND) s->blend = true;
    }
    note_unknown(s, &p, items);
    judge_bare(s, &p);
    drop_far(&p);
    count_kinds(&p);
    size_t n = 0;
    if (!p.fibres) return 0;
    if (p.numbers == p.fibres) {
        pair_in_order(&p, out, &n);
    } else {
        pair_nearest(&p, out, &n);
    }
    if (pure && n == 1 && out[0].milli < 0) {
        out[0].milli = 100000;
        s->label->pure = true;
    }
    return n;
}

/* Without numbers only the fibres right before the part are meant: cotton jacket, polyester lining. */
static bool stands_apart(const sv_atom *a, const sv_atom *b)
{
    return (b->gap & ~(SV_GAP_BLANK | SV_GAP_HYPHEN | SV_GAP_SLASH)) || b->item - a->item > 2;
}

size_t sv_atoms_last_statement(const sv_atoms *a, size_t from, size_t end)
{
    if (from >= end) return end;
    bool number_first = a->atom[from].kind == SV_ATOM_NUMBER, numbers = false;
    int32_t sum = 0;
    size_t i = end;
    while (i > from) {
        const sv_atom *atom = &a->atom[i - 1];
        if (atom->kind == SV_ATOM_NUMBER) {
            if (sum >= 99500) break;
            numbers = true;
            sum += atom->milli;
        } else if (!numbers && i < end && stands_apart(atom, &a->atom[i])) {
            break;
        }
        i--;
        if (number_first && sum >= 99500 && atom->kind == SV_ATOM_NUMBER) break;
    }
    return i;
}
