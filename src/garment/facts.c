/* facts.c - the vocabulary of facts, from data/lexicon/facts.tsv at build time. */
#include <string.h>

#include "selvedge/garment.h"

typedef struct row {
    const char *name;
    const char *values; /* texts one after the other; an empty one ends them */
} row;

static const row rows[SV_FACT_COUNT] = {
#define SV_FACT_ROW(id, name, values, question) [id] = {name, values "\0"},
#include "fact_rows.inc"
#undef SV_FACT_ROW
};

static bool is_fact(int fact)
{
    return fact >= 0 && fact < SV_FACT_COUNT;
}

static bool equal(const char *text, const char *word, size_t bytes)
{
    return strncmp(text, word, bytes) == 0 && !text[bytes];
}

const char *sv_fact_name(int fact)
{
    return is_fact(fact) ? rows[fact].name : "";
}

int sv_fact_find(const char *name, size_t bytes)
{
    for (int i = 0; i < SV_FACT_COUNT; i++) {
        if (equal(rows[i].name, name, bytes)) return i;
    }
    return -1;
}

int sv_fact_value(int fact, const char *word, size_t bytes)
{
    if (!is_fact(fact)) return 0;
    int value = 1;
    for (const char *p = rows[fact].values; *p; p += strlen(p) + 1, value++) {
        if (equal(p, word, bytes)) return value;
    }
    return 0;
}

const char *sv_fact_value_word(int fact, int value)
{
    if (!is_fact(fact) || value < 1) return "";
    const char *p = rows[fact].values;
    for (int i = 1; i < value && *p; i++)
        p += strlen(p) + 1;
    return p;
}

const char *sv_fact_word(const sv_facts *facts, int fact)
{
    return is_fact(fact) ? sv_fact_value_word(fact, facts->fact[fact].value) : "";
}

bool sv_fact_is(const sv_facts *facts, int fact, int value)
{
    return is_fact(fact) && facts->fact[fact].value == value;
}
