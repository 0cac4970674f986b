/* atoms.c - percentages to fibres. The number may stand before or after its fibre, or all numbers before all
 * fibres. */
#include "garment/atoms.h"

#include <string.h>

/* A number or a group of names of one fibre (a label in many languages names it many times). */
typedef struct piece {
    bool number;
    bool bare;
    bool taken;          /* a number that its fibre has */
    const sv_item *word; /* an unknown word that the number counts */
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

/* ---- numbers that are no percentages ---- */

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

static const sv_item *unknown_after(const sv_items *items, uint32_t number);
static const sv_item *unknown_before(const sv_items *items, uint32_t number);

/* A percentage that no fibre stands near is one of something else (20 % off). */
static void drop_far(pieces *p, const sv_items *items)
{
    for (size_t i = p->count; i-- > 0;) {
        const piece *n = &p->piece[i];
        if (!n->number) continue;
        bool after = i + 1 < p->count && p->piece[i + 1].item - n->last_item <= 4;
        bool before = i && n->item - p->piece[i - 1].last_item <= 3;
        if (!after && !before && !unknown_after(items, n->last_item) && !unknown_before(items, n->item))
            drop(p, i);
    }
}

/* ---- does the number stand before its fibre or after it ---- */

/* Nothing but an unknown word between the number and what ends the statement on that side. */
static const sv_item *unknown_word(const sv_items *items, size_t i, uint16_t gap)
{
    if (i >= items->count || items->item[i].kind != SV_ITEM_UNKNOWN) return NULL;
    return gap & (SV_GAP_CLAUSE | SV_GAP_SLASH | SV_GAP_PLUS) ? NULL : &items->item[i];
}

static const sv_item *unknown_after(const sv_items *items, uint32_t number)
{
    return number + 1 < items->count ? unknown_word(items, number + 1, items->item[number + 1].gap) : NULL;
}

static const sv_item *unknown_before(const sv_items *items, uint32_t number)
{
    return number ? unknown_word(items, number - 1, items->item[number].gap) : NULL;
}

/* How closely a number and a fibre stand together: glued, side by side, or with one word between them. */
static int closeness(const sv_atom *a, const sv_atom *b)
{
    if (b->item - a->item > 2 || b->gap & (SV_GAP_CLAUSE & ~SV_GAP_COLON)) return 0;
    if (b->gap & (SV_GAP_SLASH | SV_GAP_PLUS)) return 0;
    if (b->item - a->item == 2) return 1;
    return b->gap ? 2 : 3;
}

static bool is_value(const sv_atom *a)
{
    return a->kind == SV_ATOM_NUMBER || a->kind == SV_ATOM_FIBRE;
}

int sv_atoms_style(const sv_atoms *a, size_t from, size_t to, const sv_items *items)
{
    const sv_atom *first = NULL, *last = NULL;
    int after = 0;
    for (size_t i = from; i < to; i++) {
        const sv_atom *atom = &a->atom[i];
        if (!is_value(atom)) continue;
        if (!first) first = atom;
        if (last && last->kind != atom->kind && last + 1 == atom) {
            int close = closeness(last, atom);
            after += atom->kind == SV_ATOM_NUMBER ? close : -close;
        }
        last = atom;
    }
    if (!first) return 0;
    bool starts = first->kind == SV_ATOM_NUMBER && !unknown_before(items, first->item),
         ends = last->kind == SV_ATOM_NUMBER && !unknown_after(items, last->item);
    return after + (ends && !starts ? 2 : 0) - (starts && !ends ? 2 : 0);
}

/* ---- names in brackets ---- */

/* "100% Kunstpelz (Polyacryl)": the name in brackets is of the same stuff. It counts instead of a word for a
 * look. */
static void join_brackets(const sv_wordbook *lex, pieces *p)
{
    for (size_t i = p->count; i-- > 1;) {
        const piece *inside = &p->piece[i];
        piece *before = &p->piece[i - 1];
        bool numbered = i + 1 < p->count && p->piece[i + 1].number && !(p->piece[i + 1].gap & SV_GAP_CLAUSE);
        if (inside->number || before->number || !(inside->gap & SV_GAP_OPEN) || numbered) continue;
        if (strncmp(lex->fibre[before->fibre].group, "imitation", 9) == 0) before->fibre = inside->fibre;
        drop(p, i);
    }
}

/* ---- pairing ---- */

/* 60/40 cotton/polyester: all numbers stand together, and so do all fibres. */
static bool is_list(const pieces *p)
{
    size_t changes = 0;
    for (size_t i = 1; i < p->count; i++)
        changes += p->piece[i].number != p->piece[i - 1].number;
    return p->numbers == p->fibres && changes == 1;
}

static void pair_in_order(pieces *p)
{
    size_t number = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (p->piece[i].number) continue;
        while (!p->piece[number].number)
            number++;
        p->piece[i].milli = p->piece[number].milli;
        p->piece[number++].taken = true;
    }
}

/* An unknown word beside the number, with nothing else on that side before the statement ends, is what the
 * number counts. */
static const sv_item *rival(const pieces *p, size_t i, bool after, const sv_items *items)
{
    const piece *n = &p->piece[i];
    const sv_item *word = after ? unknown_after(items, n->last_item) : unknown_before(items, n->item);
    if (!word) return NULL;
    size_t at = (size_t)(word - items->item);
    const piece *next = after ? (i + 1 < p->count ? &p->piece[i + 1] : NULL) : i ? &p->piece[i - 1] : NULL;
    if (!next || next->number) return word;
    uint16_t gap = 0;
    for (size_t k = after ? at + 1 : next->last_item + 1; k <= (after ? next->item : at); k++)
        gap |= items->item[k].gap;
    return gap & (SV_GAP_CLAUSE | SV_GAP_SLASH | SV_GAP_PLUS) ? word : NULL;
}

static bool give(pieces *p, size_t number, size_t fibre)
{
    if (fibre >= p->count || p->piece[fibre].number || p->piece[fibre].milli >= 0) return false;
    p->piece[fibre].milli = p->piece[number].milli;
    p->piece[number].taken = true;
    return true;
}

/* Each number goes to the fibre on the side that the label has chosen; what is left over, to one that is left
 * on the other side. A number beside a word that nobody knows stays with that word. */
static void pair_by_side(pieces *p, bool after, const sv_items *items)
{
    for (size_t i = 0; i < p->count; i++) {
        if (!p->piece[i].number) continue;
        p->piece[i].word = rival(p, i, !after, items);
        if (!p->piece[i].word) give(p, i, after ? i - 1 : i + 1);
    }
    for (size_t i = 0; i < p->count; i++) {
        if (p->piece[i].number && !p->piece[i].taken && !p->piece[i].word) give(p, i, after ? i + 1 : i - 1);
    }
}

/* Percentages of unknown words are fibres that nobody knows, where they stand among known ones and all make
 * 100 at most. */
static void name_unknown(sv_segment *s, pieces *p, int unknown_fibre, const sv_items *items)
{
    int32_t sum = 0;
    bool known = false;
    for (size_t i = 0; i < p->count; i++) {
        if (p->piece[i].number) sum += p->piece[i].milli;
        if (p->piece[i].number && p->piece[i].taken) known = true;
    }
    for (size_t i = 0; i < p->count; i++) {
        piece *n = &p->piece[i];
        if (!n->number || n->taken || !n->word || (n->bare && !s->column)) continue;
        if (!s->label->unknown) {
            s->label->unknown = items->source + n->word->from;
            s->label->unknown_milli = n->milli;
        }
        if (!(known || s->label->percentages) || sum > 100500 || unknown_fibre < 0) continue;
        n->number = false;
        n->fibre = (uint16_t)unknown_fibre;
    }
}

static void read_pieces(sv_segment *s, pieces *p, bool *pure)
{
    for (size_t i = s->from; i < s->to && p->count < SV_BOUND_MAX; i++) {
        const sv_atom *a = &s->a->atom[i];
        if (a->kind == SV_ATOM_FIBRE) add_fibre(p, a);
        if (a->kind == SV_ATOM_NUMBER) add_number(s, p, a);
        if (a->kind == SV_ATOM_PURE) *pure = true;
        if (a->kind == SV_ATOM_BLEND) s->blend = true;
    }
}

size_t sv_atoms_bind(sv_segment *s, sv_bound *out, const sv_items *items)
{
    pieces p = {.count = 0};
    bool pure = false;
    read_pieces(s, &p, &pure);
    join_brackets(s->lex, &p);
    judge_bare(s, &p);
    drop_far(&p, items);
    count_kinds(&p);
    int style = sv_atoms_style(s->a, s->from, s->to, items);
    if (is_list(&p) && p.fibres > 1) {
        pair_in_order(&p);
    } else {
        pair_by_side(&p, style > 0 || (style == 0 && s->number_after), items);
        name_unknown(s, &p, s->unknown_fibre, items);
    }
    size_t n = 0;
    for (size_t i = 0; i < p.count; i++) {
        if (!p.piece[i].number) out[n++] = (sv_bound){p.piece[i].fibre, p.piece[i].milli, p.piece[i].item};
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
