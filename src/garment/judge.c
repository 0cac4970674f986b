/* judge.c - is a description fit to print on a customs form? It must name the article, and its user or its
 * material; it must not be general, point to another paper or be no words at all. */
#include <string.h>

#include "base/utf8.h"
#include "garment/reader.h"

/* ---- forms that are refused outright (EU guidance on descriptions of goods, formal rules) ---- */

static bool is_word_byte(char c)
{
    return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') ||
           (unsigned char)c >= 0x80;
}

static bool has_letters(const char *text)
{
    for (; *text; text++) {
        if (is_word_byte(*text) && !(*text >= '0' && *text <= '9')) return true;
    }
    return false;
}

static bool has_word_bytes(const char *text)
{
    for (; *text; text++) {
        if (is_word_byte(*text)) return true;
    }
    return false;
}

/* XXX, ---, 000. */
static bool is_one_sign(const char *text)
{
    const char *p = text, *end = text + strlen(text);
    uint32_t first = 0;
    int n = 0;
    while (p < end) {
        uint32_t c = sv_utf8_next(&p, end);
        if (c == ' ') continue;
        if (!n++) first = c;
        if (c != first) return false;
    }
    return n >= 3;
}

/* scan.wpx, http://..., www... */
static bool is_file_or_link(const char *text)
{
    if (strchr(text, ' ')) return false;
    if (strstr(text, "://") || strncmp(text, "www.", 4) == 0) return true;
    const char *dot = strrchr(text, '.');
    if (!dot || dot == text) return false;
    size_t n = strlen(dot + 1);
    for (const char *p = dot + 1; *p; p++) {
        if (!is_word_byte(*p)) return false;
    }
    return n >= 2 && n <= 5;
}

static const char *formal_fault(const char *text)
{
    if (!*text) return "It is empty.";
    if (!has_word_bytes(text)) return "It has no letters: say in words what the goods are.";
    if (is_one_sign(text)) return "It is one sign again and again: say in words what the goods are.";
    if (!has_letters(text)) return "It has only numbers: say in words what the goods are.";
    if (is_file_or_link(text)) return "It is the name of a file or a link: say in words what the goods are.";
    return NULL;
}

/* ---- what the words are ---- */

typedef struct seen {
    const sv_item *article, *noun, *stop, *refers;
    bool article_is_stop; /* the article's word is itself too general: footwear */
    bool fabric;          /* a word for a cloth: denim, satin */
} seen;

static bool says(const sv_wordbook *lex, const sv_item *i, sv_word_kind kind, int value)
{
    if (i->kind != SV_ITEM_KNOWN) return false;
    for (uint32_t n = i->entry->sense; n; n = sv_sense_at(lex, n)->next) {
        const sv_sense *s = sv_sense_at(lex, n);
        if (s->kind == kind && (value < 0 || s->value == value) && s->languages & i->languages) return true;
    }
    return false;
}

static void look_at(const sv_wordbook *lex, const sv_item *i, seen *s)
{
    bool stop = says(lex, i, SV_WORD_MARK, SV_MARK_STOP),
         article = sv_item_sense(lex, i, SV_WORD_ARTICLE) != NULL;
    if (article && !stop && !s->article) s->article = i;
    if (says(lex, i, SV_WORD_MARK, SV_MARK_NOUN) && !s->noun) s->noun = i;
    if (stop && !s->stop) s->stop = i;
    if (stop && article) s->article_is_stop = true;
    if (says(lex, i, SV_WORD_MARK, SV_MARK_REFERS) && !s->refers) s->refers = i;
    if (says(lex, i, SV_WORD_HINT, -1) || says(lex, i, SV_WORD_GUESS, -1)) s->fabric = true;
}

static sv_status look(const sv_wordbook *lex, sv_arena *arena, const char *text, sv_items *items, seen *s)
{
    sv_tongues tongues = {.score = {0}};
    *s = (seen){.article = NULL};
    sv_status status = sv_items_find(lex, arena, text, items);
    if (status) return status;
    sv_tongues_count(lex, items, &tongues);
    sv_tongues_weigh(lex, &tongues);
    sv_items_choose(lex, items, &tongues);
    for (size_t i = 0; i < items->count; i++)
        look_at(lex, &items->item[i], s);
    return SV_OK;
}

/* ---- what is known of the goods ---- */

static bool is_said(const sv_facts *f, int fact)
{
    return f->fact[fact].value && f->fact[fact].from >= SV_FROM_TEXT;
}

/* Said, or in the name of the article: a leather jacket, a straw hat. */
static bool has_material(const sv_facts *f, const seen *s)
{
    for (size_t i = 0; i < f->parts; i++) {
        if (f->part[i].from >= SV_FROM_TEXT) return true;
    }
    static const int facts[] = {SV_FACT_UPPER, SV_FACT_SOLE, SV_FACT_OUTER_SURFACE, SV_FACT_MATTER,
                                SV_FACT_LEATHER_KIND};
    for (size_t i = 0; i < sizeof facts / sizeof *facts; i++) {
        if (is_said(f, facts[i])) return true;
    }
    int construction = f->fact[SV_FACT_CONSTRUCTION].value;
    bool told = construction > SV_CONSTRUCTION_WOVEN && f->fact[SV_FACT_CONSTRUCTION].from >= SV_FROM_WORD;
    return told || s->fabric || f->fact[SV_FACT_DENIM].value == SV_YES;
}

static bool has_user(const sv_facts *f)
{
    return f->child || is_said(f, SV_FACT_WEARER);
}

/* Goods whose name alone tells what they are, whoever uses them and whatever they are made of. */
static bool name_is_enough(const sv_wordbook *lex, const char *article)
{
    static const char *const kinds[] = {
        "umbrella", "walking-stick", "eyewear", "spectacle-frame", "watch",  "smartwatch",
        "wig",      "sanitary",      "toy",     "life-jacket",     "zip",    "safety-headgear",
        "skates",   "fan",           "yarn",    "carnival",        "bedding"};
    int a = sv_article_index(lex, article);
    if (a < 0) return false;
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (strcmp(lex->article[a].kind, kinds[i]) == 0) return true;
    }
    return false;
}

/* ---- the judgement ---- */

static const char *quoted(sv_arena *arena, const sv_items *items, const sv_item *i, const char *rest)
{
    return sv_format(arena, "\"%s\" %s", sv_item_text(arena, items, i), rest);
}

/* Are there words of which nothing is known? Then general words among them do not make the whole general. */
static bool has_unknown_words(const sv_items *items)
{
    for (size_t i = 0; i < items->count; i++) {
        if (items->item[i].kind == SV_ITEM_UNKNOWN) return true;
    }
    return false;
}

static const char *why_no_article(sv_arena *arena, const sv_items *items, const seen *s)
{
    if (s->refers)
        return quoted(arena, items, s->refers, "points to another paper: say here what the goods are.");
    if (s->stop)
        return quoted(arena, items, s->stop, "is too general: name the article, such as shirt or handbag.");
    return "It names no article: say with a plain word what the goods are, such as shirt or handbag.";
}

static const char *what_would_help(const sv_facts *f)
{
    bool fibres = f->parts > 0 && f->part[0].from >= SV_FROM_TEXT;
    bool made = f->fact[SV_FACT_CONSTRUCTION].from >= SV_FROM_WORD;
    if (fibres && made) return "It names the article and enough about it.";
    if (fibres) return "It is fit to print. Knitted or woven would help, as the code rests on it.";
    return "It is fit to print. The fibres with their percentages would help, as the code rests on them.";
}

sv_status sv_description_weigh(const sv_world *world, sv_arena *arena, const char *given, sv_description *out,
                               const char **reason)
{
    const sv_wordbook *lex = sv_wordbook_of(world);
    const char *text = given ? sv_trim(arena, given, strlen(given)) : "";
    *out = SV_DESCRIPTION_VAGUE;
    *reason = formal_fault(text);
    if (*reason) return SV_OK;
    sv_items items;
    seen s;
    sv_status status = look(lex, arena, text, &items, &s);
    sv_facts *facts = SV_NEW(arena, sv_facts);
    sv_garment_given g = {.text = text};
    if (!status) status = facts ? sv_garment_read(world, arena, &g, facts, NULL) : SV_NO_MEMORY;
    if (status) return status;
    if (!s.article && !s.noun) {
        *reason = why_no_article(arena, &items, &s);
        bool general = s.refers || s.stop;
        *out = !general                    ? SV_DESCRIPTION_OF_OTHER_GOODS
               : has_unknown_words(&items) ? SV_DESCRIPTION_PARTLY_VAGUE
                                           : SV_DESCRIPTION_VAGUE;
    } else if (!s.article) {
        *out = SV_DESCRIPTION_FIT;
        *reason = "It names the goods.";
    } else if (!has_user(facts) && !has_material(facts, &s) && !name_is_enough(lex, facts->article)) {
        *out = SV_DESCRIPTION_BARE;
        *reason = quoted(arena, &items, s.article,
                         "alone is not enough: add who it is for, or what it is made of.");
    } else {
        *out = SV_DESCRIPTION_FIT;
        *reason = what_would_help(facts);
    }
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}

sv_status sv_description_judge(const sv_world *world, sv_arena *arena, const char *given,
                               const char *language, bool *acceptable, const char **reason)
{
    (void)language; /* words are understood in every language at once */
    sv_description what = SV_DESCRIPTION_VAGUE;
    sv_status status = sv_description_weigh(world, arena, given, &what, reason);
    *acceptable = what == SV_DESCRIPTION_FIT;
    return status;
}
