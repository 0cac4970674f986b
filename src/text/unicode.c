/* unicode.c - capitals, normal form and transliteration by ICU; transliterators are kept in the press. */
#include <stdlib.h>
#include <string.h>
#include <unicode/uchar.h>
#include <unicode/unorm2.h>
#include <unicode/ustring.h>
#include <unicode/utrans.h>

#include "text/press.h"
#include "text/text.h"
#include "text/utf16.h"

/* UTF-16 copy of a text, with `room` spare units; NULL when out of memory. Caller frees. */
static UChar *to_utf16(const char *text, int32_t *length, size_t room)
{
    size_t bytes = strlen(text);
    if (bytes > INT32_MAX / 8) return NULL;
    UChar *u = malloc((bytes + room + 1) * sizeof *u);
    if (!u) return NULL;
    UErrorCode e = U_ZERO_ERROR;
    u_strFromUTF8WithSub(u, (int32_t)(bytes + 1), length, text, (int32_t)bytes, 0xFFFD, NULL, &e);
    if (U_SUCCESS(e)) return u;
    free(u);
    return NULL;
}

static const char *from_utf16(sv_arena *arena, const UChar *u, int32_t length)
{
    char *out = sv_alloc(arena, (size_t)length * 3 + 1);
    if (!out) return "";
    UErrorCode e = U_ZERO_ERROR;
    u_strToUTF8(out, length * 3 + 1, NULL, u, length, &e);
    return U_SUCCESS(e) ? out : "";
}

static bool is_ascii(const char *text)
{
    for (; *text; text++) {
        if ((unsigned char)*text >= 0x80) return false;
    }
    return true;
}

static bool dotted_i(const char *language)
{
    return strncmp(language, "tr", 2) == 0 || strncmp(language, "az", 2) == 0;
}

const char *sv_upper(sv_arena *arena, const char *text, const char *language)
{
    if (is_ascii(text) && !dotted_i(language)) return sv_upper_ascii(arena, text);
    int32_t n;
    UChar *u = to_utf16(text, &n, 0);
    if (!u) return text;
    int32_t room = n * 3 + 8, length;
    UChar *big = malloc((size_t)room * sizeof *big);
    UErrorCode e = U_ZERO_ERROR;
    length = big ? u_strToUpper(big, room, u, n, language, &e) : 0;
    const char *out = big && U_SUCCESS(e) ? from_utf16(arena, big, length) : text;
    free(big);
    free(u);
    return out;
}

/* Drops controls and invisible marks but for the joiners that Persian and Indic spelling needs. */
static int32_t drop_invisible(UChar *u, int32_t n, bool *clean)
{
    int32_t kept = 0;
    for (int32_t i = 0; i < n;) {
        int32_t start = i;
        UChar32 c = sv_utf16_next(u, &i, n);
        int8_t type = u_charType(c);
        bool joiner = c == 0x200C || c == 0x200D;
        bool drop = (type == U_CONTROL_CHAR && c != '\n') || (type == U_FORMAT_CHAR && !joiner);
        if (drop) {
            *clean = false;
            continue;
        }
        while (start < i)
            u[kept++] = u[start++];
    }
    return kept;
}

const char *sv_nfc(sv_arena *arena, const char *text, bool *clean)
{
    bool all = true;
    int32_t n;
    UChar *u = to_utf16(text, &n, 0);
    if (!u) return text;
    UErrorCode e = U_ZERO_ERROR;
    n = drop_invisible(u, n, &all);
    const UNormalizer2 *nfc = unorm2_getNFCInstance(&e);
    int32_t room = n * 3 + 8;
    UChar *big = malloc((size_t)room * sizeof *big);
    int32_t length = big ? unorm2_normalize(nfc, u, n, big, room, &e) : 0;
    const char *out = big && U_SUCCESS(e) ? from_utf16(arena, big, length) : text;
    free(big);
    free(u);
    if (clean) *clean = all;
    return out;
}

typedef struct kept_transliterator {
    char id[96];
    UTransliterator *t;
    struct kept_transliterator *next;
} kept_transliterator;

static void drop_transliterators(void *list)
{
    for (kept_transliterator *k = list; k;) {
        kept_transliterator *next = k->next;
        utrans_close(k->t);
        free(k);
        k = next;
    }
}

static UTransliterator *transliterator(sv_press *press, const char *id)
{
    for (kept_transliterator *k = press->slot[SV_PRESS_TEXT]; k; k = k->next) {
        if (strcmp(k->id, id) == 0) return k->t;
    }
    UChar name[96];
    if (strlen(id) >= 96) return NULL;
    u_uastrcpy(name, id);
    UErrorCode e = U_ZERO_ERROR;
    UTransliterator *t = utrans_openU(name, -1, UTRANS_FORWARD, NULL, 0, NULL, &e);
    kept_transliterator *k = U_SUCCESS(e) ? calloc(1, sizeof *k) : NULL;
    if (!k) {
        if (U_SUCCESS(e)) utrans_close(t);
        return NULL;
    }
    memcpy(k->id, id, strlen(id) + 1);
    k->t = t;
    k->next = press->slot[SV_PRESS_TEXT];
    press->slot[SV_PRESS_TEXT] = k;
    press->drop[SV_PRESS_TEXT] = drop_transliterators;
    return t;
}

const char *sv_transliterate(sv_press *press, sv_arena *arena, const char *id, const char *text)
{
    UTransliterator *t = press ? transliterator(press, id) : NULL;
    if (!t) return NULL;
    size_t spare = strlen(text) * 8 + 64;
    int32_t n;
    UChar *u = to_utf16(text, &n, spare);
    if (!u) return NULL;
    int32_t limit = n;
    UErrorCode e = U_ZERO_ERROR;
    utrans_transUChars(t, u, &n, (int32_t)(strlen(text) + spare), 0, &limit, &e);
    const char *out = U_SUCCESS(e) ? from_utf16(arena, u, n) : NULL;
    free(u);
    return out;
}

sv_press *sv_press_new(const sv_world *world)
{
    sv_press *p = calloc(1, sizeof *p);
    if (p) p->world = world;
    return p;
}

void sv_press_free(sv_press *p)
{
    if (!p) return;
    for (int i = 0; i < SV_PRESS_SLOTS; i++) {
        if (p->slot[i]) p->drop[i](p->slot[i]);
    }
    free(p);
}
