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

static char plain_ascii(char c)
{
    if (c == '\r' || c == '\n' || c == '\v' || c == '\f' || c == '|' || c == '\t') return '\n';
    return (unsigned char)c < 0x20 || c == 0x7f ? ' ' : c;
}

const char *sp_clean(sv_arena *arena, const char *block, size_t bytes, size_t *clean_bytes)
{
    *clean_bytes = 0;
    char *out = sv_alloc(arena, bytes * 3 + 1); /* a bad byte becomes U+FFFD, of three bytes */
    if (!out) return "";
    const char *p = block, *end = block + bytes;
    size_t n = 0;
    uint32_t before = 0;
    while (p < end) {
        if ((unsigned char)*p < 0x80) {
            size_t mark = *p == '<' ? line_break(p, end) : 0;
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
    }
    out[n] = 0;
    *clean_bytes = n;
    return out;
}
