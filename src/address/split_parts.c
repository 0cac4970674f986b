/* split_parts.c - parts that are named as such: "Quận 1", "Chiyoda-ku", "обл.", "Kel. Sukajadi",
 * "แขวงคลองเตย". */
#include <string.h>
#include <unicode/uchar.h>

#include "address/split.h"
#include "base/utf8.h"

static int part_of(const sp_job *j, const char *key, size_t n, bool after)
{
    unsigned owner = sp_number(j->place->place.code) * 2 + after;
    uint32_t part;
    return sv_name_find(&j->data->parts, (uint16_t)owner, key, n, &part) ? (int)part - 1 : -1;
}

static sp_column column_of(int part)
{
    switch (part) {
    case SP_PART_DEPENDENT: return SP_DEPENDENT;
    case SP_PART_REGION: return SP_REGION;
    case SP_PART_STREET: return SP_STREET;
    default: return SP_TOWN;
    }
}

/* Written on to the name: "г.Москва", "Kec.Sukajadi", "ต.บางตลาด"; or, in scripts without blanks,
 * "แขวงคลองเตย". Parts them. */
static void part_prefixes(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        sp_word *w = &j->word[i];
        if (!sp_open(j, i) || j->words == j->room) continue;
        const char *p = sp_text(j, i), *end = j->text + w->end;
        const char *dot = memchr(p, '.', (size_t)(end - p));
        char key[64];
        if (dot && dot + 1 < end && dot - p < 40) {
            size_t n = sv_alias_key(key, sizeof key, p, (size_t)(dot - p));
            if (n != SIZE_MAX && part_of(j, key, n, false) >= 0) {
                size_t at = sp_split_at(j, (uint32_t)(dot + 1 - j->text));
                if (at < j->words) j->word[at].gap = SP_GAP_GLUED;
            }
            continue;
        }
        uint32_t first = sv_utf8_next(&(const char *){p}, end);
        if (first < 0xE00 || first > 0xEFF) continue; /* Thai and Lao are written without blanks */
        const char *q = p;
        size_t letters = 0, best = 0;
        while (q < end && letters < 9) {
            sv_utf8_next(&q, end);
            letters++;
            size_t n = letters >= 3 ? sv_alias_key(key, sizeof key, p, (size_t)(q - p)) : SIZE_MAX;
            if (n != SIZE_MAX && part_of(j, key, n, false) >= 0 && q < end) best = (size_t)(q - p);
        }
        if (best) sp_split_at(j, w->at + (uint32_t)best);
    }
}

/* A small letter alone that opens its piece before a capital or a known town is the sign: "г Казань". */
static bool small_mark(const sp_job *j, size_t i)
{
    const char *p = sp_text(j, i), *q = sp_text(j, i + 1);
    uint32_t sign = sv_utf8_next(&p, j->text + j->bytes), name = sv_utf8_next(&q, j->text + j->bytes);
    bool opens = i == 0 || sp_breaks(&j->word[i]);
    if (!opens || !u_islower((UChar32)sign)) return false;
    return u_isupper((UChar32)name) || sp_phrase(j, i + 1, SP_BIT(SP_IS_TOWN));
}

/* A dot ends the abbreviation, or a number follows. */
static bool sure_mark(const sp_job *j, size_t last, size_t n)
{
    const sp_word *w = &j->word[last];
    if (j->text[w->end - 1] == '.' || last + 1 >= j->words) return true;
    return j->word[last + 1].gap == SP_GAP_GLUED ||
           (n <= 2 && j->word[last + 1].digits && !j->word[last + 1].letters);
}

/* A mark before a name at word i: its words, *part; 0 for none. */
static size_t mark_before(const sp_job *j, size_t i, int *part)
{
    size_t to = i;
    while (to < j->words && to - i < 3 && sp_open(j, to) && (to == i || !sp_breaks(&j->word[to])))
        to++;
    for (; to > i; to--) {
        const char *key;
        size_t n = sp_span_key(j, i, to, &key);
        *part = part_of(j, key, n, false);
        if (*part < 0) continue;
        if (to == j->words || sp_breaks(&j->word[to]) || !sp_open(j, to)) continue;
        const sp_word *w = &j->word[i];
        bool ascii = (unsigned char)*sp_text(j, i) < 0x80 && w->end - w->at <= 3;
        bool capitals = ascii && w->letters == 2 && sp_text(j, i)[0] <= 'Z' && sp_text(j, i)[1] <= 'Z';
        bool opens = sp_breaks(w) || i == 0 || !sp_open(j, i - 1);
        bool shorty = to == i + 1 && (w->letters == 1 || (w->letters == 2 && ascii && !(capitals && opens)));
        if (shorty && !sure_mark(j, to - 1, n) && !(w->letters == 1 && small_mark(j, i))) continue;
        bool unit = w->mask & SP_BIT(SP_IS_UNIT) || w->first & SP_BIT(SP_IS_FRONT);
        bool number = j->word[to].digits > 0;
        if (number && !j->data->habit[sp_number(j->place->place.code)].numbered && *part != SP_PART_DEPENDENT)
            continue;
        if (number && unit && shorty && !j->data->habit[sp_number(j->place->place.code)].numbered) continue;
        if (unit && shorty && !opens) continue;
        return to - i;
    }
    return 0;
}

/* A mark behind a name that ends at word i: a word of its own or behind a hyphen. */
static int mark_after(const sp_job *j, size_t i, bool *hyphen)
{
    const sp_word *w = &j->word[i];
    const char *key = sp_key(j, w);
    size_t n = sp_key_length(w), cut = n;
    *hyphen = false;
    int part = part_of(j, key, n, true);
    if (part >= 0) return part;
    while (cut > 0 && key[cut - 1] != ' ')
        cut--;
    if (cut == 0 || w->digits) return -1;
    *hyphen = true;
    return part_of(j, key + cut, n - cut, true);
}

/* Two words that mark together: "m. sav.", "metropolitan city". */
static int mark_after_two(const sp_job *j, size_t i)
{
    if (i == 0 || sp_breaks(&j->word[i]) || !sp_open(j, i - 1)) return -1;
    const char *key;
    size_t n = sp_span_key(j, i - 1, i + 1, &key);
    return part_of(j, key, n, true);
}

static void give_part(sp_job *j, size_t from, size_t mark, size_t to, int part)
{
    if (part == SP_PART_DROP) {
        sp_give(j, from, mark, SP_DROPPED);
        from = mark;
        part = SP_PART_CITY;
        /* No town of two names: what stands between figures and street words is none. */
    }
    if (part == SP_PART_TOWN) part = SP_PART_CITY;
    sp_column column = column_of(part);
    if (column == SP_TOWN && sp_given(j, SP_TOWN) && part != SP_PART_CITY) column = SP_REGION;
    sp_give(j, from, to, column);
}

/* The end of the name behind a mark: the piece's end, the next mark, a region's name of its own behind one
 * word. */
static size_t name_end(const sp_job *j, size_t from)
{
    size_t to = from + 1;
    int part;
    while (to < j->words && !sp_breaks(&j->word[to]) && sp_open(j, to)) {
        if (mark_before(j, to, &part)) break;
        to++;
    }
    /* "อ.ปากเกร็ด นนทบุรี 11120": a region at the end is the region. */
    for (size_t n = 1; n <= 3 && from + n < to; n++) {
        if (!sp_breaks(&j->word[to - n]) &&
            (sp_phrase(j, to - n, SP_BIT(SP_IS_AREA)) == n ||
             sv_region_find(j->place, sp_text(j, to - n), sp_span(j, to - n, to))))
            return to - n;
    }
    return to;
}

static size_t name_start(const sp_job *j, size_t i)
{
    size_t from = i;
    while (from > 0 && !sp_breaks(&j->word[from]) && sp_open(j, from - 1)) {
        const sp_word *w = &j->word[from - 1];
        if (w->mask & (SP_BIT(SP_IS_BACK) | SP_BIT(SP_IS_END))) break;
        if (w->digits &&
            (sp_breaks(w) || from < 2 || !sp_open(j, from - 2) || !sp_breaks(&j->word[i > 2 ? i - 3 : 0])))
            break;
        from--;
    }
    return from;
}

static void before_marks(sp_job *j)
{
    bool town_of_two = false;
    size_t town_from = 0, town_to = 0;
    for (size_t i = 0; i < j->words; i++) {
        int part;
        size_t n = sp_open(j, i) ? mark_before(j, i, &part) : 0;
        if (!n) continue;
        size_t to = name_end(j, i + n);
        if (part == SP_PART_TOWN) { /* a town, or the region above another */
            town_of_two = true;
            town_from = i;
            town_to = to;
            i = to - 1;
            continue;
        }
        bool town = part == SP_PART_CITY || part == SP_PART_DROP;
        if (town && !j->data->habit[sp_number(j->place->place.code)].numbered && sp_has_digit(j, i + n, to))
            continue;
        give_part(j, i, i + n, to, part);
        i = to - 1;
    }
    if (town_of_two) sp_give(j, town_from, town_to, sp_given(j, SP_TOWN) ? SP_REGION : SP_TOWN);
}

/* "Seoul-si Gangnam-gu": a city that is the region above the district. */
static bool names_region(const sp_job *j, size_t from, size_t to, int part)
{
    if (part != SP_PART_CITY || to != from + 1 || strcmp(j->place->place.code, "KR") != 0) return false;
    return sv_region_find(j->place, sp_text(j, from), sp_span(j, from, to)) != NULL;
}

static void after_marks(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        if (!sp_open(j, i)) continue;
        bool hyphen;
        int part = mark_after_two(j, i);
        size_t marks = part >= 0 ? 2 : 1;
        if (part < 0) {
            part = mark_after(j, i, &hyphen);
            if (part < 0) continue;
            marks = hyphen ? 0 : 1;
        }
        size_t from = marks ? name_start(j, i + 1 - marks) : i;
        if (marks && from == i + 1 - marks) continue; /* the mark alone */
        if (part == SP_PART_STREET) {
            if (!marks) continue;
            sp_give(j, from, i + 1, SP_STREET);
            continue;
        }
        if (part == SP_PART_DROP) {
            sp_give(j, from, i + 1 - marks, SP_TOWN);
            sp_give(j, i + 1 - marks, i + 1, SP_DROPPED);
            continue;
        }
        sp_give(j, from, i + 1, names_region(j, from, i + 1, part) ? SP_REGION : column_of(part));
    }
}

void sp_parts(sp_job *j)
{
    part_prefixes(j);
    sp_refresh(j);
    before_marks(j);
    after_marks(j);
}
