/* shoes.c - of what the upper and the outer sole of a shoe are. A material belongs to the part it stands
 * beside: before it (leather upper), or after it (upper of leather; upper: 51 leather, 49 textile). A part
 * that is named and whose material is not understood stays unknown: it takes none from another part. */
#include "garment/reader.h"

#include <string.h>

/* What a word is to a shoe. */
typedef enum shoe_place { NOWHERE, UPPER, SOLE, INSIDE } shoe_place;

#define FARTHEST 8 /* words between a part and its material */

typedef struct shoe_reader {
    sv_reader *r;
    const sv_items *items;
    size_t taken; /* items before this one belong to a part already */
    sv_from from;
} shoe_reader;

/* Goods words of shoes speak of upper and shell alike; lining, insole, trim are no matter of the code. */
static shoe_place place_at(const shoe_reader *s, size_t i)
{
    const sv_sense *sense = sv_item_sense(s->r->lex, &s->items->item[i], SV_WORD_PART);
    if (!sense) return NOWHERE;
    bool cloth = sense->value == SV_PART_SHELL && sv_item_sense(s->r->lex, &s->items->item[i], SV_WORD_FIBRE);
    if (cloth) return NOWHERE; /* "textile" is what it is made of */
    switch (sense->value) {
    case SV_PART_UPPER:
    case SV_PART_SHELL: return UPPER;
    case SV_PART_SOLE: return SOLE;
    default: return INSIDE;
    }
}

typedef struct stuff {
    int upper, sole; /* values of the facts, 0: says nothing */
} stuff;

/* A cloth's name (canvas, felt, satin) says textile of whatever part it stands beside. */
static bool is_cloth(const sv_set_fact *set, const sv_fact_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        const sv_set_fact *f = &set[list->first + i];
        if (f->fact == SV_FACT_UPPER && f->value == SV_UPPER_TEXTILE) return true;
        bool cloth = f->value == SV_CONSTRUCTION_KNIT || f->value == SV_CONSTRUCTION_WOVEN ||
                     f->value == SV_CONSTRUCTION_FELT || f->value == SV_CONSTRUCTION_NONWOVEN;
        if (f->fact == SV_FACT_CONSTRUCTION && cloth) return true;
    }
    return false;
}

static bool imitated(const shoe_reader *s, size_t i)
{
    const sv_item *item = s->items->item;
    return (i && sv_item_marks(s->r->lex, &item[i - 1], SV_MARK_LOOK)) ||
           (i + 1 < s->items->count && (sv_item_marks(s->r->lex, &item[i + 1], SV_MARK_LOOK) ||
                                        sv_item_marks(s->r->lex, &item[i + 1], SV_MARK_PRINT)));
}

static bool stuff_at(const shoe_reader *s, size_t i, stuff *out)
{
    const sv_wordbook *lex = s->r->lex;
    const sv_item *item = &s->items->item[i];
    if (item->kind != SV_ITEM_KNOWN || item->negated || imitated(s, i)) return false;
    const sv_sense *fibre = sv_item_sense(lex, item, SV_WORD_FIBRE);
    if (fibre) {
        const sv_fibre_row *f = &lex->fibre[fibre->value];
        *out = (stuff){f->upper, f->sole};
        return f->upper || f->sole;
    }
    for (uint32_t n = item->entry->sense; n; n = sv_sense_at(lex, n)->next) {
        const sv_sense *sense = sv_sense_at(lex, n);
        bool fact = sense->kind == SV_WORD_FACT || sense->kind == SV_WORD_HINT;
        if (!fact || !(sense->languages & item->languages)) continue;
        if (sense->scope && !(sense->scope & s->r->scope)) continue;
        if (!is_cloth(lex->index.set, &lex->index.list[sense->value])) continue;
        *out = (stuff){SV_UPPER_TEXTILE, SV_SOLE_TEXTILE};
        return true;
    }
    return false;
}

static bool leads_on(const shoe_reader *s, size_t i)
{
    const sv_item *item = &s->items->item[i];
    return sv_item_marks(s->r->lex, item, SV_MARK_OF) || (item->gap & SV_GAP_COLON) ||
           item->kind == SV_ITEM_NUMBER;
}

/* The material right before a part, one other word between them at most; SIZE_MAX: none. */
static size_t before(const shoe_reader *s, size_t part)
{
    size_t others = 0;
    for (size_t i = part; i > s->taken; i--) {
        stuff m;
        if (s->items->item[i].gap & (SV_GAP_CLAUSE & ~(SV_GAP_OPEN | SV_GAP_CLOSE))) return SIZE_MAX;
        if (stuff_at(s, i - 1, &m)) return i - 1;
        const sv_item *item = &s->items->item[i - 1];
        bool stops = place_at(s, i - 1) != NOWHERE || sv_item_marks(s->r->lex, item, SV_MARK_AND) ||
                     sv_item_marks(s->r->lex, item, SV_MARK_OF) ||
                     sv_item_marks(s->r->lex, item, SV_MARK_WITH);
        if (stops || ++others > 1) return SIZE_MAX;
    }
    return SIZE_MAX;
}

/* Of "leather and textile upper" the first of the run. */
static size_t run_start(const shoe_reader *s, size_t at)
{
    while (at > s->taken) {
        stuff m;
        if (s->items->item[at].gap & SV_GAP_CLAUSE) break;
        size_t back = at - 1;
        bool joined = back > s->taken && sv_item_marks(s->r->lex, &s->items->item[back], SV_MARK_AND);
        if (joined) back--;
        if (!stuff_at(s, back, &m)) break;
        /* A cloth's name may close a statement of its own: satin upper and leather sole. */
        if (joined && !sv_item_sense(s->r->lex, &s->items->item[back], SV_WORD_FIBRE)) break;
        at = back;
    }
    return at;
}

/* A percentage that belongs to the material at i, in thousandths; 0: none. */
static int32_t percent_of(const shoe_reader *s, size_t i)
{
    const sv_item *item = s->items->item;
    if (i && item[i - 1].kind == SV_ITEM_NUMBER && !(item[i].gap & SV_GAP_CLAUSE)) return item[i - 1].milli;
    if (i + 1 < s->items->count && item[i + 1].kind == SV_ITEM_NUMBER && item[i + 1].percent &&
        !(item[i + 1].gap & SV_GAP_CLAUSE))
        return item[i + 1].milli;
    return 0;
}

/* The greatest material from item `i` to the end of the statement: by its percentage, else the first named.
 */
static bool greatest_after(shoe_reader *s, size_t i, bool led, stuff *out)
{
    int32_t most = -1;
    size_t start = i, last = i;
    for (; i < s->items->count && i < last + FARTHEST; i++) {
        const sv_item *item = &s->items->item[i];
        bool number = item->kind == SV_ITEM_NUMBER;
        if (i > start && (item->gap & SV_GAP_CLAUSE) &&
            !(number && (item->gap & SV_GAP_CLAUSE) == SV_GAP_COMMA))
            break;
        if (place_at(s, i) != NOWHERE || (sv_item_marks(s->r->lex, item, SV_MARK_WITH) && most >= 0)) break;
        stuff m;
        if (!stuff_at(s, i, &m)) continue;
        /* "... textile and leather outer sole": what stands right before the next part is that part's own. */
        bool of_next = (most >= 0 || (i > start && !led)) && i + 1 < s->items->count &&
                       place_at(s, i + 1) != NOWHERE && !(s->items->item[i + 1].gap & SV_GAP_CLAUSE);
        if (of_next) break;
        int32_t percent = percent_of(s, i);
        last = i;
        s->taken = i + 1;
        if (percent <= most) continue;
        most = percent;
        *out = m;
    }
    return most >= 0;
}

static void put(shoe_reader *s, shoe_place place, const stuff *m)
{
    int fact = place == SOLE ? SV_FACT_SOLE : SV_FACT_UPPER, value = place == SOLE ? m->sole : m->upper;
    const char *because = sv_fact_value_word(fact, value);
    if (value) sv_set(s->r, fact, value, s->from, because);
}

/* Parts from `first` to the one given back are named together: uppers and soles of leather. */
static size_t together(const shoe_reader *s, size_t first)
{
    size_t last = first;
    while (last + 1 < s->items->count) {
        size_t next = last + 1;
        if (sv_item_marks(s->r->lex, &s->items->item[next], SV_MARK_AND)) next++;
        bool joined = next < s->items->count && place_at(s, next) != NOWHERE &&
                      !(s->items->item[next].gap & (SV_GAP_CLAUSE & ~SV_GAP_COMMA));
        if (!joined || (s->items->item[next].gap & SV_GAP_COMMA)) break;
        last = next;
    }
    return last;
}

static size_t read_place(shoe_reader *s, size_t first)
{
    size_t last = together(s, first), found = before(s, first);
    stuff m = {0, 0};
    bool after = last + 1 < s->items->count && leads_on(s, last + 1), have = false;
    if (!after && found != SIZE_MAX) have = stuff_at(s, run_start(s, found), &m);
    if (s->taken < last + 1) s->taken = last + 1;
    if (!have) have = greatest_after(s, last + 1, after, &m);
    for (size_t i = first; i <= last; i++) {
        shoe_place place = place_at(s, i);
        if (place == UPPER) s->r->upper_named = true;
        if (place == SOLE) s->r->sole_named = true;
        if (have && (place == UPPER || place == SOLE)) put(s, place, &m);
    }
    return last + 1;
}

void sv_read_shoe_parts(sv_reader *r)
{
    static const sv_source sources[] = {SV_SOURCE_FIBRE, SV_SOURCE_FEATURES, SV_SOURCE_TEXT,
                                        SV_SOURCE_GARMENT};
    for (size_t k = 0; k < sizeof sources / sizeof *sources; k++) {
        bool column = sources[k] == SV_SOURCE_FIBRE || sources[k] == SV_SOURCE_FEATURES;
        shoe_reader s = {r, &r->items[sources[k]], 0, column ? SV_FROM_STATED : SV_FROM_TEXT};
        for (size_t i = 0; i < s.items->count;)
            i = place_at(&s, i) == NOWHERE ? i + 1 : read_place(&s, i);
    }
}
