/* clean.c - texts as they are printed: blanks folded, capitals made. Nothing is allocated. */
#include <string.h>
#include <unicode/uchar.h>

#include "address/lay_out.h"
#include "base/utf8.h"

sv_capitals sv_capitals_of(const sv_place *place)
{
    const char *language = place->languages;
    bool turkic = strncmp(language, "tr", 2) == 0 || strncmp(language, "az", 2) == 0;
    return turkic ? SV_CAPITALS_TURKIC : SV_CAPITALS;
}

/* Letters of other scripts than Latin: what an office abroad may not read. */
static bool foreign_letter(uint32_t c)
{
    if (c < 0x370 || (c >= 0x1D00 && c < 0x1F00) || (c >= 0x2000 && c < 0x2C00) ||
        (c >= 0x2C60 && c < 0x2C80) || (c >= 0xA720 && c < 0xA800) || (c >= 0xFB00 && c < 0xFB07) ||
        (c >= 0xFF01 && c < 0xFF5F))
        return false;
    return u_isalpha((UChar32)c);
}

bool sv_is_foreign(const char *text, size_t bytes)
{
    const char *end = text + bytes;
    while (text < end) {
        if ((unsigned char)*text < 0x80) {
            text++;
            continue;
        }
        if (foreign_letter(sv_utf8_next(&text, end))) return true;
    }
    return false;
}

static bool invisible(uint32_t c)
{
    return c == 0xAD || c == 0x200B || c == 0x200E || c == 0x200F || (c >= 0x202A && c <= 0x202E) ||
           (c >= 0x2060 && c <= 0x2069) || c == 0xFEFF || c == 0x61C || (c >= 0x80 && c < 0xA0);
}

static bool blank(uint32_t c)
{
    return c == 0xA0 || (c >= 0x2000 && c <= 0x200A) || c == 0x202F || c == 0x205F || c == 0x3000;
}

/* The letter whose capital is two letters; the rest is one code point each. Only Latin text is put in
 * capitals. */
static size_t put_capital(char *out, uint32_t c, sv_capitals how)
{
    if (c == 0xDF) {
        out[0] = out[1] = 'S';
        return 2;
    }
    if (how == SV_CAPITALS_TURKIC && c == 'i')
        c = 0x130;
    else if (c >= 0x10D0 && c <= 0x10FF)
        return sv_utf8_put(out, c); /* Georgian is written without case */
    else
        c = (uint32_t)u_toupper((UChar32)c);
    return sv_utf8_put(out, c);
}

typedef struct cleaner {
    sv_scratch *s;
    char *start, *out;
    sv_capitals how;
    bool gap; /* a blank waits for the next letter */
} cleaner;

static void put_gap(cleaner *k)
{
    if (k->gap && k->out > k->start && k->out[-1] != '\n') *k->out++ = ' ';
    k->gap = false;
}

static void put_control(cleaner *k, unsigned char c)
{
    if (c == '\n' || c == '\r') {
        if (k->out > k->start && k->out[-1] != '\n') *k->out++ = '\n';
        k->gap = false;
    } else if (c == ' ' || c == '\t') {
        k->gap = true;
    } else {
        k->s->dropped = true;
    }
}

/* What Latin print writes for a full-width character or a digit of another script: ASCII. */
static uint32_t narrow(uint32_t c)
{
    if (c >= 0xFF01 && c <= 0xFF5E) return c - 0xFEE0;
    int32_t digit = u_charDigitValue((UChar32)c);
    return digit >= 0 ? (uint32_t)('0' + digit) : c;
}

static void put_wide(cleaner *k, uint32_t c)
{
    if (k->s->latin) c = narrow(c);
    if (c >= 0x300 && c < 0x370) k->s->combining = true;
    if (blank(c)) {
        k->gap = true;
    } else if (invisible(c)) {
        k->s->dropped = true;
    } else if (c == 0x85 || c == 0x2028 || c == 0x2029) {
        put_control(k, '\n');
    } else {
        put_gap(k);
        if (foreign_letter(c)) k->s->foreign = true;
        k->out += k->how == SV_AS_GIVEN ? sv_utf8_put(k->out, c) : put_capital(k->out, c, k->how);
    }
}

sv_part sv_clean(sv_scratch *s, const char *text, sv_capitals how)
{
    cleaner k = {.s = s, .start = s->at, .out = s->at, .how = how};
    if (!text) return (sv_part){s->at, 0};
    const char *end = NULL;
    while (*text) {
        unsigned char c = (unsigned char)*text;
        if (c > ' ' && c < 0x7f) {
            text++;
            put_gap(&k);
            if (how == SV_AS_GIVEN || c < 'a' || c > 'z')
                *k.out++ = (char)c;
            else if (how == SV_CAPITALS_TURKIC && c == 'i')
                k.out += put_capital(k.out, c, how);
            else
                *k.out++ = (char)(c - 32);
        } else if (c < 0x80) {
            text++;
            put_control(&k, c);
        } else {
            if (!end) end = text + strlen(text);
            put_wide(&k, sv_utf8_next(&text, end));
        }
    }
    if (k.out > k.start && k.out[-1] == '\n') k.out--;
    s->at = k.out;
    return (sv_part){k.start, (size_t)(k.out - k.start)};
}
