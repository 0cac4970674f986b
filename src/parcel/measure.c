/* measure.c - weights and lengths with their units, converted without rounding. */
#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/banned.h"
#include "parcel/fields.h"

/* UN/ECE Recommendation 20 (GRM KGM ONZ LBR MMT CMT INH); the ounce is a sixteenth of the pound. */
static const struct unit {
    const char *word;
    sv_measure what;
    sv_dec factor; /* grams or millimetres in one */
} units[] = {
    {"g", SV_WEIGHT, {1, 0, true}},
    {"kg", SV_WEIGHT, {1000, 0, true}},
    {"oz", SV_WEIGHT, {28349523125, 9, true}},
    {"lb", SV_WEIGHT, {45359237, 5, true}},
    {"lbs", SV_WEIGHT, {45359237, 5, true}},
    {"mm", SV_LENGTH, {1, 0, true}},
    {"cm", SV_LENGTH, {10, 0, true}},
    {"in", SV_LENGTH, {254, 1, true}},
};

static const struct unit *unit_of(const char *word, size_t n, sv_measure what)
{
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        bool same =
            units[i].what == what && strlen(units[i].word) == n && strncasecmp(units[i].word, word, n) == 0;
        if (same) return &units[i];
    }
    return NULL;
}

static const char *skip_blanks(const char *p)
{
    while (*p == ' ' || *p == '\t' || strncmp(p, "\xC2\xA0", 2) == 0)
        p += *p == ' ' || *p == '\t' ? 1 : 2;
    return p;
}

/* A number and, behind it, its unit; moves *text behind both. *bare: no unit stood there. */
static bool one(const char **text, sv_measure what, sv_dec *out, bool *bare)
{
    char number[32];
    const char *p = *text;
    size_t n = strspn(p, "0123456789.+-");
    if (n == 0 || n >= sizeof number) return false;
    memcpy(number, p, n);
    number[n] = 0;
    sv_dec value;
    if (!sv_dec_read(number, &value)) return false;
    p = skip_blanks(p + n);
    size_t letters = 0;
    while (isalpha((unsigned char)p[letters]))
        letters++;
    *bare = letters == 0;
    const struct unit *unit = *bare ? NULL : unit_of(p, letters, what);
    if (!unit && !*bare) return false;
    *out = unit ? sv_dec_mul(value, unit->factor) : value;
    p += letters;
    if (letters && *p == '.') p++;
    *text = skip_blanks(p);
    return out->known;
}

/* Several may follow each other, each with its unit: "1 lb 3.5 oz". */
bool sv_measure_read(const char *text, sv_measure what, sv_dec *out)
{
    sv_dec sum = SV_DEC_UNKNOWN, part;
    bool bare;
    *out = SV_DEC_UNKNOWN;
    for (text = skip_blanks(text); *text;) {
        if (!one(&text, what, &part, &bare)) return false;
        bool mixed = bare && (sum.known || *text);
        if (mixed) return false;
        sum = sum.known ? sv_dec_add(sum, part) : part;
        if (!sum.known) return false;
    }
    *out = sum;
    return sum.known;
}
