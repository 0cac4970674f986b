/* utf8.c - walking and checking UTF-8. */
#include "base/utf8.h"

/* Decodes at p (p < end): gives the length, 0 for a sequence that is not well formed (overlong, surrogate,
 * cut). */
static size_t decode(const unsigned char *p, const unsigned char *end, uint32_t *c)
{
    static const uint32_t least[] = {0, 0, 0x80, 0x800, 0x10000};
    if (*p < 0x80) {
        *c = *p;
        return 1;
    }
    size_t n = *p >= 0xF0 ? 4 : *p >= 0xE0 ? 3 : 2;
    if (*p < 0xC2 || *p > 0xF4 || (size_t)(end - p) < n) return 0;
    uint32_t v = *p & (0xFFu >> (n + 1));
    for (size_t i = 1; i < n; i++) {
        if ((p[i] & 0xC0) != 0x80) return 0;
        v = v << 6 | (p[i] & 0x3Fu);
    }
    if (v < least[n] || v > 0x10FFFF || (v >= 0xD800 && v <= 0xDFFF)) return 0;
    *c = v;
    return n;
}

uint32_t sv_utf8_next(const char **text, const char *end)
{
    uint32_t c = 0xFFFD;
    size_t n = decode((const unsigned char *)*text, (const unsigned char *)end, &c);
    *text += n ? n : 1;
    return c;
}

size_t sv_utf8_put(char out[4], uint32_t c)
{
    if (c < 0x80) {
        out[0] = (char)c;
        return 1;
    }
    size_t n = c < 0x800 ? 2 : c < 0x10000 ? 3 : 4;
    for (size_t i = n - 1; i > 0; i--, c >>= 6)
        out[i] = (char)(0x80 | (c & 0x3F));
    out[0] = (char)((0xF00u >> n & 0xFF) | c);
    return n;
}

bool sv_utf8_valid(const char *text, size_t bytes, size_t *at)
{
    const unsigned char *p = (const unsigned char *)text, *end = p + bytes;
    while (p < end) {
        uint32_t c;
        size_t n = decode(p, end, &c);
        if (n == 0) {
            if (at) *at = (size_t)(p - (const unsigned char *)text);
            return false;
        }
        p += n;
    }
    return true;
}

size_t sv_utf8_length(const char *text)
{
    size_t n = 0;
    for (; *text; text++)
        n += ((unsigned char)*text & 0xC0) != 0x80;
    return n;
}
