/* arena.c - blocks that grow, and strings in them. */
#include "selvedge/base.h"

#include <ctype.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/banned.h"

#define FIRST_BLOCK  ((size_t)16 << 10)
#define LARGEST_STEP ((size_t)1 << 20)
#define ALIGN        16

typedef struct block {
    struct block *next;
    size_t size, used;
    max_align_t data[];
} block;

struct sv_arena {
    block *first, *current;
    size_t limit, used;
    bool failed;
};

sv_arena *sv_arena_new(void)
{
    return sv_arena_new_limited(0);
}

sv_arena *sv_arena_new_limited(size_t most_bytes)
{
    sv_arena *a = calloc(1, sizeof *a);
    if (a) a->limit = most_bytes;
    return a;
}

void sv_arena_free(sv_arena *a)
{
    if (!a) return;
    for (block *b = a->first; b;) {
        block *next = b->next;
        free(b);
        b = next;
    }
    free(a);
}

void sv_arena_reset(sv_arena *a)
{
    for (block *b = a->first; b; b = b->next)
        b->used = 0;
    a->current = a->first;
    a->used = 0;
    a->failed = false;
}

bool sv_arena_failed(const sv_arena *a)
{
    return a->failed;
}

size_t sv_arena_used(const sv_arena *a)
{
    return a->used;
}

static void *fail(sv_arena *a)
{
    a->failed = true;
    return NULL;
}

/* Makes `current` a block with room for `bytes`: the next kept one that is large enough, or a new one. */
static bool grow(sv_arena *a, size_t bytes)
{
    block *last = a->current;
    for (block *b = last ? last->next : a->first; b; last = b, b = b->next) {
        if (b->size >= bytes) {
            a->current = b;
            return true;
        }
    }
    size_t size = a->current ? a->current->size * 2 : FIRST_BLOCK;
    if (size > LARGEST_STEP) size = LARGEST_STEP;
    if (size < bytes) size = bytes;
    block *b = malloc(sizeof *b + size);
    if (!b) return false;
    b->next = NULL;
    b->size = size;
    b->used = 0;
    if (last) {
        last->next = b;
    } else {
        a->first = b;
    }
    a->current = b;
    return true;
}

void *sv_alloc(sv_arena *a, size_t bytes)
{
    if (a->failed || bytes > SIZE_MAX / 2) return fail(a);
    size_t n = (bytes + ALIGN - 1) & ~(size_t)(ALIGN - 1);
    if (n == 0) n = ALIGN;
    if (a->limit && a->used + n > a->limit) return fail(a);
    if (!a->current || a->current->size - a->current->used < n) {
        if (!grow(a, n)) return fail(a);
    }
    char *p = (char *)a->current->data + a->current->used;
    a->current->used += n;
    a->used += n;
    return memset(p, 0, n);
}

void *sv_alloc_array(sv_arena *a, size_t count, size_t size)
{
    if (size && count > SIZE_MAX / 2 / size) return fail(a);
    return sv_alloc(a, count * size);
}

const char *sv_copy_n(sv_arena *a, const char *text, size_t bytes)
{
    if (bytes == 0) return "";
    char *p = sv_alloc(a, bytes + 1);
    if (!p) return "";
    memcpy(p, text, bytes);
    return p;
}

const char *sv_copy(sv_arena *a, const char *text)
{
    return text ? sv_copy_n(a, text, strlen(text)) : "";
}

const char *sv_format(sv_arena *a, const char *format, ...)
{
    va_list args, again;
    va_start(args, format);
    va_copy(again, args);
    int n = vsnprintf(NULL, 0, format, args);
    va_end(args);
    char *p = n >= 0 ? sv_alloc(a, (size_t)n + 1) : NULL;
    if (p) vsnprintf(p, (size_t)n + 1, format, again);
    va_end(again);
    return p ? p : "";
}

const char *sv_trim(sv_arena *a, const char *text, size_t bytes)
{
    while (bytes && isspace((unsigned char)text[0])) {
        text++;
        bytes--;
    }
    while (bytes && isspace((unsigned char)text[bytes - 1]))
        bytes--;
    return sv_copy_n(a, text, bytes);
}

sv_status sv_fail(sv_error *err, sv_status status, const char *format, ...)
{
    if (!err) return status;
    err->status = status;
    va_list args;
    va_start(args, format);
    vsnprintf(err->text, sizeof err->text, format, args);
    va_end(args);
    return status;
}

const char *sv_upper_ascii(sv_arena *a, const char *text)
{
    size_t n = strlen(text);
    char *out = sv_alloc(a, n + 1);
    if (!out) return "";
    for (size_t i = 0; i < n; i++)
        out[i] = (char)(text[i] >= 'a' && text[i] <= 'z' ? text[i] - 32 : text[i]);
    return out;
}
