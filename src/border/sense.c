/* sense.c - what a word means beside its neighbours: a material or its imitation, goods or a print of them.
 */
#include "border/sense.h"

#include <string.h>

#include "border/border.h"
#include "text/text.h"

typedef struct reading {
    sv_arena *arena;
    const sv_token *token;
    const sv_match *match;
    size_t matches;
    sv_things *things;
} reading;

/* How far a mark reaches, in words between. */
#define REACH       2
#define REACH_PRINT 3

static bool names(const sv_match *m, const char *thing)
{
    return sv_in_list(m->pattern->things, thing, strlen(thing));
}

static bool inside_is(const sv_match *m, const char *mark)
{
    return m->inside && sv_in_list(m->inside->things, mark, strlen(mark));
}

/* Does a word carry a sense that a mark could take back? */
static bool is_thing(const sv_match *m)
{
    sv_word_kind k = m->pattern->kind;
    return k == SV_WORD_GOODS || k == SV_WORD_DEVICE || k == SV_WORD_MATTER || k == SV_WORD_ANIMAL;
}

static size_t gap(const sv_match *a, const sv_match *b)
{
    return a->first > b->last ? a->first - b->last - 1 : b->first - a->last - 1;
}

/* A mark belongs to the nearest thing: none may stand between, and none nearer on its other side. */
static bool belongs(const reading *r, size_t mark, size_t thing)
{
    const sv_match *m = &r->match[mark];
    size_t low = mark < thing ? mark : thing, high = mark < thing ? thing : mark;
    for (size_t i = low + 1; i < high; i++) {
        if (is_thing(&r->match[i])) return false;
    }
    size_t mine = gap(m, &r->match[thing]);
    size_t other = mark < thing ? mark - 1 : mark + 1; /* SIZE_MAX when there is none */
    while (other < r->matches && !is_thing(&r->match[other]))
        other += mark < thing ? (size_t)-1 : 1;
    if (other >= r->matches || r->match[other].clause != m->clause) return true;
    return mine <= gap(m, &r->match[other]);
}

static bool marked(const reading *r, size_t thing, const char *mark, size_t reach)
{
    const sv_match *t = &r->match[thing];
    if (inside_is(t, mark)) return true;
    for (size_t i = 0; i < r->matches; i++) {
        const sv_match *m = &r->match[i];
        if (i == thing || m->clause != t->clause || m->pattern->kind != SV_WORD_MARK || !names(m, mark))
            continue;
        if (gap(m, t) <= reach && belongs(r, i, thing)) return true;
    }
    return false;
}

/* The match right behind this one, with nothing between. */
static const sv_match *right_behind(const reading *r, size_t i, size_t most)
{
    if (i + 1 >= r->matches) return NULL;
    const sv_match *next = &r->match[i + 1];
    return next->clause == r->match[i].clause && gap(&r->match[i], next) <= most ? next : NULL;
}

/* An animal is a material beside a word it takes: "python bag", "cuir de python", "seal skin". */
static bool beside_taken(const reading *r, size_t i)
{
    const sv_match *t = &r->match[i];
    const char *takes = t->pattern->takes;
    for (size_t j = 0; *takes && j < r->matches; j++) {
        const sv_match *m = &r->match[j];
        if (j == i || m->clause != t->clause || gap(m, t) > REACH) continue;
        for (const char *p = m->pattern->things; *p;) {
            size_t n = strcspn(p, " ");
            if (sv_in_list(takes, p, n)) return true;
            p += n + (p[n] == ' ');
        }
    }
    return false;
}

static const char *words_of(const reading *r, const sv_match *m)
{
    const char *from = r->token[m->first].text;
    const sv_token *last = &r->token[m->last];
    return sv_copy_n(r->arena, from, (size_t)(last->text + last->bytes - from));
}

static void add(const reading *r, const sv_match *m, const char *list)
{
    for (const char *p = list; *p;) {
        size_t n = strcspn(p, " ");
        sv_thing_add(r->arena, r->things, p, n, words_of(r, m));
        p += n + (p[n] == ' ');
    }
}

/* What becomes of a thing that a mark took back: `battery` with `without` is `no-battery`. */
static void add_taken(const reading *r, const sv_match *m, const char *prefix)
{
    for (const char *p = m->pattern->things; *p;) {
        size_t n = strcspn(p, " ");
        const char *key = sv_format(r->arena, "%s-%.*s", prefix, (int)n, p);
        sv_thing_add(r->arena, r->things, key, strlen(key), words_of(r, m));
        p += n + (p[n] == ' ');
    }
}

static void judge_matter(const reading *r, size_t i)
{
    const sv_match *m = &r->match[i];
    if (marked(r, i, "imitation", REACH) || marked(r, i, "print", REACH) || marked(r, i, "colour", 1)) {
        add_taken(r, m, "imitation");
    } else if (marked(r, i, "without", REACH)) {
        add_taken(r, m, "no");
    } else if (m->pattern->kind == SV_WORD_MATTER || beside_taken(r, i)) {
        add(r, m, m->pattern->things);
    }
}

static void judge_goods(const reading *r, size_t i)
{
    const sv_match *m = &r->match[i], *next = right_behind(r, i, 0);
    bool device = m->pattern->kind == SV_WORD_DEVICE;
    if (marked(r, i, "without", REACH)) {
        add_taken(r, m, "no");
    } else if (marked(r, i, "toy", REACH) || marked(r, i, "imitation", REACH)) {
        add_taken(r, m, "imitation");
    } else if (!device && marked(r, i, "print", REACH_PRINT)) {
        add_taken(r, m, "printed");
    } else if (!device && next && next->pattern->kind == SV_WORD_WEAR) {
        add_taken(r, m, "printed"); /* "vodka T-shirt": a style or a print */
    } else {
        add(r, m, m->pattern->things);
    }
}

void sv_words_read(const sv_lexicon *lexicon, sv_arena *arena, const char *text, sv_things *things)
{
    if (!text || !*text) return;
    sv_token *token = SV_NEW_ARRAY(arena, SV_MOST_TOKENS, sv_token);
    sv_match *match = SV_NEW_ARRAY(arena, SV_MOST_TOKENS, sv_match);
    if (!token || !match) return;
    size_t n = sv_tokens_cut(sv_fold(arena, text, strlen(text)), token, SV_MOST_TOKENS);
    reading r = {arena, token, match, sv_matches_find(lexicon, token, n, match, SV_MOST_TOKENS), things};
    for (size_t i = 0; i < r.matches; i++) {
        sv_word_kind kind = match[i].pattern->kind;
        if (kind == SV_WORD_MATTER || kind == SV_WORD_ANIMAL) judge_matter(&r, i);
        if (kind == SV_WORD_GOODS || kind == SV_WORD_DEVICE) judge_goods(&r, i);
        if (kind == SV_WORD_WEAR || kind == SV_WORD_MARK) add(&r, &match[i], match[i].pattern->things);
    }
}
