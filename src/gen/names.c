/* names.c - makes data/atlas/names.tsv: what each place is called in every language of ICU and of Debian's
 * iso-codes.
 *
 * Run when either is renewed, and look at the difference before committing it:
 *   cc -std=c11 -D_POSIX_C_SOURCE=200809L -Iinclude -Isrc -Ibuild/gen src/gen/names.c build/libselvedge.a \
 *      $(pkg-config --libs icu-uc icu-i18n) -o build/names && build/names DAY > data/atlas/names.tsv
 * The names are written as the keys that lookups make, so that opening the table folds nothing.
 */
#include <glob.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unicode/uldnames.h>
#include <unicode/uloc.h>
#include <unicode/ustring.h>
#include <unicode/uvernum.h>

#include "atlas/atlas.h"
#include "base/files.h"

typedef struct pair {
    const char *code, *key;
} pair;

typedef struct pairs {
    sv_arena *arena;
    pair *list;
    size_t n, room;
} pairs;

static void add(pairs *all, const char *code, const char *name)
{
    char key[192];
    size_t n = sv_alias_key(key, sizeof key, name, strlen(name));
    /* Two Latin letters are a code, not a name; a vertical bar parts the names. */
    if (n == SIZE_MAX || n == 0 || strchr(key, '|') || (n <= 2 && (unsigned char)key[0] < 0x80)) return;
    if (all->n == all->room) {
        all->room = all->room ? all->room * 2 : 4096;
        all->list = realloc(all->list, all->room * sizeof *all->list);
        if (!all->list) exit(4);
    }
    all->list[all->n++] = (pair){code, sv_copy(all->arena, key)};
}

static void add_utf16(pairs *all, const char *code, const UChar *u, int32_t n)
{
    char name[512];
    UErrorCode e = U_ZERO_ERROR;
    u_strToUTF8(name, sizeof name, NULL, u, n, &e);
    if (U_SUCCESS(e) && strcmp(name, code) != 0) add(all, code, name);
}

static void from_icu(pairs *all, const char *locale)
{
    static const UDisplayContext lengths[] = {UDISPCTX_LENGTH_FULL, UDISPCTX_LENGTH_SHORT};
    for (int k = 0; k < 2; k++) {
        UErrorCode e = U_ZERO_ERROR;
        UDisplayContext context[] = {lengths[k]};
        ULocaleDisplayNames *names = uldn_openForContext(locale, context, 1, &e);
        if (U_FAILURE(e)) continue;
        for (const char *const *c = uloc_getISOCountries(); *c; c++) {
            UChar u[256];
            e = U_ZERO_ERROR;
            int32_t n = uldn_regionDisplayName(names, *c, u, 256, &e);
            if (U_SUCCESS(e) && n > 0) add_utf16(all, *c, u, n);
        }
        uldn_close(names);
    }
}

/* A GNU message catalogue: two tables of (length, offset), the originals sorted. */
static uint32_t word_at(const char *mo, size_t at)
{
    uint32_t w;
    memcpy(&w, mo + at, 4);
    return w;
}

static const char *translated(const char *mo, size_t bytes, const char *original)
{
    if (bytes < 28 || word_at(mo, 0) != 0x950412de) return "";
    uint32_t n = word_at(mo, 8), from = word_at(mo, 12), to = word_at(mo, 16);
    for (uint32_t i = 0; i < n; i++) {
        if (strcmp(mo + word_at(mo, from + 8 * i + 4), original) == 0)
            return mo + word_at(mo, to + 8 * i + 4);
    }
    return "";
}

static void from_catalogues(pairs *all, const char *code, const char *english)
{
    static glob_t found;
    static const char *text[400];
    static size_t bytes[400];
    if (!found.gl_pathc && glob("/usr/share/locale/*/LC_MESSAGES/iso_3166-1.mo", 0, NULL, &found) == 0) {
        for (size_t i = 0; i < found.gl_pathc && i < 400; i++) {
            if (sv_file_read(all->arena, found.gl_pathv[i], 1 << 24, &text[i], &bytes[i], NULL)) exit(3);
        }
    }
    add(all, code, english);
    for (size_t i = 0; i < found.gl_pathc && i < 400; i++)
        add(all, code, translated(text[i], bytes[i], english));
}

/* iso_3166-1.json has one "key": "value" a line; alpha_2 comes first. */
static void from_iso_codes(pairs *all)
{
    const char *text;
    size_t bytes;
    if (sv_file_read(all->arena, "/usr/share/iso-codes/json/iso_3166-1.json", 1 << 24, &text, &bytes, NULL))
        exit(3);
    char code[3] = "";
    for (const char *p = text; (p = strchr(p, '\n')) != NULL; p++) {
        char key[32], value[256];
        if (sscanf(p, " \"%31[a-z_0-9]\": \"%255[^\"]\"", key, value) != 2) continue;
        if (strcmp(key, "alpha_2") == 0) memcpy(code, value, 3);
        if (strcmp(key, "name") == 0 || strcmp(key, "official_name") == 0 || strcmp(key, "common_name") == 0)
            from_catalogues(all, sv_copy(all->arena, code), value);
    }
}

static int by_code_then_key(const void *a, const void *b)
{
    const pair *x = a, *y = b;
    int order = strcmp(x->code, y->code);
    return order ? order : strcmp(x->key, y->key);
}

int main(int argc, char **argv)
{
    pairs all = {.arena = sv_arena_new()};
    if (argc != 2 || !all.arena) return 2;
    for (int32_t i = 0; i < uloc_countAvailable(); i++)
        from_icu(&all, uloc_getAvailable(i));
    from_iso_codes(&all);
    qsort(all.list, all.n, sizeof *all.list, by_code_then_key);
    printf("country\tnames\tsource\tas_of\n#key\ttext!\tsource\tas_of\n"
           "# Made by src/gen/names.c. Names as lookup keys, apart by |.\n");
    static const char source[] = "\tCLDR (ICU " U_ICU_VERSION "); iso-codes 4.15.0\t";
    const char *code = "";
    for (size_t i = 0; i < all.n; i++) {
        const pair *p = &all.list[i];
        bool same = strcmp(code, p->code) == 0;
        if (strstr("EA IC DG AC TA CP", p->code) || (same && strcmp(p->key, p[-1].key) == 0)) continue;
        if (!same && *code) printf("%s%s\n", source, argv[1]);
        if (!same) printf("%s\t", p->code);
        printf("%s%s", same ? "|" : "", p->key);
        code = p->code;
    }
    printf("%s%s\n", source, argv[1]);
    sv_arena_free(all.arena);
    return 0;
}
