/* postcode.c - is a text a postcode of a place, and what is its normal form. Nothing is allocated. */
#include <string.h>
#include <unicode/uchar.h>

#include "atlas/atlas.h"
#include "atlas/mask.h"
#include "base/utf8.h"

#define MOST_TAKEN 24 /* significant characters looked at: the longest form and a prefix before it */

/* What stands in the text, letter by letter. */
typedef struct taken {
    uint8_t value[MOST_TAKEN]; /* 0 to 9, 10 to 35 */
    uint8_t end[MOST_TAKEN];   /* offset behind the character */
    bool apart[MOST_TAKEN];    /* blanks or hyphens stand before it */
    bool more[MOST_TAKEN];     /* a letter or digit follows at once */
    size_t n;
    bool odd;  /* signs, full-width or local digits, lower case: not as printed */
    bool good; /* nothing but what a postcode may hold */
} taken;

static bool is_dash(uint32_t c)
{
    return c == '-' || (c >= 0x2010 && c <= 0x2015) || c == 0x2212 || c == 0xFF0D || c == 0x30FC ||
           c == 0xFE63;
}

static bool is_gap(uint32_t c)
{
    return is_dash(c) || c == ' ' || c == '\t' || c == '.' || c == 0xA0 || c == 0x3000 ||
           (c >= 0x2000 && c <= 0x200B) || c == 0x202F || c == 0xFEFF;
}

/* The value of a letter or digit, -1 for anything else. */
static int value_of(uint32_t c, bool *odd)
{
    if (c >= '0' && c <= '9') return (int)c - '0';
    if (c >= 'A' && c <= 'Z') return (int)c - 'A' + 10;
    *odd = true;
    if (c >= 'a' && c <= 'z') return (int)c - 'a' + 10;
    if (c < 0x80) return -1;
    int32_t digit = u_charDigitValue((UChar32)c);
    if (digit >= 0) return digit;
    if (c >= 0xFF21 && c <= 0xFF3A) return (int)(c - 0xFF21) + 10;
    if (c >= 0xFF41 && c <= 0xFF5A) return (int)(c - 0xFF41) + 10;
    return -1;
}

/* Takes characters until one that no postcode holds. */
static void take(const char *text, size_t bytes, taken *t)
{
    const char *p = text, *end = text + (bytes < 200 ? bytes : 200);
    *t = (taken){.good = bytes < 200};
    bool apart = false;
    while (p < end) {
        const char *at = p;
        uint32_t c = (unsigned char)*p < 0x80 ? (unsigned char)*p++ : sv_utf8_next(&p, end);
        if (is_gap(c)) {
            apart = true;
            continue;
        }
        if (c == 0x3012 && t->n == 0) { /* 〒 */
            t->odd = true;
            continue;
        }
        int v = value_of(c, &t->odd);
        if (v < 0 || t->n == MOST_TAKEN) {
            t->good = false;
            if (t->n)
                t->more[t->n - 1] =
                    !apart && (v >= 0 || u_isalnum((UChar32)c)) && at == text + t->end[t->n - 1];
            return;
        }
        if (t->n) t->more[t->n - 1] = !apart;
        t->apart[t->n] = apart && t->n;
        t->value[t->n] = (uint8_t)v;
        t->end[t->n++] = (uint8_t)(p - text);
        apart = false;
    }
}

static bool group_fits(const uint8_t *groups, const uint8_t *value, size_t n)
{
    unsigned first = value[0] - 10u, second = n > 1 && value[1] >= 10 ? value[1] - 10u : 26;
    unsigned at = first * 27 + second;
    return groups[at / 8] >> at % 8 & 1;
}

/* Do n characters fit the form, whole or without its opening letters? *skipped: how many are missing. */
static bool form_fits(const sv_atlas_place *p, const sv_postcode_form *f, const uint8_t *value, size_t n,
                      size_t *skipped)
{
    if (n != f->length && n + f->opening != f->length) return false;
    *skipped = (size_t)f->length - n;
    for (size_t i = 0; i < n; i++) {
        if (!(f->accept[i + *skipped] >> value[i] & 1)) return false;
    }
    return !f->group || !p->groups || group_fits(p->groups, value, n);
}

static void print(const sv_postcode_form *f, const uint8_t *value, size_t skipped, char out[SV_POSTCODE_ROOM])
{
    static const char sign[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    size_t n = 0;
    for (size_t i = 0; i < f->length; i++) {
        if (f->before[i]) out[n++] = f->before[i];
        unsigned v = 0;
        if (i >= skipped) {
            v = value[i - skipped];
        } else {
            while (!(f->accept[i] >> v & 1))
                v++;
        }
        out[n++] = sign[v];
    }
    out[n] = 0;
}

/* The first form that n characters fit. */
static bool fit_any(const sv_atlas_place *p, const uint8_t *value, size_t n, sv_postcode *out)
{
    size_t skipped;
    for (size_t i = 0; i < p->forms; i++) {
        if (!form_fits(p, &p->form[i], value, n, &skipped)) continue;
        out->form = &p->form[i];
        print(out->form, value, skipped, out->text);
        out->fit = out->form->old ? SV_POST_OLD : SV_POST_LOOSE;
        return true;
    }
    return false;
}

/* Do the first characters spell `sign`? */
static bool opens_with(const uint8_t *value, size_t n, const char *sign, size_t length)
{
    if (length >= n) return false;
    for (size_t i = 0; i < length; i++) {
        if (value[i] != sign[i] - 'A' + 10) return false;
    }
    return true;
}

/* How many of the first characters are an old prefix: the sign of the country, its ISO code, what is printed.
 */
static size_t sign_length(const sv_atlas_place *p, const uint8_t *value, size_t n, size_t longer_than)
{
    size_t best = 0;
    const char *lists[] = {p->signs, p->place.code, p->place.alpha3};
    for (size_t k = 0; k < 3; k++) {
        for (const char *s = lists[k]; *s;) {
            size_t length = strcspn(s, " ");
            if (length > longer_than && opens_with(value, n, s, length) && (!best || length < best))
                best = length;
            s += length + (s[length] == ' ');
        }
    }
    return best;
}

/* Behind an old prefix, the shortest first. */
static bool fit_behind_sign(const sv_atlas_place *p, const uint8_t *value, size_t n, sv_postcode *out)
{
    for (size_t sign = 0; (sign = sign_length(p, value, n, sign)) != 0;) {
        if (!fit_any(p, value + sign, n - sign, out)) continue;
        if (out->fit != SV_POST_OLD) out->fit = SV_POST_PREFIX;
        return true;
    }
    return false;
}

static bool all_zero(const uint8_t *value, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (value[i]) return false;
    }
    return true;
}

bool sv_postcode_read(const sv_atlas_place *p, const char *text, size_t bytes, sv_postcode *out)
{
    taken t;
    out->fit = SV_POST_NONE;
    out->form = NULL;
    out->text[0] = 0;
    if (!p->forms || !bytes) return false;
    take(text, bytes, &t);
    if (!t.good || !t.n || all_zero(t.value, t.n)) return false;
    if (!fit_any(p, t.value, t.n, out) && !fit_behind_sign(p, t.value, t.n, out)) return false;
    if (out->fit == SV_POST_LOOSE && strlen(out->text) == bytes && memcmp(out->text, text, bytes) == 0)
        out->fit = SV_POST_NORMAL;
    return true;
}

/* In running text a gap may stand only where the form prints one, or between the two halves of six or seven
 * digits, or behind letters that open the code: "12 345" is more often a house and a street than a code. */
static bool gaps_fit(const sv_postcode_form *f, const taken *t, size_t from, size_t n)
{
    size_t skipped = f->length - n;
    for (size_t i = 1; i < n; i++) {
        if (!t->apart[from + i]) continue;
        bool printed = f->before[i + skipped] != 0;
        bool half = i == 3 && (n == 6 || n == 7);
        bool letters_before = t->value[from + i - 1] >= 10;
        if (!printed && !half && !letters_before) return false;
    }
    return true;
}

static bool ends_word(const taken *t, size_t n, bool glued)
{
    if (!t->more[n - 1]) return true;
    if (!glued) return false;
    bool letter_next = n == t->n || t->value[n] >= 10;
    return letter_next && t->value[n - 1] < 10;
}

size_t sv_postcode_at(const sv_atlas_place *p, const char *text, size_t bytes, bool glued, sv_postcode *out)
{
    taken t;
    out->fit = SV_POST_NONE;
    out->form = NULL;
    out->text[0] = 0;
    if (!p->forms || !bytes) return 0;
    take(text, bytes, &t);
    for (size_t n = t.n; n > 0; n--) {
        if (!ends_word(&t, n, glued) || all_zero(t.value, n)) continue;
        if (!fit_any(p, t.value, n, out) && !fit_behind_sign(p, t.value, n, out)) continue;
        size_t used = n < out->form->length ? n : out->form->length;
        if (!gaps_fit(out->form, &t, n - used, used)) continue;
        size_t end = t.end[n - 1];
        if (out->fit == SV_POST_LOOSE && strlen(out->text) == end && memcmp(out->text, text, end) == 0)
            out->fit = SV_POST_NORMAL;
        return end;
    }
    out->fit = SV_POST_NONE;
    out->form = NULL;
    out->text[0] = 0;
    return 0;
}

bool sv_postcode_placeholder(const sv_atlas_place *p, const char *text, size_t bytes)
{
    taken t;
    take(text, bytes, &t);
    if (!t.good || t.n < 2) return false;
    if (all_zero(t.value, t.n)) return true;
    char code[MOST_TAKEN + 1];
    bool same = true, digits = true;
    for (size_t i = 0; i < t.n; i++) {
        same = same && t.value[i] == t.value[0];
        digits = digits && t.value[i] < 10;
        code[i] = (char)('0' + t.value[i] % 10);
    }
    code[t.n] = 0;
    if (same && !p->forms) return true;
    if (!digits) return false;
    for (const char *s = p->placeholders; *s;) {
        size_t n = strcspn(s, " ");
        if (n == t.n && memcmp(s, code, n) == 0) return true;
        s += n + (s[n] == ' ');
    }
    return false;
}

/* One item, a prefix or a range of prefixes of one length: does the code begin with it? */
static bool item_holds(const char *item, size_t n, const char *code)
{
    const char *dash = memchr(item, '-', n);
    size_t length = dash ? (size_t)(dash - item) : n;
    if (strlen(code) < length) return false;
    if (!dash) return memcmp(item, code, n) == 0;
    return n == 2 * length + 1 && memcmp(code, item, length) >= 0 && memcmp(code, dash + 1, length) <= 0;
}

size_t sv_postcode_in(const char *list, const char *postcode)
{
    char code[SV_POSTCODE_ROOM];
    size_t k = 0, best = 0;
    for (const char *p = postcode; *p && k + 1 < sizeof code; p++) {
        if (*p != ' ' && *p != '-') code[k++] = *p;
    }
    code[k] = 0;
    for (const char *s = list; *s;) {
        size_t n = strcspn(s, " ");
        const char *dash = memchr(s, '-', n);
        size_t length = dash ? (size_t)(dash - s) : n;
        if (length > best && item_holds(s, n, code)) best = length;
        s += n + (s[n] == ' ');
    }
    return best;
}
