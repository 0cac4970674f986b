/* utf16.h - one step through UTF-16 as ICU hands it out. */
#ifndef SV_UTF16_H
#define SV_UTF16_H

#include <unicode/utypes.h>

/* The code point at u[*i] of n units; moves *i on. A lone surrogate is given as it is. */
static inline UChar32 sv_utf16_next(const UChar *u, int32_t *i, int32_t n)
{
    UChar32 c = u[(*i)++];
    if (c < 0xD800 || c > 0xDBFF || *i >= n || u[*i] < 0xDC00 || u[*i] > 0xDFFF) return c;
    return 0x10000 + ((c - 0xD800) << 10) + (u[(*i)++] - 0xDC00);
}

#endif
