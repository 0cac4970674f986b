/* line.c - the content line: number, user, construction, article, materials, "used", in the order and the
 * words of a language by data/lexicon/lines.tsv and names.tsv. */
#include <string.h>

#include <unicode/uchar.h>

#include "base/utf8.h"
#include "garment/lexicon.h"
#include "selvedge/garment.h"

typedef struct liner {
    const sv_wordbook *lex;
    const sv_table *lines, *names;
    sv_arena *arena;
    const sv_facts *facts;
    const char *language;
    const sv_article *article;
    int article_index;
} liner;

/* How much of what is known the line holds. */
typedef struct extent {
    bool construction, percentages, all_fibres, materials, number, used;
} extent;

#define SHORT_LINE 40

/* ---- tables ---- */

static const char *cell_of(const sv_table *t, const char *language, const char *second, const char *third,
                           int column)
{
    size_t first, n = sv_table_run(t, language, &first);
    for (size_t i = 0; i < n; i++) {
        size_t row = t->by_key[first + i];
        if (strcmp(sv_cell(t, row, 1), second) == 0 && (!third || strcmp(sv_cell(t, row, 2), third) == 0))
            return sv_cell(t, row, column);
    }
    return "";
}

static const char *word(const liner *l, const char *what)
{
    return cell_of(l->lines, l->language, what, NULL, 2);
}

/* "user men" */
static const char *word_of(const liner *l, const char *what, const char *value)
{
    return *value ? word(l, sv_format(l->arena, "%s %s", what, value)) : "";
}

static const char *word_of_fact(const liner *l, const char *what, int fact)
{
    const sv_fact *f = &l->facts->fact[fact];
    return f->from >= SV_FROM_WORD ? word_of(l, what, sv_fact_value_word(fact, f->value)) : "";
}

static bool in_english(const liner *l)
{
    return strcmp(l->language, "en") == 0;
}

/* ---- the parts ---- */

static const sv_fibre_part *shell_of(const liner *l)
{
    for (size_t i = 0; i < l->facts->parts; i++) {
        const sv_fibre_part *p = &l->facts->part[i];
        if (strcmp(p->part, "shell") == 0 && p->from >= SV_FROM_TEXT) return p;
    }
    return NULL;
}

/* Some languages have a word of their own for a scarf of silk. */
static bool of_silk(const liner *l)
{
    const sv_fibre_part *p = shell_of(l);
    return p && p->count && strcmp(p->fibre[0].key, "silk") == 0;
}

/* The article's name in the language, else that of the wider article, else the English one. */
static void names_of(const liner *l, const char **one, const char **many)
{
    *one = l->article->name;
    *many = l->article->plural;
    const char *silk = of_silk(l) ? sv_format(l->arena, "%s/silk", l->article->key) : "",
               *of_silk_one = *silk ? cell_of(l->names, l->language, "article", silk, 3) : "";
    if (*of_silk_one) {
        *one = of_silk_one;
        *many = cell_of(l->names, l->language, "article", silk, 4);
        if (!**many) *many = *one;
        return;
    }
    for (int a = l->article_index; a >= 0 && !in_english(l); a = l->lex->article[a].is) {
        const char *name = cell_of(l->names, l->language, "article", l->lex->article[a].key, 3);
        if (!*name) continue;
        const char *plural = cell_of(l->names, l->language, "article", l->lex->article[a].key, 4);
        *one = name;
        *many = *plural ? plural : name;
        return;
    }
}

static const char *fibre_name(const liner *l, const char *key)
{
    if (in_english(l)) return key;
    const char *name = cell_of(l->names, l->language, "fibre", key, 3);
    return *name ? name : key;
}

/* {name} in a text of the table replaced by a value. */
static const char *fill(const liner *l, const char *text, const char *name, const char *value)
{
    const char *at = strstr(text, name);
    if (!at) return text;
    return sv_format(l->arena, "%.*s%s%s", (int)(at - text), text, value, at + strlen(name));
}

static const char *percent_in(const liner *l, sv_dec percent)
{
    char *text = (char *)sv_dec_text_short(l->arena, percent), *point = strchr(text, '.');
    const char *decimal = word(l, "decimal");
    if (point && *decimal) *point = *decimal;
    return text;
}

static const char *fibre_text(const liner *l, const sv_fibre *f, bool percentages)
{
    const char *name = fibre_name(l, f->key);
    if (!percentages || !f->percent.known) return name;
    return fill(l, fill(l, word(l, "fibre"), "{percent}", percent_in(l, f->percent)), "{fibre}", name);
}

/* A leather jacket of leather: the article says it already. */
static bool says_already(const liner *l, const sv_fibre_part *p)
{
    if (p->count != 1 || p->fibre[0].percent.known) return false;
    const char *construction = sv_fact_word(l->facts, SV_FACT_CONSTRUCTION);
    return strstr(l->article->name, p->fibre[0].key) || strcmp(construction, p->fibre[0].key) == 0;
}

static const char *fibres_in(const liner *l, extent e)
{
    const sv_fibre_part *p = shell_of(l);
    const char *text = "";
    if (!p || says_already(l, p)) return "";
    size_t n = e.all_fibres ? p->count : 1;
    for (size_t i = 0; i < n; i++)
        text = sv_format(l->arena, "%s%s%s", text, i ? word(l, "between") : "",
                         fibre_text(l, &p->fibre[i], e.percentages));
    return text;
}

static bool of_kind(const liner *l, const char *kind)
{
    return strcmp(l->article->kind, kind) == 0;
}

/* One material without a percentage stands beside the article where the language has a place for it: men's
 * cotton shirts. */
static const char *stuff_in(const liner *l, extent e)
{
    if (!e.materials || !strstr(word(l, "line"), "{stuff}") || of_kind(l, "footwear")) return "";
    const sv_fibre_part *p = shell_of(l);
    if (p && p->count == 1 && !p->fibre[0].percent.known)
        return says_already(l, p) ? "" : fibre_name(l, p->fibre[0].key);
    return p || !in_english(l) ? "" : word_of_fact(l, "matter", SV_FACT_MATTER);
}

static const char *joined(const liner *l, const char *a, const char *b)
{
    if (!*a || !*b) return *a ? a : b;
    return sv_format(l->arena, "%s%s%s", a, word(l, "between"), b);
}

/* Jewellery without precious metal (chapter 71, note 11). */
static bool is_imitation(const liner *l)
{
    int matter = l->facts->fact[SV_FACT_MATTER].value;
    return of_kind(l, "jewellery") && matter && matter != SV_MATTER_GOLD && matter != SV_MATTER_SILVER;
}

/* Goods that are told by upper and sole, by their outside or by their matter instead of by fibres. */
static const char *materials_in(const liner *l, extent e)
{
    if (!e.materials) return "";
    const char *imitation = is_imitation(l) ? word(l, "imitation") : "";
    if (*stuff_in(l, e)) return imitation;
    if (of_kind(l, "footwear"))
        return joined(l, word_of_fact(l, "upper", SV_FACT_UPPER), word_of_fact(l, "sole", SV_FACT_SOLE));
    const char *outside = word_of_fact(l, "outer_surface", SV_FACT_OUTER_SURFACE);
    if (*outside) return outside;
    const char *matter = word_of_fact(l, "matter", SV_FACT_MATTER);
    return *matter ? joined(l, matter, imitation) : fibres_in(l, e);
}

static const char *user_in(const liner *l)
{
    const sv_fact *wearer = &l->facts->fact[SV_FACT_WEARER];
    if (l->facts->child && wearer->value != SV_WEARER_BOYS && wearer->value != SV_WEARER_GIRLS &&
        wearer->value != SV_WEARER_BABY)
        return word(l, "user child");
    return word_of_fact(l, "user", SV_FACT_WEARER);
}

/* Knitted hats are not knitted twice; how shoes and bags are made is told by their materials. */
static const char *construction_in(const liner *l, extent e)
{
    static const char *const none[] = {"footwear", "bag",   "handbag",   "luggage", "wallet",
                                       "umbrella", "watch", "jewellery", "eyewear", "wig"};
    for (size_t i = 0; i < sizeof none / sizeof *none; i++) {
        if (of_kind(l, none[i])) return "";
    }
    const char *text = word_of_fact(l, "construction", SV_FACT_CONSTRUCTION), *one, *many;
    const char *key = sv_fact_word(l->facts, SV_FACT_CONSTRUCTION);
    names_of(l, &one, &many);
    bool told = strstr(one, text) || (*key && strstr(l->article->key, key)) ||
                (*key && strstr(l->article->name, text));
    bool must = strcmp(key, "leather") == 0 || strcmp(key, "fur") == 0;
    return told || (!e.construction && !must) ? "" : text;
}

static const char *used_in(const liner *l)
{
    switch (l->facts->fact[SV_FACT_CONDITION].value) {
    case SV_CONDITION_USED: return word(l, "used used");
    case SV_CONDITION_REFURBISHED: return word(l, "used refurbished");
    default: return "";
    }
}

/* Goods named only in the plural are counted in pairs or sets. */
static const char *count_in(const liner *l, int64_t quantity, bool plural_only)
{
    if (quantity <= 0) return "";
    bool one = quantity == 1, pairs = strcmp(l->article->unit, "pair") == 0;
    const char *what = "count";
    if (plural_only)
        what = pairs                             ? (one ? "pair" : "pairs")
               : strcmp(l->article->unit, "set") ? "count"
               : one                             ? "set"
                                                 : "sets";
    return fill(l, word(l, what), "{n}", sv_format(l->arena, "%lld", (long long)quantity));
}

/* ---- the whole ---- */

typedef struct slot_value {
    const char *name, *value;
} slot_value;

/* The parts of the table's line in their order; a part whose slot is empty falls away. */
static const char *assemble(const liner *l, const slot_value *slots, size_t count)
{
    const char *line = "";
    for (const char *p = word(l, "line"); *p;) {
        size_t bytes = strcspn(p, "|");
        const char *part = sv_copy_n(l->arena, p, bytes);
        for (size_t i = 0; i < count; i++) {
            if (!strstr(part, slots[i].name)) continue;
            if (*slots[i].value)
                line = sv_format(l->arena, "%s%s", line, fill(l, part, slots[i].name, slots[i].value));
            break;
        }
        p += bytes;
        if (*p) p++;
    }
    /* A part that falls away at the beginning leaves the sign before the next. */
    return line + strspn(line, " ,");
}

static const char *capitalised(const liner *l, const char *line)
{
    const char *after = line, *end = line + strlen(line);
    if (!*line) return line;
    uint32_t first = sv_utf8_next(&after, end), capital = (uint32_t)u_totitle((UChar32)first);
    if (capital == first) return line;
    char bytes[4];
    int n = (int)sv_utf8_put(bytes, capital);
    return sv_format(l->arena, "%.*s%s", n, bytes, after);
}

static const char *line_of(const liner *l, int64_t quantity, extent e)
{
    const char *one, *many;
    names_of(l, &one, &many);
    bool same = strcmp(one, many) == 0;
    const slot_value slots[] = {{"{count}", count_in(l, e.number ? quantity : 0, same)},
                                {"{user}", user_in(l)},
                                {"{construction}", construction_in(l, e)},
                                {"{article}", quantity == 1 || same ? one
                                              : quantity > 1        ? many
                                                                    : one},
                                {"{stuff}", stuff_in(l, e)},
                                {"{materials}", materials_in(l, e)},
                                {"{used}", e.used ? used_in(l) : ""}};
    return capitalised(l, assemble(l, slots, sizeof slots / sizeof *slots));
}

/* The words that fit, for a name that is too long alone. */
static const char *cut_between_words(const liner *l, const char *line)
{
    const char *p = line, *end = line + strlen(line), *blank = NULL;
    for (int letters = 0; letters <= SHORT_LINE && p < end; letters++) {
        if (*p == ' ') blank = p;
        sv_utf8_next(&p, end);
    }
    if (!blank) return line;
    while (blank > line && strchr(" ,", blank[-1]))
        blank--;
    return sv_trim(l->arena, line, (size_t)(blank - line));
}

static const char *short_of(const liner *l, int64_t quantity)
{
    /* What falls away first is what a reader at the border misses least. */
    static const extent less[] = {
        {true, true, true, true, true, true},      {true, true, true, true, false, true},
        {false, true, true, true, false, true},    {true, false, true, true, false, true},
        {true, false, false, true, false, true},   {false, false, false, true, false, true},
        {false, false, false, false, false, true}, {false, false, false, true, false, false},
        {false, false, false, false, false, false}};
    const char *line = "";
    for (size_t i = 0; i < sizeof less / sizeof *less; i++) {
        line = line_of(l, quantity, less[i]);
        if (sv_utf8_length(line) <= SHORT_LINE) return line;
    }
    return cut_between_words(l, line);
}

/* A baby's romper is an article of its own, named otherwise than a woman's. */
static int babys_own(const liner *l, int article)
{
    if (!sv_fact_is(l->facts, SV_FACT_WEARER, SV_WEARER_BABY)) return article;
    int own = sv_article_index(l->lex, sv_format(l->arena, "baby-%s", l->lex->article[article].key));
    return own >= 0 ? own : article;
}

sv_status sv_content_line(const sv_world *world, sv_arena *arena, const sv_facts *facts, int64_t quantity,
                          const char *language, const char **line, const char **short_line)
{
    *line = *short_line = "";
    liner l = {.lex = sv_wordbook_of(world),
               .lines = sv_world_table(world, "lexicon/lines"),
               .names = sv_world_table(world, "lexicon/names"),
               .arena = arena,
               .facts = facts,
               .language = language && *language ? language : "en"};
    size_t first;
    if (sv_table_run(l.lines, l.language, &first) == 0) l.language = "en";
    l.article_index = sv_article_index(l.lex, facts->article);
    if (l.article_index < 0) return SV_OK;
    l.article_index = babys_own(&l, l.article_index);
    l.article = &l.lex->article[l.article_index];
    extent all = {true, true, true, true, true, true};
    *line = line_of(&l, quantity, all);
    *short_line = short_of(&l, quantity);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
