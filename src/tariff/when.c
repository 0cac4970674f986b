/* when.c - reads the conditions of the tariff's rows: "wearer=men,boys construction=knit". */
#include <string.h>

#include "tariff/tariff.h"

static const char *const group_words[SV_GROUPS] = {"silk",        "wool",   "cashmere",  "fine-hair",
                                                   "coarse-hair", "cotton", "vegetable", "synthetic",
                                                   "artificial",  "other"};

static int value_of(int fact, const char *word, size_t bytes)
{
    if (fact != SV_GROUP) return sv_fact_value(fact, word, bytes);
    for (int i = 0; i < SV_GROUPS; i++) {
        if (strncmp(group_words[i], word, bytes) == 0 && !group_words[i][bytes]) return i + 1;
    }
    return 0;
}

static int fact_of(const char *name, size_t bytes)
{
    if (bytes == 5 && strncmp(name, "group", 5) == 0) return SV_GROUP;
    return sv_fact_find(name, bytes);
}

/* The values of one condition, from after its "=" to the blank. */
static sv_status read_values(const sv_tariff *t, sv_condition *c, const char *from, const char *end,
                             const char *where, sv_error *err)
{
    if (end - from == 1 && *from == '*') {
        c->allowed = t->meta[c->fact].all;
        return SV_OK;
    }
    while (from < end) {
        const char *comma = memchr(from, ',', (size_t)(end - from));
        const char *stop = comma ? comma : end;
        int value = value_of(c->fact, from, (size_t)(stop - from));
        if (!value)
            return sv_fail(err, SV_BAD_FORMAT, "%s: the fact %s has no value \"%.*s\"", where,
                           c->fact == SV_GROUP ? "group" : sv_fact_name(c->fact), (int)(stop - from), from);
        c->allowed |= sv_bit(value);
        from = comma ? comma + 1 : end;
    }
    return SV_OK;
}

static size_t count_words(const char *text)
{
    size_t n = 0;
    for (const char *p = text; *p; p++)
        n += *p != ' ' && (p == text || p[-1] == ' ');
    return n;
}

sv_status sv_when_read(const sv_tariff *t, sv_arena *arena, const char *text, const char *where, sv_when *out,
                       sv_error *err)
{
    size_t words = count_words(text);
    sv_condition *c = SV_NEW_ARRAY(arena, words + 1, sv_condition);
    if (!c) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the tariff");
    *out = (sv_when){c, words};
    for (const char *p = text; *p; c++) {
        p += strspn(p, " ");
        if (!*p) break;
        size_t word = strcspn(p, " ");
        const char *equals = memchr(p, '=', word);
        int fact = equals ? fact_of(p, (size_t)(equals - p)) : -1;
        if (fact < 0)
            return sv_fail(err, SV_BAD_FORMAT, "%s: \"%.*s\" is not a fact of lexicon/facts and its value",
                           where, (int)word, p);
        c->fact = (uint8_t)fact;
        sv_status s = read_values(t, c, equals + 1, p + word, where, err);
        if (s) return s;
        p += word;
    }
    return SV_OK;
}

bool sv_listed(const char *list, const char *word)
{
    size_t n = strlen(word);
    for (const char *p = list; n && (p = strstr(p, word)); p++) {
        if ((p == list || p[-1] == ' ') && (p[n] == ' ' || !p[n])) return true;
    }
    return false;
}
