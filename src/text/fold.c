/* fold.c - folding for comparison. ASCII goes straight through; the rest by ICU, code point by code point. */
#include <stdlib.h>
#include <string.h>
#include <unicode/uchar.h>
#include <unicode/unorm2.h>
#include <unicode/ustring.h>

#include "text/text.h"
#include "text/utf16.h"

/* Latin letters that have no decomposition, spelt out. Lower case only: the case is folded first. */
static const struct {
    UChar32 letter;
    const char *spelt;
} spelt_out[] = {{0x00DF, "ss"}, {0x00E6, "ae"}, {0x00F0, "d"}, {0x00F8, "o"}, {0x00FE, "th"}, {0x0111, "d"},
                 {0x0127, "h"},  {0x0131, "i"},  {0x0138, "k"}, {0x0142, "l"}, {0x014B, "n"},  {0x0153, "oe"},
                 {0x0167, "t"},  {0x0180, "b"},  {0x0192, "f"}, {0x01A1, "o"}, {0x01B0, "u"},  {0x0219, "s"},
                 {0x021B, "t"},  {0x0259, "e"},  {0x1E9E, "ss"}};

typedef struct sink {
    char *out;
    size_t room, n;
    bool blank; /* a blank waits to be written before the next letter */
    bool overflow;
} sink;

static void emit(sink *s, const char *bytes, size_t n)
{
    if (s->blank && s->n) {
        s->blank = false;
        emit(s, " ", 1);
    }
    s->blank = false;
    if (s->n + n >= s->room) {
        s->overflow = true;
        return;
    }
    memcpy(s->out + s->n, bytes, n);
    s->n += n;
}

static void emit_code_point(sink *s, UChar32 c)
{
    char bytes[4] = {0};
    emit(s, bytes, sv_utf8_put(bytes, (uint32_t)c));
}

static void fold_letter(sink *s, UChar32 c)
{
    c = u_foldCase(c, U_FOLD_CASE_DEFAULT);
    if (c < 0x80) {
        char b = (char)c;
        emit(s, &b, 1);
        return;
    }
    for (size_t i = 0; c < 0x2000 && i < sizeof spelt_out / sizeof *spelt_out; i++) {
        if (spelt_out[i].letter != c) continue;
        emit(s, spelt_out[i].spelt, strlen(spelt_out[i].spelt));
        return;
    }
    emit_code_point(s, c);
}

static void fold_decomposed(sink *s, UChar32 c)
{
    if (u_isUWhiteSpace(c)) {
        s->blank = true;
        return;
    }
    int8_t type = u_charType(c);
    /* Marks are dropped where they are accents (Latin, Greek, Cyrillic, Arabic and Hebrew points); in scripts
     * whose vowels are marks (Indic, Thai) they carry the word and stay. */
    if (type == U_NON_SPACING_MARK && (c < 0x0900 || (c >= 0x1DC0 && c < 0x2100) || c >= 0xFE00)) return;
    if (type == U_FORMAT_CHAR || type == U_CONTROL_CHAR) return;
    int32_t digit = u_charDigitValue(c);
    if (digit >= 0) {
        char b = (char)('0' + digit);
        emit(s, &b, 1);
        return;
    }
    fold_letter(s, c);
}

/* Hangul stays composed: its decomposition would only make words longer. */
static bool is_hangul(UChar32 c)
{
    return c >= 0xAC00 && c <= 0xD7A3;
}

static void fold_code_point(sink *s, const UNormalizer2 *nfkd, UChar32 c)
{
    if (c == 0x3099 || c == 0x309A) return;
    if (is_hangul(c) || (c >= 0x4E00 && c <= 0x9FFF) || (c >= 0x3041 && c <= 0x30FE)) {
        emit_code_point(s, c);
        return;
    }
    UChar parts[32];
    UErrorCode e = U_ZERO_ERROR;
    int32_t n = unorm2_getDecomposition(nfkd, c, parts, 32, &e);
    if (n < 0 || U_FAILURE(e)) {
        fold_decomposed(s, c);
        return;
    }
    for (int32_t i = 0; i < n;)
        fold_decomposed(s, sv_utf16_next(parts, &i, n));
}

static bool plain_byte(sink *s, unsigned char b)
{
    if (b >= 0x80) return false;
    if (b == ' ' || (b >= '\t' && b <= '\r')) {
        s->blank = true;
        return true;
    }
    if (b < 0x20 || b == 0x7f) return true;
    char c = (char)(b >= 'A' && b <= 'Z' ? b + 32 : b);
    emit(s, &c, 1);
    return true;
}

size_t sv_fold_into(char *out, size_t room, const char *text, size_t bytes)
{
    sink s = {.out = out, .room = room};
    const UNormalizer2 *nfkd = NULL;
    const char *end = text + bytes;
    while (text < end && !s.overflow) {
        if (plain_byte(&s, (unsigned char)*text)) {
            text++;
            continue;
        }
        if (!nfkd) {
            UErrorCode e = U_ZERO_ERROR;
            nfkd = unorm2_getNFKDInstance(&e);
            if (U_FAILURE(e)) return SIZE_MAX;
        }
        fold_code_point(&s, nfkd, (UChar32)sv_utf8_next(&text, end));
    }
    if (s.overflow || room == 0) return SIZE_MAX;
    out[s.n] = 0;
    return s.n;
}

const char *sv_fold(sv_arena *arena, const char *text, size_t bytes)
{
    char small[512];
    size_t n = sv_fold_into(small, sizeof small, text, bytes);
    if (n != SIZE_MAX) return sv_copy_n(arena, small, n);
    /* The longest decomposition of one code point is 18 of them (U+FDFA). */
    size_t room = bytes * 18 + 1;
    char *large = malloc(room);
    if (!large) {
        sv_alloc(arena, SIZE_MAX); /* marks the arena failed */
        return "";
    }
    n = sv_fold_into(large, room, text, bytes);
    const char *copy = n == SIZE_MAX ? "" : sv_copy_n(arena, large, n);
    free(large);
    return copy;
}
