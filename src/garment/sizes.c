/* sizes.c - age and height in a text: a baby's piece is one for a body up to 86 cm (HS 2022 chapter 61 note
 * 6, chapter 62 note 5), which shops mark with 0 to 24 months or the sizes 50 to 86. */
#include "garment/reader.h"

#include <string.h>
#include <strings.h>

enum { SIZE_BABY = 1, SIZE_CHILD = 2 };
#define BABY_CM       86
#define BABY_MONTHS   24
#define CHILD_CM      176
#define STOUT_DECITEX 67
enum { ALL_BODY = 1 << 0 | 1 << 1 | 1 << 2 | 1 << 3 | 1 << 4 }; /* scopes of clothing */

static int whole(const sv_item *i)
{
    return i->kind == SV_ITEM_NUMBER && i->milli % 1000 == 0 ? i->milli / 1000 : -1;
}

static bool follows(const sv_reader *r, const sv_items *items, size_t i, sv_mark mark)
{
    if (i + 1 >= items->count) return false;
    const sv_item *next = &items->item[i + 1];
    /* One letter is an age only when it is glued on (6m); alone it is a size of grown-ups. */
    bool letter = next->to - next->from == 1;
    return sv_item_marks(r->lex, next, mark) && !(next->gap & SV_GAP_CLAUSE) && (!letter || next->gap == 0);
}

static bool precedes(const sv_reader *r, const sv_items *items, size_t i, sv_mark mark)
{
    for (size_t back = 1; back <= 2 && back <= i; back++) {
        if (sv_item_marks(r->lex, &items->item[i - back], mark)) return true;
    }
    return false;
}

/* Words for the young, without which 80 cm may be the length of a belt. */
static bool is_young(const sv_reader *r)
{
    uint16_t young = 1u << SV_WEARER_BABY | 1u << SV_WEARER_BOYS | 1u << SV_WEARER_GIRLS, all = 0;
    for (int i = 0; i <= SV_FROM_STATED; i++)
        all |= r->wearers[i];
    return r->out->child || (all & young) ||
           (r->article >= 0 && strcmp(r->lex->article[r->article].kind, "babywear") == 0);
}

static int judge_number(const sv_reader *r, const sv_items *items, size_t i)
{
    int n = whole(&items->item[i]);
    if (n < 0 || items->item[i].percent) return 0;
    if (follows(r, items, i, SV_MARK_MONTHS)) return n <= BABY_MONTHS ? SIZE_BABY : SIZE_CHILD;
    if (follows(r, items, i, SV_MARK_YEARS)) return n < 2 ? SIZE_BABY : n <= 16 ? SIZE_CHILD : 0;
    bool height = precedes(r, items, i, SV_MARK_HEIGHT);
    bool young = is_young(r),
         sized = follows(r, items, i, SV_MARK_CM) || precedes(r, items, i, SV_MARK_SIZE) || height;
    if (n < 44 || n > CHILD_CM || !sized || !(young || height)) return 0;
    return n <= BABY_CM ? SIZE_BABY : n >= 92 ? SIZE_CHILD : 0;
}

/* "62/68", "80-86": sizes of small children stand 6 cm apart, those of grown-ups do not. */
static bool is_double_size(const sv_items *items, size_t i)
{
    if (!i) return false;
    int low = whole(&items->item[i - 1]), high = whole(&items->item[i]);
    bool close = (items->item[i].gap & (SV_GAP_SLASH | SV_GAP_HYPHEN)) != 0;
    return close && low >= 44 && high <= BABY_CM && high == low + 6 && (low - 44) % 6 == 0;
}

/* "0-36 months" begins with a baby's size. */
static bool from_birth(const sv_reader *r, const sv_items *items, size_t i)
{
    int low = i ? whole(&items->item[i - 1]) : -1;
    return low >= 0 && low < BABY_MONTHS && follows(r, items, i, SV_MARK_MONTHS) &&
           items->item[i].gap & (SV_GAP_HYPHEN | SV_GAP_SLASH);
}

static int judge(sv_reader *r, const sv_items *items)
{
    int size = 0;
    for (size_t i = 0; i < items->count; i++) {
        /* "6-12 months", "80/86": the larger one, which stands last, decides. */
        int one = judge_number(r, items, i);
        if (!one && is_double_size(items, i) && (r->scope & ALL_BODY)) one = SIZE_BABY;
        if (one && from_birth(r, items, i)) r->size_from = SIZE_BABY;
        if (one) size = one;
    }
    return size;
}

/* 80 denier are 89 decitex: from 60 denier on the yarn counts as stout (1 denier = 10/9 decitex). */
static void read_denier(sv_reader *r, const sv_items *items)
{
    for (size_t i = 0; i + 1 < items->count; i++) {
        const sv_item *unit = &items->item[i + 1];
        const char *word = items->source + unit->from;
        size_t bytes = unit->to - unit->from;
        bool denier = (bytes == 6 && strncasecmp(word, "denier", 6) == 0) ||
                      (bytes == 3 && strncasecmp(word, "den", 3) == 0);
        int n = whole(&items->item[i]);
        if (!denier || n <= 0 || unit->gap & SV_GAP_CLAUSE) continue;
        bool stout = n * 10 >= STOUT_DECITEX * 9;
        sv_set(r, SV_FACT_DECITEX, stout ? SV_DECITEX_FROM_67 : SV_DECITEX_UNDER_67, SV_FROM_STATED,
               "denier");
    }
}

/* "50 x 70": sides, not pieces. */
static bool is_side(const sv_items *items, size_t i)
{
    const sv_item *item = items->item;
    bool before = i > 1 && item[i - 2].kind == SV_ITEM_NUMBER && item[i - 1].to - item[i - 1].from == 1;
    bool after =
        i + 2 < items->count && item[i + 2].kind == SV_ITEM_NUMBER && item[i + 1].to - item[i + 1].from == 1;
    return before || after;
}

/* "2 men's cotton shirts": a whole number at the very beginning, before words that are understood. */
static int leading_number(const sv_items *items)
{
    if (items->count < 2) return 0;
    const sv_item *next = &items->item[1];
    int n = whole(&items->item[0]);
    bool plain = !items->item[0].percent && next->kind == SV_ITEM_KNOWN && next->gap == SV_GAP_BLANK;
    return plain && n > 0 && n < 1000 ? n : 0;
}

void sv_read_sizes(sv_reader *r)
{
    static const sv_source sources[] = {SV_SOURCE_TEXT, SV_SOURCE_GARMENT, SV_SOURCE_FEATURES};
    for (size_t k = 0; k < sizeof sources / sizeof *sources && !r->size; k++)
        r->size = judge(r, &r->items[sources[k]]);
    for (size_t k = 0; k < sizeof sources / sizeof *sources; k++)
        read_denier(r, &r->items[sources[k]]);
    for (size_t k = 0; k < sizeof sources / sizeof *sources && !r->out->pieces; k++) {
        const sv_items *items = &r->items[sources[k]];
        for (size_t i = 0; i < items->count; i++) {
            int n = whole(&items->item[i]);
            bool pack = n > 1 && n < 100 && !is_side(items, i) &&
                        (follows(r, items, i, SV_MARK_PACK) || precedes(r, items, i, SV_MARK_PACK));
            if (pack) r->out->pieces = n;
        }
    }
    if (!r->out->pieces) r->out->pieces = leading_number(&r->items[SV_SOURCE_TEXT]);
}

/* ---- wearer ---- */

static bool has(uint16_t bits, int value)
{
    return bits >> value & 1;
}

/* Of several wearers named at once: a baby's goes before girls' and boys', these before grown-ups'; both
 * sexes are unisex. */
static int one_of(uint16_t bits)
{
    if (has(bits, SV_WEARER_BABY)) return SV_WEARER_BABY;
    bool boys = has(bits, SV_WEARER_BOYS), girls = has(bits, SV_WEARER_GIRLS);
    bool men = has(bits, SV_WEARER_MEN), women = has(bits, SV_WEARER_WOMEN);
    if ((boys && girls) || (men && women) || has(bits, SV_WEARER_UNISEX)) return SV_WEARER_UNISEX;
    if (boys) return SV_WEARER_BOYS;
    if (girls) return SV_WEARER_GIRLS;
    if (men) return SV_WEARER_MEN;
    if (women) return SV_WEARER_WOMEN;
    return has(bits, SV_WEARER_NONE) ? SV_WEARER_NONE : 0;
}

static int of_child(uint16_t bits)
{
    if (has(bits, SV_WEARER_BOYS) && !has(bits, SV_WEARER_GIRLS)) return SV_WEARER_BOYS;
    if (has(bits, SV_WEARER_GIRLS) && !has(bits, SV_WEARER_BOYS)) return SV_WEARER_GIRLS;
    return 0;
}

void sv_read_wearer(sv_reader *r)
{
    sv_fact *f = &r->out->fact[SV_FACT_WEARER];
    for (int from = SV_FROM_STATED; from > SV_FROM_NOWHERE; from--) {
        int value = one_of(r->wearers[from]);
        if (!value) continue;
        *f = (sv_fact){(uint16_t)value, (uint8_t)from, r->wearer_word[from]};
        break;
    }
    r->out->grown = r->size == SIZE_CHILD;
    bool young = f->value != SV_WEARER_MEN && f->value != SV_WEARER_WOMEN && f->value != SV_WEARER_NONE;
    if (r->size == SIZE_BABY && young && f->value != SV_WEARER_BABY) {
        /* The height decides, whatever sex the seller names: up to 86 cm it is a baby's. */
        *f = (sv_fact){SV_WEARER_BABY, f->from > SV_FROM_TEXT ? f->from : SV_FROM_TEXT, "size"};
        return;
    }
    if (r->size == SIZE_BABY && f->value && !young) r->out->unread = true; /* a grown-up's in a baby's size */
    if (f->from == SV_FROM_STATED) return;
    uint16_t said = r->wearers[SV_FROM_TEXT];
    if (r->size == SIZE_BABY) {
        *f = (sv_fact){SV_WEARER_BABY, SV_FROM_TEXT, "size"};
    } else if (r->size == SIZE_CHILD && r->size_from == SIZE_BABY && f->value == SV_WEARER_BABY) {
        r->out->unread = true; /* in part a baby's, in part larger */
    } else if (r->size == SIZE_CHILD && f->value == SV_WEARER_BABY) {
        int child = of_child(said);
        *f = (sv_fact){(uint16_t)(child ? child : SV_WEARER_UNISEX), SV_FROM_TEXT, "size"};
        r->out->child = true;
    } else if (r->out->child && f->from < SV_FROM_TEXT) {
        *f = (sv_fact){SV_WEARER_UNISEX, SV_FROM_TEXT, "children"};
    }
}
