/* columns.c - the columns whose words are a closed list (contracts, section 1); other words are read like
 * free text, and what stays unknown is a note. */
#include "garment/reader.h"

#include <string.h>

/* A word of a column and the fact it sets; value "" sets nothing. */
typedef struct column_word {
    const char *word;
    int fact, value;
} column_word;

static const column_word gender_words[] = {
    {"men", SV_FACT_WEARER, SV_WEARER_MEN},   {"women", SV_FACT_WEARER, SV_WEARER_WOMEN},
    {"boys", SV_FACT_WEARER, SV_WEARER_BOYS}, {"girls", SV_FACT_WEARER, SV_WEARER_GIRLS},
    {"baby", SV_FACT_WEARER, SV_WEARER_BABY}, {"unisex", SV_FACT_WEARER, SV_WEARER_UNISEX},
    {"none", SV_FACT_WEARER, SV_WEARER_NONE}, {NULL, 0, 0}};

static const column_word construction_words[] = {{"knit", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_KNIT},
                                                 {"crocheted", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_KNIT},
                                                 {"woven", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_WOVEN},
                                                 {"felt", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_FELT},
                                                 {"nonwoven", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_NONWOVEN},
                                                 {"leather", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_LEATHER},
                                                 {"fur", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_FUR},
                                                 {"rubber", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_RUBBER},
                                                 {"plastic", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_PLASTIC},
                                                 {"straw", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_STRAW},
                                                 {"metal", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_METAL},
                                                 {"mixed", SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_MIXED},
                                                 {"coated", SV_FACT_COATED, SV_COATED_YES},
                                                 {"laminated", SV_FACT_COATED, SV_COATED_LAMINATED},
                                                 {"bonded", SV_FACT_BONDED, SV_YES},
                                                 {"footwear", -1, 0},
                                                 {"other", -1, 0},
                                                 {NULL, 0, 0}};

static const column_word condition_words[] = {
    {"new", SV_FACT_CONDITION, SV_CONDITION_NEW},
    {"used", SV_FACT_CONDITION, SV_CONDITION_USED},
    {"used-unsold-stock", SV_FACT_CONDITION, SV_CONDITION_USED_UNSOLD_STOCK},
    {"deadstock", SV_FACT_CONDITION, SV_CONDITION_USED_UNSOLD_STOCK},
    {"refurbished", SV_FACT_CONDITION, SV_CONDITION_REFURBISHED},
    {NULL, 0, 0}};

static const column_word presentation_words[] = {{"single", SV_FACT_PRESENTATION, SV_PRESENTATION_SINGLE},
                                                 {"bulk", SV_FACT_PRESENTATION, SV_PRESENTATION_BULK},
                                                 {NULL, 0, 0}};

static const struct {
    sv_source source;
    const char *name;
    const column_word *words;
    const char *apart; /* characters between the words */
} columns[] = {{SV_SOURCE_GENDER, "gender", gender_words, " ;,"},
               {SV_SOURCE_CONSTRUCTION, "construction", construction_words, " +/;,"},
               {SV_SOURCE_CONDITION, "condition", condition_words, " ;,"},
               {SV_SOURCE_PRESENTATION, "presentation", presentation_words, " ;,"}};

static bool same_word(const char *word, const char *text, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++) {
        char c = text[i] >= 'A' && text[i] <= 'Z' ? (char)(text[i] + 32) : text[i];
        if (!word[i] || word[i] != c) return false;
    }
    return !word[bytes];
}

static const column_word *find_word(const column_word *words, const char *text, size_t bytes)
{
    for (; words->word; words++) {
        if (same_word(words->word, text, bytes)) return words;
    }
    return NULL;
}

/* Several fabrics at once are mixed; the first fabric named is taken for the front, which gives the
 * character. */
static void set_construction(sv_reader *r, const column_word *w, int *first)
{
    if (w->fact != SV_FACT_CONSTRUCTION || *first == 0) {
        sv_set(r, w->fact, w->value, SV_FROM_STATED, "construction");
        if (w->fact == SV_FACT_CONSTRUCTION) *first = w->value;
        return;
    }
    if (*first == w->value) return;
    r->out->fact[SV_FACT_CONSTRUCTION].value = SV_CONSTRUCTION_MIXED;
    sv_set(r, SV_FACT_FRONT_CONSTRUCTION,
           sv_fact_value(SV_FACT_FRONT_CONSTRUCTION, sv_fact_value_word(SV_FACT_CONSTRUCTION, *first),
                         strlen(sv_fact_value_word(SV_FACT_CONSTRUCTION, *first))),
           SV_FROM_WORD, "construction");
}

/* True when every word of the column is of its list. */
static bool read_column(sv_reader *r, const char *text, const column_word *words, const char *apart)
{
    bool all = true;
    int first = 0;
    for (const char *p = text; *p;) {
        size_t bytes = strcspn(p, apart);
        const column_word *w = bytes ? find_word(words, p, bytes) : NULL;
        if (w) set_construction(r, w, &first);
        if (bytes && !w) all = false;
        p += bytes;
        if (*p) p++;
    }
    return all;
}

static bool has_known(const sv_reader *r, const sv_items *items)
{
    for (size_t i = 0; i < items->count; i++) {
        const sv_item *item = &items->item[i];
        if (sv_item_sense(r->lex, item, SV_WORD_FACT) || sv_item_sense(r->lex, item, SV_WORD_HINT) ||
            sv_item_sense(r->lex, item, SV_WORD_MARK) || sv_item_sense(r->lex, item, SV_WORD_FIBRE))
            return true;
    }
    return false;
}

void sv_read_columns(sv_reader *r)
{
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        const char *text = r->given[columns[i].source];
        if (!*text || read_column(r, text, columns[i].words, columns[i].apart)) continue;
        sv_read_words(r, columns[i].source, SV_FROM_STATED);
        if (r->findings && !has_known(r, &r->items[columns[i].source]))
            sv_find(r->findings, SV_F_COLUMN_WORD, columns[i].name, SV_ARGS(text, columns[i].name));
    }
}
