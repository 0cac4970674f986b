/* label.c - from the numbers, fibres and part words of a label to its parts: what goes together. */
#include "garment/label.h"

#include <string.h>

#include "garment/atoms.h"

/* ---- parts ---- */

static bool holds_fibre(const sv_atom *a)
{
    return a->kind == SV_ATOM_FIBRE || a->kind == SV_ATOM_NUMBER;
}

/* The next atom that is a fibre or number, from `i` on, not past another part; a->count when there is none.
 */
static size_t fibre_after(const sv_atoms *a, size_t i)
{
    while (i < a->count && !holds_fibre(&a->atom[i]) && a->atom[i].kind != SV_ATOM_PART)
        i++;
    return i < a->count && holds_fibre(&a->atom[i]) ? i : a->count;
}

/* How many words of the text stand between two atoms. */
static size_t words_between(const sv_atoms *a, size_t i, size_t j)
{
    return a->atom[j].item - a->atom[i].item - 1;
}

static bool separates(uint16_t gap)
{
    return gap & (SV_GAP_CLAUSE | SV_GAP_SLASH | SV_GAP_PLUS);
}

typedef enum place { HEADS, FOLLOWS, NEITHER } place;

/* Does a run of part words (first to last) head the fibres after it or follow the fibres before it? In free
 * text a part word that stands beside no fibre is just a word (front pockets). `style` is how the label does
 * it elsewhere. */
static place place_of(const sv_atoms *a, size_t first, size_t last, bool column, place style)
{
    size_t after = fibre_after(a, last + 1);
    bool before = first > 0 && holds_fibre(&a->atom[first - 1]);
    uint16_t left = a->atom[first].gap, right = after < a->count ? a->atom[after].gap : SV_GAP_STOP;
    bool colon = a->atom[last].gap_after & SV_GAP_COLON;
    bool close = a->atom[after < a->count ? after : last].kind == SV_ATOM_NUMBER
                     ? words_between(a, last, after) <= 2
                     : after < a->count && words_between(a, last, after) <= 1;
    bool near_after =
        after < a->count &&
        (colon || (column ? words_between(a, last, after) <= 6 : close && !(right & SV_GAP_CLAUSE)));
    bool near_before =
        before && (column || (words_between(a, first - 1, first) == 0 && !(left & SV_GAP_CLAUSE)) ||
                   (left & SV_GAP_OPEN && a->atom[last].gap_after & SV_GAP_CLOSE));
    if (colon && after < a->count) return HEADS;
    if (near_before && left & SV_GAP_OPEN && a->atom[last].gap_after & SV_GAP_CLOSE) return FOLLOWS;
    if (near_before && !near_after) return FOLLOWS;
    if (near_after && !near_before) return HEADS;
    if (!near_after) return NEITHER;
    if (separates(left) && !separates(right)) return HEADS;
    if (separates(right) && !separates(left)) return FOLLOWS;
    return style;
}

/* A label that begins with a part heads its fibres with parts; one that ends with a part lets them follow. */
static place style_of(const sv_atoms *a)
{
    if (a->count == 0 || a->atom[0].kind == SV_ATOM_PART) return HEADS;
    return a->atom[a->count - 1].kind == SV_ATOM_PART ? FOLLOWS : HEADS;
}

/* Shell and lining together: 100% cotton. */
#define MOST_TOGETHER 4
typedef struct together {
    sv_part part[MOST_TOGETHER];
    size_t count;
} together;

static void join_part(together *t, sv_part part)
{
    for (size_t i = 0; i < t->count; i++) {
        if (t->part[i] == part) return;
    }
    if (t->count < MOST_TOGETHER) t->part[t->count++] = part;
}

/* ---- reading ---- */

typedef struct reading {
    const sv_wordbook *lex;
    sv_atoms *a;
    sv_items *items;
    sv_label *out;
    bool column, number_after;
    int unknown_fibre, imitation_fur;
} reading;

static sv_label_part *new_part(sv_label *out, sv_part part)
{
    if (out->parts == SV_LABEL_PARTS) return NULL;
    sv_label_part *p = &out->part[out->parts++];
    *p = (sv_label_part){.part = part};
    return p;
}

static sv_label_part *last_of(sv_label *out, sv_part part)
{
    for (size_t i = out->parts; i-- > 0;) {
        if (out->part[i].part == part) return &out->part[i];
    }
    return NULL;
}

static int32_t total(const sv_label_part *p)
{
    int32_t sum = 0;
    for (size_t i = 0; i < p->count; i++)
        sum += p->fibre[i].milli > 0 ? p->fibre[i].milli : 0;
    return sum;
}

static bool is_full(const sv_label_part *p)
{
    return total(p) >= 99500;
}

/* 99.5 % may be all, or miss the last 0.5 % elastane. */
static bool has_room(const sv_label_part *p, const sv_bound *b)
{
    int32_t sum = total(p);
    return !is_full(p) || (sum < 100000 && b->milli > 0 && sum + b->milli <= 100000);
}

static sv_label_fibre *fibre_in(sv_label_part *p, uint16_t fibre)
{
    for (size_t i = 0; i < p->count; i++) {
        if (p->fibre[i].fibre == fibre) return &p->fibre[i];
    }
    return NULL;
}

static bool says_nothing_new(sv_label_part *p, const sv_bound *bound, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        const sv_label_fibre *f = fibre_in(p, bound[i].fibre);
        if (!f || (bound[i].milli >= 0 && bound[i].milli != f->milli)) return false;
    }
    return true;
}

/* Imitation fur (80% acrylic, 20% polyester): what it is of says more than its name. */
static bool is_of_imitation_fur(const reading *r, const sv_label_part *p, const sv_bound *b)
{
    return p->count == 1 && p->fibre[0].fibre == r->imitation_fur && b->milli > 0 && b->milli < 100000;
}

/* Where the fibres of a statement about a part belong: with what is said of it already (the same label often
 * stands in several languages), or apart, when that is full or the part has no name of its own. */
static sv_label_part *target_of(const reading *r, sv_part part, const sv_bound *bound, size_t n)
{
    sv_label *out = r->out;
    sv_label_part *p = last_of(out, part);
    if (!p || says_nothing_new(p, bound, n)) return p ? p : new_part(out, part);
    if (is_of_imitation_fur(r, p, &bound[0])) return p;
    if (has_room(p, &bound[0]) && part != SV_PART_OTHER) return p;
    return new_part(out, part == SV_PART_SHELL ? SV_PART_OTHER : part);
}

/* Adds a fibre to a part, unless that is full: then it is of another part, which is not named. */
static sv_label_part *put_fibre(const reading *r, sv_label_part *p, const sv_bound *b)
{
    if (is_full(p) && is_of_imitation_fur(r, p, b)) p->count = 0;
    bool full = !has_room(p, b);
    sv_label_fibre *have = fibre_in(p, b->fibre);
    if (have) {
        if (have->milli < 0)
            have->milli = b->milli;
        else if (b->milli > 0 && !full && have->milli != b->milli)
            have->milli += b->milli;
        return p;
    }
    if (full && b->milli < 0) return p;
    if (full) p = new_part(r->out, SV_PART_OTHER);
    if (!p || p->count == SV_LABEL_FIBRES) return p;
    p->fibre[p->count++] = (sv_label_fibre){b->fibre, b->milli, false};
    return p;
}

static void put_statement(reading *r, sv_part part, const sv_bound *bound, size_t n, bool blend)
{
    if (!n) return;
    sv_label_part *p = target_of(r, part, bound, n);
    if (p && blend) p->blend = true;
    for (size_t i = 0; i < n && p; i++)
        p = put_fibre(r, p, &bound[i]);
}

/* Numbers and fibres from `from` up to `to` belong to these parts. */
static void read_segment(reading *r, size_t from, size_t to, const together *parts)
{
    sv_bound bound[SV_BOUND_MAX];
    sv_segment seg = {.lex = r->lex,
                      .a = r->a,
                      .from = from,
                      .to = to,
                      .column = r->column,
                      .number_after = r->number_after,
                      .unknown_fibre = r->unknown_fibre,
                      .label = r->out};
    size_t n = sv_atoms_bind(&seg, bound, r->items);
    for (size_t p = 0; p < parts->count; p++)
        put_statement(r, parts->part[p], bound, n, seg.blend);
    for (size_t i = 0; i < n; i++) {
        r->items->item[bound[i].item].used = true;
        if (bound[i].milli >= 0) r->out->percentages = true;
    }
}

static size_t end_of_run(const sv_atoms *a, size_t i)
{
    while (i + 1 < a->count && a->atom[i + 1].kind == SV_ATOM_PART &&
           !((a->atom[i].gap_after | a->atom[i + 1].gap) &
             (SV_GAP_COLON | SV_GAP_BREAK | SV_GAP_STOP | SV_GAP_CLOSE)))
        i++;
    return i;
}

/* Two part words with nothing but blanks or "of" between them name one part: lining (of the) body. */
static bool is_one_name(const reading *r, const sv_atom *a, const sv_atom *b)
{
    if (b->gap & ~(SV_GAP_BLANK | SV_GAP_HYPHEN)) return false;
    for (uint32_t i = a->item + 1; i < b->item; i++) {
        if (sv_item_marks(r->lex, &r->items->item[i], SV_MARK_AND)) return false;
    }
    return true;
}

/* The lining of a part is a lining; that of sleeves or pockets a lesser one. */
static sv_part lining_of(sv_part part)
{
    return part == SV_PART_SHELL || part == SV_PART_LINING || part == SV_PART_INSOLE ? SV_PART_LINING
                                                                                     : SV_PART_LESSER_LINING;
}

/* The parts that a run of part words names. */
static together named_by(const reading *r, size_t first, size_t last)
{
    together named = {.count = 0};
    bool rib = false;
    for (size_t k = first; k <= last; k++)
        rib = rib || r->a->atom[k].value == SV_PART_RIB;
    for (size_t k = first; k <= last; k++) {
        const sv_atom *a = &r->a->atom[k];
        sv_part part = (sv_part)a->value;
        if (k < last && is_one_name(r, a, a + 1) && a[1].value != a->value &&
            (a->value == SV_PART_LINING || a[1].value == SV_PART_LINING)) {
            part = lining_of(a->value == SV_PART_LINING ? (sv_part)a[1].value : part);
            k++;
        }
        /* A collar with the cuffs is knitted with them. */
        if (!(rib && part == SV_PART_COLLAR)) join_part(&named, part);
    }
    return named;
}

/* A word that nobody knows stands between the fibres and the part word after them. */
static bool cut_off(const reading *r, size_t first)
{
    const sv_atom *before = &r->a->atom[first - 1], *part = &r->a->atom[first];
    for (uint32_t i = before->item + 1; i < part->item; i++) {
        if (r->items->item[i].kind == SV_ITEM_UNKNOWN) return true;
    }
    return false;
}

static void use_part_words(const reading *r, size_t first, size_t last)
{
    for (size_t i = first; i <= last; i++)
        r->items->item[r->a->atom[i].item].used = true;
}

static const together main_part = {{SV_PART_SHELL}, 1};

static void read_parts(reading *r)
{
    const sv_atoms *a = r->a;
    place style = style_of(a);
    together current = main_part;
    size_t from = 0;
    for (size_t i = 0; i < a->count; i++) {
        if (a->atom[i].kind != SV_ATOM_PART) continue;
        size_t last = end_of_run(a, i);
        place where = place_of(a, i, last, r->column, style);
        if (where == FOLLOWS && cut_off(r, i)) where = NEITHER;
        if (where != NEITHER) {
            together named = named_by(r, i, last);
            size_t start = where == FOLLOWS ? sv_atoms_last_statement(a, from, i) : i;
            read_segment(r, from, start, &current);
            if (where == FOLLOWS) read_segment(r, start, i, &named);
            current = where == FOLLOWS ? main_part : named;
            from = last + 1;
            use_part_words(r, i, last);
        }
        i = last;
    }
    read_segment(r, from, a->count, &current);
}

/* Where the percentages make 100, a material without one is only the look of the cloth (Kunstpelz 100%
 * Polyester). */
static void drop_looks(sv_label_part *p)
{
    if (total(p) < 99500) return;
    size_t kept = 0;
    for (size_t i = 0; i < p->count; i++) {
        if (p->fibre[i].milli >= 0) p->fibre[kept++] = p->fibre[i];
    }
    p->count = kept;
}

/* One fibre without a percentage among others with theirs has what they leave. */
static void work_out_rest(sv_label_part *p)
{
    sv_label_fibre *open = NULL;
    if (p->blend || p->count < 2) return;
    for (size_t i = 0; i < p->count; i++) {
        if (p->fibre[i].milli >= 0) continue;
        if (open) return;
        open = &p->fibre[i];
    }
    int32_t left = 100000 - total(p);
    if (!open || left <= 0) return;
    open->milli = left;
    open->rest = true;
}

/* Falling, those without a percentage first as labels name the chief fibre first; equal ones stay as given.
 */
static void sort_fibres(sv_label_part *p)
{
    for (size_t i = 1; i < p->count; i++) {
        sv_label_fibre moved = p->fibre[i];
        size_t at = i;
        while (at && moved.milli >= 0 && p->fibre[at - 1].milli >= 0 &&
               p->fibre[at - 1].milli < moved.milli) {
            p->fibre[at] = p->fibre[at - 1];
            at--;
        }
        p->fibre[at] = moved;
    }
}

static void sort_parts(sv_label *out)
{
    for (size_t i = 1; i < out->parts; i++) {
        sv_label_part moved = out->part[i];
        size_t at = i;
        for (; at && out->part[at - 1].part > moved.part; at--)
            out->part[at] = out->part[at - 1];
        out->part[at] = moved;
    }
}

static const sv_label_part *find_part(const sv_label *out, sv_part part)
{
    for (size_t i = 0; i < out->parts; i++) {
        if (out->part[i].part == part && out->part[i].count) return &out->part[i];
    }
    return NULL;
}

static bool same_fibres(const sv_label_part *a, const sv_label_part *b)
{
    for (size_t i = 0; i < a->count; i++) {
        if (a->count != b->count || a->fibre[i].fibre != b->fibre[i].fibre) return false;
    }
    return a->count == b->count;
}

/* A lesser lining is the lining where no other is named, else another part of which nothing is said twice; a
 * trimming of down is a filling. */
static void settle_parts(const sv_wordbook *lex, sv_label *out)
{
    bool filled = find_part(out, SV_PART_FILLING) != NULL;
    for (size_t i = 0; i < out->parts; i++) {
        sv_label_part *p = &out->part[i];
        bool down = p->count && strcmp(lex->fibre[p->fibre[0].fibre].group, "down") == 0;
        if (p->part == SV_PART_TRIM && down && !filled) p->part = SV_PART_FILLING;
        if (p->part != SV_PART_LESSER_LINING) continue;
        const sv_label_part *lining = find_part(out, SV_PART_LINING);
        p->part = lining ? SV_PART_OTHER : SV_PART_LINING;
        if (lining && same_fibres(lining, p)) p->count = 0;
    }
}

sv_status sv_label_read(const sv_wordbook *lex, sv_arena *arena, sv_items *items, bool column, sv_label *out)
{
    sv_atoms atoms;
    *out = (sv_label){.parts = 0};
    sv_status s = sv_atoms_of(lex, arena, items, column, &atoms);
    if (s) return s;
    reading r = {.lex = lex, .a = &atoms, .items = items, .out = out, .column = column};
    r.number_after = sv_atoms_style(&atoms, 0, atoms.count, items) > 0;
    r.unknown_fibre = sv_fibre_index(lex, "unknown fibres");
    r.imitation_fur = sv_fibre_index(lex, "imitation fur");
    read_parts(&r);
    settle_parts(lex, out);
    size_t kept = 0;
    for (size_t i = 0; i < out->parts; i++) {
        if (!out->part[i].count) continue;
        drop_looks(&out->part[i]);
        work_out_rest(&out->part[i]);
        sort_fibres(&out->part[i]);
        out->part[kept++] = out->part[i];
    }
    out->parts = kept;
    sort_parts(out);
    return SV_OK;
}
