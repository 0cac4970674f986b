/* measures.c - sides of scarves and stitches of knits told in numbers: HS 2022 chapter 62 note 8 (a square of
 * no side over 60 cm is a handkerchief), chapter 61 note 4 (ten stitches a centimetre). */
#include "garment/reader.h"

#include <string.h>
#include <strings.h>

#include "base/utf8.h"

#define SIDE_MM  600
#define FINE     10 /* stitches a centimetre */
#define NO_SIDES ((sides){0, 0})

typedef struct sides {
    int mm, other_mm; /* 0: not told */
} sides;

/* ---- numbers and units in running text ---- */

static const char *past_blanks(const char *p)
{
    while (*p == ' ')
        p++;
    return p;
}

static bool take_word(const char **p, const char *word)
{
    size_t n = strlen(word);
    if (strncasecmp(*p, word, n) != 0) return false;
    *p += n;
    return true;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* "52", "52.5", "52,5" in tenths; false: no number of up to four figures. */
static bool take_number(const char **p, int *tenths)
{
    const char *q = *p;
    int n = 0, figures = 0;
    for (; is_digit(*q); q++, figures++) {
        if (figures == 4) return false;
        n = n * 10 + (*q - '0');
    }
    if (!figures) return false;
    bool fraction = (*q == '.' || *q == ',') && is_digit(q[1]) && !is_digit(q[2]);
    *tenths = n * 10 + (fraction ? q[1] - '0' : 0);
    *p = q + (fraction ? 2 : 0);
    return true;
}

typedef struct length_unit {
    const char *word;
    int mm; /* times ten */
} length_unit;

/* Longer words before their beginnings. */
static const length_unit units[] = {
    {"centimetre", 100}, {"centimeter", 100}, {"zentimeter", 100}, {"cm", 100}, {"см", 100},
    {"センチ", 100},     {"厘米", 100},       {"公分", 100},       {"mm", 10},  {"inch", 254},
    {"in.", 254},        {"″", 254},          {"”", 254},          {"\"", 254}};

/* Millimetres times ten of one unit; 0: no unit stands here. */
static int take_unit(const char **p)
{
    const char *q = past_blanks(*p);
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        if (!take_word(&q, units[i].word)) continue;
        *p = q;
        return units[i].mm;
    }
    return 0;
}

static bool take_times(const char **p)
{
    static const char *const signs[] = {"x", "×", "*", "х", "by", "✕", "auf"};
    const char *q = past_blanks(*p);
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        if (!take_word(&q, signs[i])) continue;
        *p = past_blanks(q);
        return true;
    }
    return false;
}

/* ---- sides ---- */

static sides sides_at(const char *p)
{
    int first = 0, second = 0;
    if (!take_number(&p, &first)) return NO_SIDES;
    int unit = take_unit(&p);
    bool two = take_times(&p) && take_number(&p, &second);
    int last = two ? take_unit(&p) : 0;
    /* Two bare numbers are centimetres, or sizes that a scarf has not. */
    int each = last ? last : unit ? unit : two ? 100 : 0;
    if (!each) return NO_SIDES;
    return (sides){first * (unit ? unit : each) / 100, second * each / 100};
}

static sides sides_in(const char *text)
{
    sides best = NO_SIDES;
    for (const char *p = text; *p; p++) {
        if (!is_digit(*p) || (p > text && (is_digit(p[-1]) || p[-1] == '.' || p[-1] == ','))) continue;
        sides s = sides_at(p);
        if (s.mm && s.other_mm) return s;
        if (s.mm > best.mm) best = s;
    }
    return best;
}

/* Not more than a tenth apart. */
static bool is_square(sides s)
{
    int more = s.mm > s.other_mm ? s.mm : s.other_mm, less = s.mm + s.other_mm - more;
    return less * 10 >= more * 9;
}

static void read_sides(sv_reader *r, const char *text)
{
    sides s = sides_in(text);
    if (!s.mm) return;
    bool long_side = s.mm > SIDE_MM || s.other_mm > SIDE_MM;
    int square = s.other_mm ? (is_square(s) ? SV_YES : SV_NO) : 0;
    bool told = square || long_side || sv_fact_is(r->out, SV_FACT_SQUARE, SV_YES);
    if (square) sv_set(r, SV_FACT_SQUARE, square, SV_FROM_TEXT, "sides");
    if (told) sv_set(r, SV_FACT_SIDE_OVER_60, long_side ? SV_YES : SV_NO, SV_FROM_TEXT, "sides");
}

/* ---- stitches ---- */

/* The number before "stitches": of one centimetre, or of the centimetres or inches that follow. */
static void read_stitches(sv_reader *r, const char *text)
{
    const char *at = strstr(text, "stitches");
    if (!at) return;
    const char *p = at;
    while (p > text && p[-1] == ' ')
        p--;
    while (p > text && (is_digit(p[-1]) || p[-1] == '.'))
        p--;
    int stitches, length = 10;
    if (!take_number(&p, &stitches)) return;
    p = at + strlen("stitches");
    while (*p && !is_digit(*p) && !strchr(",;.", *p) && strncasecmp(p, "cm", 2) != 0 &&
           strncasecmp(p, "inch", 4) != 0)
        p++;
    if (is_digit(*p) && !take_number(&p, &length)) return;
    int unit = take_unit(&p);
    if (!unit || !length) return;
    /* tenths of stitches, by tenths of a centimetre: as many stitches in each */
    bool fine = (int64_t)stitches * 100 >= (int64_t)FINE * length * unit;
    sv_set(r, SV_FACT_STITCHES, fine ? SV_STITCHES_FINE : SV_STITCHES_COARSE, SV_FROM_TEXT, "stitches");
}

void sv_read_measures(sv_reader *r)
{
    static const sv_source sources[] = {SV_SOURCE_FEATURES, SV_SOURCE_TEXT, SV_SOURCE_GARMENT};
    const char *kind = r->article >= 0 ? r->lex->article[r->article].kind : "";
    bool sided = strcmp(kind, "scarf") == 0 || strcmp(kind, "handkerchief") == 0;
    for (size_t i = 0; i < sizeof sources / sizeof *sources; i++) {
        const char *text = r->given[sources[i]];
        if (sided) read_sides(r, text);
        read_stitches(r, text);
    }
}
