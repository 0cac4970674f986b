/* buf.c - the output buffer. */
#include "base/buf.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/banned.h"

void sv_buf_init(sv_buf *b, size_t limit)
{
    *b = (sv_buf){.limit = limit ? limit : SV_BUF_LIMIT};
}

void sv_buf_free(sv_buf *b)
{
    free(b->data);
    *b = (sv_buf){.limit = b->limit};
}

void sv_buf_reset(sv_buf *b)
{
    b->length = 0;
    b->failed = SV_OK;
    if (b->data) b->data[0] = 0;
}

/* Room for n more bytes and the end mark; false marks the failure. */
static bool room(sv_buf *b, size_t n)
{
    if (b->failed) return false;
    size_t limit = b->limit ? b->limit : SV_BUF_LIMIT;
    if (n > limit || b->length > limit - n) {
        b->failed = SV_LIMIT;
        return false;
    }
    if (b->capacity > b->length + n) return true;
    size_t capacity = b->capacity ? b->capacity : 256;
    while (capacity <= b->length + n)
        capacity *= 2;
    char *data = realloc(b->data, capacity);
    if (!data) {
        b->failed = SV_NO_MEMORY;
        return false;
    }
    b->data = data;
    b->capacity = capacity;
    return true;
}

void sv_put_n(sv_buf *b, const void *bytes, size_t n)
{
    if (n == 0 || !room(b, n)) return;
    memcpy(b->data + b->length, bytes, n);
    b->length += n;
    b->data[b->length] = 0;
}

void sv_put(sv_buf *b, const char *text)
{
    sv_put_n(b, text, strlen(text));
}

void sv_put_char(sv_buf *b, char c)
{
    sv_put_n(b, &c, 1);
}

void sv_put_format(sv_buf *b, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    if (n > 0 && room(b, (size_t)n)) {
        vsnprintf(b->data + b->length, (size_t)n + 1, format, again);
        b->length += (size_t)n;
    }
    va_end(again);
}

void sv_put_int(sv_buf *b, int64_t value)
{
    char digits[24];
    size_t at = sizeof digits;
    uint64_t v = value < 0 ? 0 - (uint64_t)value : (uint64_t)value;
    do {
        digits[--at] = (char)('0' + v % 10);
        v /= 10;
    } while (v);
    if (value < 0) digits[--at] = '-';
    sv_put_n(b, digits + at, sizeof digits - at);
}

const char *sv_buf_copy(const sv_buf *b, sv_arena *arena)
{
    return sv_copy_n(arena, b->data, b->length);
}
