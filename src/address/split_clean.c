/* split_clean.c - the pasted text made plain: one kind of blank, dash and line break; what is invisible goes.
 */
#include <string.h>
#include <strings.h>
#include <unicode/uchar.h>

#include "address/split.h"
#include "text/text.h"

static bool is_dash(uint32_t c)
{
    return (c >= 0x2010 && c <= 0x2015) || c == 0x2212 || c == 0xFF0D || c == 0xFE63;
}

/* Marks that are not seen: bidi marks, byte order mark, soft hyphen, variation selectors. The joiners of
 * Persian and Indic spelling stay. */
static bool is_invisible(uint32_t c)
{
    return c == 0xAD || c == 0x200B || c == 0x200E || c == 0x200F || (c >= 0x202A && c <= 0x202E) ||
           (c >= 0x2060 && c <= 0x206F) || c == 0xFEFF || (c >= 0xFE00 && c <= 0xFE0F);
}

/* Pictures and flags that are typed for ornament. */
static bool is_picture(uint32_t c)
{
    return (c >= 0x1F000 && c <= 0x1FAFF) || (c >= 0x2600 && c <= 0x27BF) || (c >= 0xE0000 && c <= 0xE007F);
}

/* The plain character for one outside ASCII; the same where there is none, 0 to drop it. */
static uint32_t plain(uint32_t c, uint32_t before, uint32_t after)
{
    if (c >= 0xFF01 && c <= 0xFF5E) return is_dash(c) ? '-' : c - 0xFEE0;
    if (is_dash(c)) return '-';
    if (is_invisible(c)) return 0;
    if (c == 0x85 || c == 0x2028 || c == 0x2029) return '\n';
    if (c == 0x30FC) { /* the long-vowel mark, where it was typed for a hyphen */
        bool left = u_charDigitValue((UChar32)before) >= 0, right = u_charDigitValue((UChar32)after) >= 0;
        return left && right ? '-' : c;
    }
    if (c < 0xA0) return ' ';
    if (is_picture(c)) return ' ';
    if (c == 0xA0 || c == 0x3000 || c == 0x202F || (c >= 0x2000 && c <= 0x200A)) return ' ';
    return c;
}

/* A mark-up line break at the text: its length, else 0. */
static size_t line_break(const char *p, const char *end)
{
    static const char *const marks[] = {"<br>", "<br/>", "<br />", "<p>", "</p>", "<div>", "</div>"};
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        size_t n = strlen(marks[i]);
        if ((size_t)(end - p) >= n && strncasecmp(p, marks[i], n) == 0) return n;
    }
    return 0;
}

/* A character written as a mark-up entity at `p` ("&amp;", "&#39;"); its code point and length, 0 when it is
 * none. */
static uint32_t entity(const char *p, const char *end, size_t *length)
{
    static const struct {
        const char *name;
        uint32_t c;
    } names[] = {{"amp", '&'},     {"nbsp", ' '},    {"quot", '"'},    {"apos", '\''},   {"lt", '<'},
                 {"gt", '>'},      {"auml", 0xE4},   {"ouml", 0xF6},   {"uuml", 0xFC},   {"Auml", 0xC4},
                 {"Ouml", 0xD6},   {"Uuml", 0xDC},   {"szlig", 0xDF},  {"eacute", 0xE9}, {"egrave", 0xE8},
                 {"agrave", 0xE0}, {"ccedil", 0xE7}, {"ntilde", 0xF1}, {"aacute", 0xE1}, {"iacute", 0xED},
                 {"oacute", 0xF3}, {"uacute", 0xFA}, {"aring", 0xE5},  {"oslash", 0xF8}, {"aelig", 0xE6},
                 {"atilde", 0xE3}, {"otilde", 0xF5}, {"ecirc", 0xEA},  {"ocirc", 0xF4},  {"euml", 0xEB}};
    const char *semicolon = memchr(p, ';', (size_t)(end - p) < 10 ? (size_t)(end - p) : 10);
    if (!semicolon || semicolon - p < 3) return 0;
    size_t n = (size_t)(semicolon - p - 1);
    *length = n + 2;
    if (p[1] == '#') {
        uint32_t c = 0;
        bool hex = p[2] == 'x' || p[2] == 'X';
        for (const char *q = p + 2 + hex; q < semicolon; q++) {
            int digit = *q >= '0' && *q <= '9'                        ? *q - '0'
                        : hex && (*q | 32) >= 'a' && (*q | 32) <= 'f' ? (*q | 32) - 'a' + 10
                                                                      : -1;
            if (digit < 0) return 0;
            c = c * (hex ? 16 : 10) + (uint32_t)digit;
        }
        return c > 0x10FFFF || (c >= 0xD800 && c < 0xE000) ? 0 : c;
    }
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (strlen(names[i].name) == n && memcmp(names[i].name, p + 1, n) == 0) return names[i].c;
    }
    return 0;
}

static char plain_ascii(char c)
{
    if (c == '\r' || c == '\n' || c == '\v' || c == '\f' || c == '|' || c == '\t') return '\n';
    return (unsigned char)c < 0x20 || c == 0x7f ? ' ' : c;
}

const char *sp_clean(sv_arena *arena, const char *block, size_t bytes, size_t *clean_bytes)
{
    *clean_bytes = 0;
    char *out = sv_alloc(arena, bytes * 3 + 4); /* a bad byte becomes U+FFFD, of three bytes */
    if (!out) return "";
    const char *p = block, *end = block + bytes;
    size_t n = 0;
    uint32_t before = 0;
    while (p < end) {
        if ((unsigned char)*p < 0x80) {
            size_t mark = *p == '<' ? line_break(p, end) : 0, length = 0;
            uint32_t named = *p == '&' ? entity(p, end, &length) : 0;
            if (named >= 0x80) {
                uint32_t to = plain(named, before, 0);
                if (to) n += sv_utf8_put(out + n, to);
            }
            if (named) {
                if (named < 0x80) out[n++] = plain_ascii((char)named);
                before = named;
                p += length;
                continue;
            }
            out[n++] = mark ? '\n' : plain_ascii(*p);
            before = (unsigned char)*p;
            p += mark ? mark : 1;
            continue;
        }
        uint32_t c = sv_utf8_next(&p, end), after = 0;
        if (c == 0x30FC && p < end) {
            const char *q = p;
            after = sv_utf8_next(&q, end);
        }
        uint32_t to = plain(c, before, after);
        before = c;
        if (to == '|') to = '\n';
        if (to) n += sv_utf8_put(out + n, to);
        if (to == 0x3012) out[n++] = ' '; /* 〒: a sign of its own */
    }
    out[n] = 0;
    *clean_bytes = n;
    return out;
}
