/* cells.c - what each type of column admits. */
#include "base/cells.h"

#include <string.h>

#include "selvedge/base.h"

static bool all_digits(const char *p, int n)
{
    for (int i = 0; i < n; i++) {
        if (p[i] < '0' || p[i] > '9') return false;
    }
    return true;
}

static int two(const char *p)
{
    return (p[0] - '0') * 10 + (p[1] - '0');
}

bool sv_is_date(const char *t)
{
    static const int days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (strlen(t) != 10 || t[4] != '-' || t[7] != '-') return false;
    if (!all_digits(t, 4) || !all_digits(t + 5, 2) || !all_digits(t + 8, 2)) return false;
    int year = two(t) * 100 + two(t + 2), month = two(t + 5), day = two(t + 8);
    if (month < 1 || month > 12 || day < 1 || day > days[month - 1]) return false;
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return month != 2 || day < 29 || leap;
}

static const char *wrong_key(const char *c)
{
    return *c ? NULL : "a key must be filled";
}
static const char *wrong_text(const char *c)
{
    (void)c;
    return NULL;
}
static const char *wrong_filled(const char *c)
{
    return *c ? NULL : "must be filled";
}
static const char *wrong_int(const char *c)
{
    size_t sign = *c == '-';
    return !*c || (strlen(c) > sign && all_digits(c + sign, (int)strlen(c + sign)))
               ? NULL
               : "a whole number is wanted";
}
static const char *wrong_dec(const char *c)
{
    sv_dec d;
    return !*c || sv_dec_read(c, &d) ? NULL : "a plain decimal is wanted";
}
static const char *wrong_date(const char *c)
{
    return !*c || sv_is_date(c) ? NULL : "a date like 2026-11-25 is wanted";
}
static const char *wrong_source(const char *c)
{
    return *c ? NULL : "the source must be named (or: memory)";
}
static const char *wrong_as_of(const char *c)
{
    return sv_is_date(c) ? NULL : "the day the source was last read is wanted, like 2026-11-25";
}
static bool capitals(const char *c)
{
    return c[0] >= 'A' && c[0] <= 'Z' && c[1] >= 'A' && c[1] <= 'Z' && !c[2];
}
static const char *wrong_country(const char *c)
{
    return !*c || capitals(c) || strcmp(c, "any") == 0
               ? NULL
               : "a country code of two capitals, EU or any is wanted";
}

static const struct {
    const char *name;
    const char *(*wrong)(const char *);
} types[] = {{"key", wrong_key},       {"text", wrong_text},   {"text!", wrong_filled},
             {"int", wrong_int},       {"dec", wrong_dec},     {"date", wrong_date},
             {"source", wrong_source}, {"as_of", wrong_as_of}, {"country", wrong_country}};

static bool is_words(const char *type)
{
    return strncmp(type, "words(", 6) == 0 || strncmp(type, "words!(", 7) == 0;
}

bool sv_cell_type_known(const char *type)
{
    for (size_t i = 0; i < sizeof types / sizeof *types; i++) {
        if (strcmp(types[i].name, type) == 0) return true;
    }
    return is_words(type);
}

static const char *wrong_word(const char *type, const char *c)
{
    bool must = type[5] == '!';
    if (!*c) return must ? "must be filled" : NULL;
    size_t n = strlen(c);
    for (const char *p = strchr(type, '(') + 1; *p;) {
        size_t length = strcspn(p, "|)");
        if (length == n && strncmp(p, c, n) == 0) return NULL;
        p += length + 1;
    }
    return "not one of the words of this column";
}

const char *sv_cell_wrong(const char *type, const char *cell)
{
    if (is_words(type)) return wrong_word(type, cell);
    for (size_t i = 0; i < sizeof types / sizeof *types; i++) {
        if (strcmp(types[i].name, type) == 0) return types[i].wrong(cell);
    }
    return NULL;
}
