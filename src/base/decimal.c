/* decimal.c - exact decimals in 64 bits, worked in 128. What does not fit is unknown, never wrong. */
#include "selvedge/base.h"

#include <string.h>

__extension__ typedef __int128 wide;

#define MOST_SCALE 18

static wide power10(int n)
{
    wide p = 1;
    while (n-- > 0)
        p *= 10;
    return p;
}

static sv_dec narrow(wide units, int scale)
{
    if (scale < 0 || scale > MOST_SCALE || units > INT64_MAX || units < -INT64_MAX) return SV_DEC_UNKNOWN;
    return SV_DEC((int64_t)units, (uint8_t)scale);
}

/* n / d rounded by magnitude. */
static wide divide(wide n, wide d, sv_rounding how)
{
    bool negative = (n < 0) != (d < 0);
    wide un = n < 0 ? -n : n, ud = d < 0 ? -d : d;
    wide q = un / ud, rest = un % ud;
    bool up = false;
    if (rest) {
        wide twice = rest * 2;
        switch (how) {
        case SV_HALF_UP: up = twice >= ud; break;
        case SV_DOWN: up = false; break;
        case SV_UP: up = true; break;
        case SV_HALF_EVEN: up = twice > ud || (twice == ud && (q & 1)); break;
        }
    }
    if (up) q++;
    return negative ? -q : q;
}

bool sv_dec_read(const char *text, sv_dec *out)
{
    *out = SV_DEC_UNKNOWN;
    const char *p = text;
    bool negative = *p == '-';
    if (*p == '-' || *p == '+') p++;
    int64_t units = 0;
    int digits = 0, scale = 0;
    bool point = false, any = false;
    for (; *p; p++) {
        if (*p == '.') {
            if (point) return false;
            point = true;
            continue;
        }
        if (*p < '0' || *p > '9') return false;
        any = true;
        if (units || *p != '0') digits++;
        if (digits > MOST_SCALE || (point && scale == MOST_SCALE)) return false;
        units = units * 10 + (*p - '0');
        if (point) scale++;
    }
    if (!any) return false;
    *out = SV_DEC(negative ? -units : units, (uint8_t)scale);
    return true;
}

sv_dec sv_dec_int(int64_t value)
{
    return SV_DEC(value, 0);
}

/* Both at the larger scale of the two. */
static int align(sv_dec a, sv_dec b, wide *x, wide *y)
{
    int scale = a.scale > b.scale ? a.scale : b.scale;
    *x = a.units * power10(scale - a.scale);
    *y = b.units * power10(scale - b.scale);
    return scale;
}

sv_dec sv_dec_add(sv_dec a, sv_dec b)
{
    if (!a.known || !b.known) return SV_DEC_UNKNOWN;
    wide x, y;
    int scale = align(a, b, &x, &y);
    return narrow(x + y, scale);
}

sv_dec sv_dec_sub(sv_dec a, sv_dec b)
{
    b.units = -b.units;
    return sv_dec_add(a, b);
}

/* Drops zeros at the end until it fits. */
static sv_dec fit(wide units, int scale)
{
    while (scale > 0 && units % 10 == 0 && (scale > MOST_SCALE || units > INT64_MAX || units < -INT64_MAX)) {
        units /= 10;
        scale--;
    }
    return narrow(units, scale);
}

sv_dec sv_dec_mul(sv_dec a, sv_dec b)
{
    if (!a.known || !b.known) return SV_DEC_UNKNOWN;
    return fit((wide)a.units * b.units, a.scale + b.scale);
}

sv_dec sv_dec_div(sv_dec a, sv_dec b, int scale, sv_rounding how)
{
    if (!a.known || !b.known || b.units == 0 || scale < 0 || scale > MOST_SCALE) return SV_DEC_UNKNOWN;
    int shift = scale + b.scale - a.scale;
    wide n = a.units, d = b.units;
    if (shift >= 0) {
        if (shift > 19) return SV_DEC_UNKNOWN;
        n *= power10(shift);
    } else {
        d *= power10(-shift);
    }
    return narrow(divide(n, d, how), scale);
}

sv_dec sv_dec_round(sv_dec a, int scale, sv_rounding how)
{
    if (!a.known || scale < 0 || scale > MOST_SCALE) return SV_DEC_UNKNOWN;
    if (scale >= a.scale) return narrow(a.units * power10(scale - a.scale), scale);
    return narrow(divide(a.units, power10(a.scale - scale), how), scale);
}

int sv_dec_cmp(sv_dec a, sv_dec b)
{
    if (!a.known || !b.known) return (int)a.known - (int)b.known;
    wide x, y;
    align(a, b, &x, &y);
    return x < y ? -1 : x > y;
}

int64_t sv_dec_to_int(sv_dec a, sv_rounding how)
{
    return sv_dec_round(a, 0, how).units;
}

const char *sv_dec_write(sv_dec a, char out[24])
{
    char *end = out + 23, *p = end;
    *p = 0;
    if (!a.known) return p;
    uint64_t v = a.units < 0 ? 0 - (uint64_t)a.units : (uint64_t)a.units;
    int left = a.scale;
    do {
        *--p = (char)('0' + v % 10);
        v /= 10;
        if (left > 0 && --left == 0) *--p = '.';
    } while (v || left > 0 || *p == '.');
    if (a.units < 0) *--p = '-';
    return memmove(out, p, (size_t)(end - p) + 1);
}

const char *sv_dec_text(sv_arena *arena, sv_dec a)
{
    char out[24];
    return sv_copy(arena, sv_dec_write(a, out));
}

const char *sv_dec_text_short(sv_arena *arena, sv_dec a)
{
    while (a.known && a.scale > 0 && a.units % 10 == 0) {
        a.units /= 10;
        a.scale--;
    }
    return sv_dec_text(arena, a);
}
