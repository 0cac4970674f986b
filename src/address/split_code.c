/* split_code.c - the postcode: every place in the block where one of the country's forms fits, and the
 * likeliest of them. */
#include <string.h>
#include <unicode/uchar.h>

#include "address/split.h"
#include "base/utf8.h"

typedef struct fit_at {
    uint32_t at, end; /* bytes */
    sv_postcode code;
    int score;
    bool found;
} fit_at;

static bool labelled(const sp_job *j, size_t i)
{
    if (i == 0 || j->word[i - 1].column != SP_DROPPED) return false;
    for (size_t k = i; k-- > 0 && j->word[k].column == SP_DROPPED;) {
        for (size_t s = 0; s < 3 && j->word[k].length[s]; s++) {
            if (k + j->word[k].length[s] != i) continue;
            for (const sp_sense *x = j->word[k].sense[s]; x; x = x->next) {
                if (x->class == SP_IS_LABEL_CODE) return true;
            }
        }
    }
    return false;
}

/* Last byte of the open words that go on from word i in its piece. */
static uint32_t open_end(const sp_job *j, size_t i)
{
    size_t to = sp_piece_end(j, i), k = i;
    while (k + 1 < to && sp_open(j, k + 1))
        k++;
    return j->word[k].end;
}

static size_t word_at(const sp_job *j, uint32_t byte)
{
    size_t i = 0;
    while (i < j->words && j->word[i].end <= byte)
        i++;
    return i;
}

static bool all_figures(const sp_word *w)
{
    return w->digits && !w->letters;
}

/* A number that goes on as one of a house, a floor, a lane: "101號". */
static bool counts_on(const char *next)
{
    static const char marks[] = "號号弄巷楼樓室層层階番丁条條段路街座栋棟幢単单호동층번";
    char one[4] = {next[0], next[0] ? next[1] : 0, next[0] && next[1] ? next[2] : 0, 0};
    return (unsigned char)next[0] >= 0xE0 && strstr(marks, one) != NULL;
}

/* Figures that go on behind a hyphen make a longer number of it: a telephone number's first groups are no
 * code, "080-1111-2222". A number of at most eight figures may be a code with what is written on to it. */
static bool in_longer_number(const sp_job *j, size_t i, const fit_at *f)
{
    const sp_word *w = &j->word[i];
    if (w->letters || w->digits < 9 || f->end + 1 >= w->end || f->at != w->at) return false;
    char next = j->text[f->end + 1];
    return j->text[f->end] == '-' && next >= '0' && next <= '9';
}

/* What stands around the place where a code fits. */
typedef struct around {
    size_t from;                        /* first word of the piece */
    bool opens, closes;                 /* the code opens or closes its piece */
    bool letters_before, letters_after; /* a name stands at its side */
    bool east_after;                    /* ... written on, in the East */
    bool glued_on;                      /* its word goes on behind it */
    size_t next;                        /* the word behind it */
} around;

static around look_around(const sp_job *j, size_t i, const fit_at *f)
{
    around a = {.from = i, .next = word_at(j, f->end)};
    size_t to = sp_piece_end(j, i);
    while (a.from > 0 && !sp_breaks(&j->word[a.from]))
        a.from--;
    a.glued_on = a.next < j->words && j->word[a.next].at < f->end;
    a.opens = a.from == i && f->at == j->word[i].at;
    a.closes = a.next >= to;
    uint32_t behind = a.next < j->words && !a.glued_on ? j->word[a.next].at : f->end;
    a.east_after = !a.closes && a.opens && j->word[a.next].east && (unsigned char)j->text[behind] >= 0xE0;
    bool name_after = a.next < j->words && j->word[a.next].letters > 1 && !j->word[a.next].digits;
    a.letters_after = !a.closes && sp_open(j, a.next) && (a.east_after || a.glued_on || name_after);
    a.letters_before =
        i > a.from && j->word[i - 1].letters > 1 && !j->word[i - 1].digits && sp_open(j, i - 1);
    return a;
}

/* By the side of the town that codes stand on in this place. */
static int by_side(const sp_job *j, size_t i, const around *a)
{
    sv_side side = j->place->side;
    bool left = side == SV_SIDE_LEFT || side == SV_SIDE_ABOVE || side == SV_SIDE_NONE;
    bool one_line = sp_line_end(j, 0) == j->words;
    int score = a->opens && a->closes ? 4 : 0;
    if (a->opens && a->letters_after) score += left || a->east_after ? 5 : 1;
    if (a->closes && a->letters_before) score += left ? 3 : 5;
    if (a->letters_before && a->letters_after) score += 1;
    if (a->letters_after && left && (one_line || sp_phrase(j, a->next, SP_BIT(SP_IS_TOWN)))) score += 5;
    if (a->letters_before && j->word[i - 1].mask & SP_BIT(SP_IS_TOWN)) score += 4;
    if (!left && i > a->from && sp_phrase(j, i - 1, SP_STREETS)) score -= 2;
    if (!left && a->opens && !a->closes && a->from == 0) score -= 2;
    if (!a->letters_before && !a->letters_after && !(a->opens && a->closes)) score -= 4;
    return score;
}

/* Numbers of houses, boxes and flats are no codes. */
static int by_numbers(const sp_job *j, size_t i, const around *a, size_t length)
{
    uint64_t mask = 0;
    for (size_t k = a->from, to = sp_piece_end(j, i); k < to; k++)
        mask |= j->word[k].mask;
    int score = 0;
    if (mask & (SP_STREETS | SP_BIT(SP_IS_BOX) | SP_BIT(SP_IS_RURAL))) score -= length <= 4 ? 5 : 3;
    const sp_word *before = i > a->from ? &j->word[i - 1] : NULL;
    if (before && before->mask & SP_BIT(SP_IS_CODE_WORD)) return 8;
    if (before && before->mask & (SP_BIT(SP_IS_BOX) | SP_BIT(SP_IS_UNIT)) && !before->digits) score -= 6;
    if (before && all_figures(before) && all_figures(&j->word[i])) score -= 4;
    return score;
}

/* Its own region is named near by. */
static bool region_near(const sp_job *j, size_t i, const char *code)
{
    const sv_region *r = sv_region_by_postcode(j->place, code);
    for (size_t k = i > 4 ? i - 4 : 0; r && k < i + 5 && k < j->words; k++) {
        if (sv_region_find(j->place, sp_text(j, k), j->word[k].end - j->word[k].at) == r) return true;
    }
    return false;
}

/* How likely a code stands here: by its form, the layout of the place, what stands around it. */
static int judge(const sp_job *j, size_t i, const fit_at *f)
{
    around a = look_around(j, i, f);
    int score = f->code.fit == SV_POST_NORMAL ? 6 : f->code.fit == SV_POST_OLD ? 3 : 5;
    if (labelled(j, i)) return score + 60;
    if (a.glued_on && (f->at > j->word[i].at || counts_on(j->text + f->end))) return -100;
    if (in_longer_number(j, i, f)) return -100;
    if (j->word[i].digits == 0 && f->code.fit != SV_POST_NORMAL)
        score -= strpbrk(f->code.text, "0123456789") ? 5 : 100;
    score += by_side(j, i, &a) + by_numbers(j, i, &a, strlen(f->code.text));
    score += (int)(6 * i / j->words); /* rather late than early */
    return score + (region_near(j, i, f->code.text) ? 5 : 0);
}

/* A code that ends in letters, with the town written on to it in a capital: "1016HXAmsterdam". */
static size_t glued_letters(const sp_job *j, uint32_t at, uint32_t end, sv_postcode *out)
{
    if (j->place->form[0].mask[strlen(j->place->form[0].mask) - 1] == '9') return 0;
    const char *p = j->text + at;
    size_t most = end - at < 9 ? end - at : 9;
    for (size_t n = most; n >= 5; n--) {
        if (n + 3 > end - at || p[n] < 'A' || p[n] > 'Z' || p[n + 1] < 'a' || p[n + 1] > 'z') continue;
        if (sv_postcode_read(j->place, p, n, out)) return n;
    }
    return 0;
}

static void try_at(sp_job *j, uint32_t at, size_t i, fit_at *best)
{
    fit_at f = {.at = at};
    uint32_t end = open_end(j, i);
    size_t n = sv_postcode_at(j->place, j->text + at, end - at, true, &f.code);
    if (!n) n = glued_letters(j, at, end, &f.code);
    if (!n) return;
    f.end = at + (uint32_t)n;
    f.score = judge(j, i, &f);
    f.found = true;
    if (f.score > 0 && (!best->found || f.score > best->score)) *best = f;
}

/* Places inside a word where a code may begin: behind a hyphen or sign, or where letters of the East, Thai...
 * end. */
static void try_inside(sp_job *j, size_t i, fit_at *best)
{
    const sp_word *w = &j->word[i];
    if (!w->digits || w->end - w->at < 5) return;
    const char *p = j->text + w->at, *end = j->text + w->end;
    uint32_t before = 0;
    bool box = i > 0 && j->word[i - 1].mask & SP_BIT(SP_IS_BOX);
    while (p < end) {
        const char *at = p;
        uint32_t c = sv_utf8_next(&p, end);
        bool digit = u_charDigitValue((UChar32)c) >= 0;
        bool behind_letters = before > 0x2FF && u_isalpha((UChar32)before);
        bool behind_sign = (before == '-' || before == '/') && at > j->text + w->at + 1 &&
                           (w->letters >= 3 || (box && before == '-'));
        if (before && ((digit && behind_letters) || behind_sign))
            try_at(j, (uint32_t)(at - j->text), i, best);
        before = c;
    }
}

/* Kenya writes the code behind the number of the box: "P.O. Box 1190-40100". */
static void box_code(sp_job *j, fit_at *best)
{
    if (strcmp(j->place->place.code, "KE") != 0 || best->found) return;
    for (size_t i = 0; i < j->words; i++) {
        const sp_word *w = &j->word[i];
        bool may = sp_open(j, i) || (w->column == SP_STREET && !w->fixed);
        const char *dash =
            may && w->digits && !w->letters ? memchr(sp_text(j, i), '-', w->end - w->at) : NULL;
        if (!dash) continue;
        fit_at f = {.at = (uint32_t)(dash + 1 - j->text), .found = true, .score = 1};
        size_t n = sv_postcode_at(j->place, dash + 1, (size_t)(j->text + w->end - dash - 1), false, &f.code);
        f.end = f.at + (uint32_t)n;
        if (n && f.end == w->end) *best = f;
    }
}

/* The number of a forces post office is the code where no other is given: "BFPO 12". */
static void forces_code(sp_job *j, fit_at *best)
{
    for (size_t i = 0; i + 1 < j->words && !best->found; i++) {
        bool forces = j->word[i].first & SP_BIT(SP_IS_MILITARY_GB) && j->word[i].column == SP_STREET;
        if (!forces || j->word[i + 1].column != SP_STREET || j->word[i].fixed) continue;
        fit_at f = {.at = j->word[i].at, .found = true, .score = 1};
        uint32_t bytes = j->word[i + 1].end - f.at;
        size_t n = sv_postcode_at(j->place, j->text + f.at, bytes, false, &f.code);
        f.end = f.at + (uint32_t)n;
        if (n != bytes) continue;
        j->word[i + 1].column = SP_OPEN;
        *best = f;
    }
}

/* A code that order forms force on buyers where there is none. */
static void placeholders(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        if (!sp_open(j, i) || !all_figures(&j->word[i])) continue;
        size_t n = j->word[i].end - j->word[i].at;
        if (!sv_postcode_placeholder(j->place, sp_text(j, i), n)) continue;
        if (n < 4 || n >= sizeof j->postcode) continue;
        memcpy(j->postcode, sp_text(j, i), n);
        j->postcode[n] = 0;
        j->code_from = (int)i;
        j->code_to = (int)i + 1;
        sp_give(j, i, i + 1, SP_CODE);
        return;
    }
}

/* The code as it is kept: normal form, with the prefix that belongs to it on mail from abroad where it was
 * given. */
static void keep_code(sp_job *j, const fit_at *f)
{
    const char *prefix = j->place->prefix;
    size_t n = strlen(prefix), k = 0;
    char given[16];
    for (uint32_t at = f->at; n && at < f->end && k < sizeof given; at++) {
        char c = j->text[at];
        if (c != ' ') given[k++] = (char)(c >= 'a' && c <= 'z' ? c - 32 : c);
    }
    size_t letters = 0;
    while (letters < n && prefix[letters] >= 'A')
        letters++;
    bool with =
        n && k > letters && memcmp(given, prefix, letters) == 0 && memcmp(f->code.text, prefix, letters) != 0;
    size_t length = strlen(f->code.text);
    if (with) memcpy(j->postcode, prefix, n);
    memcpy(j->postcode + (with ? n : 0), f->code.text, length + 1);
}

/* "AZ 1010", "FO 100", "L 4123": the letters of the place stand before the code, apart. */
static bool opens_code(const sp_job *j, size_t i)
{
    const sp_word *w = &j->word[i];
    size_t n = w->end - w->at;
    if (!sp_open(j, i) || w->digits || n > 3) return false;
    const char *p = sp_text(j, i), *prefix = j->place->prefix;
    const char *mask = j->place->form[0].mask;
    if (mask[0] == '(' && memcmp(p, mask + 1, n) == 0 && mask[n + 1] && strchr("-)", mask[n + 1]))
        return true;
    if (n < strlen(prefix) && memcmp(p, prefix, n) == 0 && prefix[n] < 'A') return true;
    for (const char *s = j->place->signs; *s;) {
        size_t length = strcspn(s, " ");
        if (length == n && memcmp(s, p, n) == 0) return true;
        s += length + (s[length] == ' ');
    }
    return false;
}

/* Where a word that belongs to the code opens before it ("Block No. 317"); the code's own first word else. */
static size_t code_word(const sp_job *j, size_t from)
{
    for (size_t n = 1; n <= 2 && n <= from; n++) {
        bool before = sp_open(j, from - n) && !sp_breaks(&j->word[from - n + 1]);
        if (!before) return from;
        if (sp_phrase(j, from - n, SP_BIT(SP_IS_CODE_WORD)) == n) return from - n;
    }
    return from;
}

/* "12214 - 6512": the second part of a code, parted from the first by blanks about the hyphen. */
static void join_second_part(const sp_job *j, fit_at *f)
{
    char whole[2 * SV_POSTCODE_ROOM];
    size_t next = word_at(j, f->end), first = strlen(f->code.text);
    if (next >= j->words || !sp_open(j, next) || j->word[next].gap != SP_GAP_DASH) return;
    const sp_word *w = &j->word[next];
    size_t n = w->end - w->at;
    if (!all_figures(w) || n != w->digits || first + n + 2 > sizeof whole) return;
    memcpy(whole, f->code.text, first);
    whole[first] = '-';
    memcpy(whole + first + 1, sp_text(j, next), n);
    sv_postcode code;
    if (!sv_postcode_read(j->place, whole, first + 1 + n, &code) || strlen(code.text) <= first) return;
    f->code = code;
    f->end = w->end;
}

static void give_code(sp_job *j, fit_at *f)
{
    join_second_part(j, f);
    size_t from = sp_split_at(j, f->at), to = sp_split_at(j, f->end);
    while (to < j->words && to > from && j->word[to].at < f->end)
        to++;
    if (to == from) to = from + 1;
    if (from > 0 && opens_code(j, from - 1) && j->word[from].gap <= SP_GAP_PAREN) from--;
    from = code_word(j, from);
    if (j->word[from].column == SP_STREET) j->word[from].column = SP_OPEN; /* was part of a box's number */
    keep_code(j, f);
    j->code_from = (int)from;
    j->code_to = (int)to;
    if (to < j->words && j->word[to].gap == SP_GAP_GLUED) j->word[to].gap = SP_GAP_BLANK;
    sp_give(j, from, to, SP_CODE);
}

void sp_code(sp_job *j)
{
    fit_at best = {.found = false};
    if (!j->place->forms) {
        placeholders(j);
        return;
    }
    unsigned bits = sp_opening(j->place, false);
    for (size_t i = 0; i < j->words; i++) {
        if (!sp_open(j, i)) continue;
        if (sp_may_open(j, i, bits)) try_at(j, j->word[i].at, i, &best);
        try_inside(j, i, &best);
    }
    box_code(j, &best);
    forces_code(j, &best);
    if (best.found)
        give_code(j, &best);
    else
        placeholders(j);
}
