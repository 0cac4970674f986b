/* sense.c - what a word means beside its neighbours: a material or its imitation, goods or a print of them.
 */
#include "border/sense.h"

#include <string.h>

#include "border/border.h"
#include "text/text.h"

typedef struct reading {
    sv_arena *arena;
    const sv_token *token;
    size_t tokens;
    const sv_match *match;
    size_t matches;
    sv_things *things;
} reading;

/* How far a mark reaches, in words between; what an animal takes may stand a word further off. */
#define REACH         1
#define REACH_TAKEN   2
#define REACH_GOODS   4
#define REACH_GARMENT 2

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

/* "python style" but not "style python": some marks work on one side only. */
static bool on_its_side(const sv_match *mark, const sv_match *thing)
{
    const char *side = mark->pattern->takes;
    if (*side == 'b' && side[1] == 'e' && side[2] == 'h') return mark->first > thing->last;
    if (*side == 'b') return mark->last < thing->first;
    return true;
}

/* Words in the part of the sentence around a match. */
static size_t words_around(const reading *r, const sv_match *m)
{
    size_t first = m->first, last = m->last;
    while (first > 0 && r->token[first - 1].clause == m->clause)
        first--;
    while (last + 1 < r->tokens && r->token[last + 1].clause == m->clause)
        last++;
    return last - first - (m->last - m->first);
}

/* "python bag (imitation)": a mark that stands alone in the next part of the sentence speaks of the part
 * before. */
static bool stands_behind(const reading *r, const sv_match *mark, const sv_match *thing)
{
    return mark->clause == thing->clause + 1 && mark->first > thing->last && words_around(r, mark) == 0;
}

static bool marked(const reading *r, size_t thing, const char *mark, size_t reach)
{
    const sv_match *t = &r->match[thing];
    if (inside_is(t, mark)) return true;
    for (size_t i = 0; i < r->matches; i++) {
        const sv_match *m = &r->match[i];
        if (i == thing || m->pattern->kind != SV_WORD_MARK || !names(m, mark)) continue;
        if (stands_behind(r, m, t)) return true;
        if (m->clause == t->clause && on_its_side(m, t) && gap(m, t) <= reach && belongs(r, i, thing))
            return true;
    }
    return false;
}

static bool one_of(const char *list, size_t bytes, const char *things)
{
    for (const char *p = list; p < list + bytes;) {
        size_t n = strcspn(p, " |");
        if (sv_in_list(things, p, n)) return true;
        p += n + 1;
    }
    return false;
}

/* An animal is a material beside a word it takes: "python bag", "cuir de python", "seal skin". What stands
 * behind the bar in its cell makes it one perhaps: "python trousers". */
typedef enum taken { NOT_TAKEN, PERHAPS, TAKEN } taken;
static taken beside_taken(const reading *r, size_t i)
{
    const sv_match *t = &r->match[i];
    const char *takes = t->pattern->takes;
    size_t sure = strcspn(takes, "|");
    taken best = NOT_TAKEN;
    bool alone = words_around(r, t) == 0; /* "cowboy boots, ostrich" */
    for (size_t j = 0; *takes && j < r->matches; j++) {
        const sv_match *m = &r->match[j];
        bool here = m->clause == t->clause && gap(m, t) <= REACH_TAKEN;
        bool before = alone && m->clause + 1 == t->clause;
        if (j == i || (!here && !before)) continue;
        if (one_of(takes, sure, m->pattern->things)) return TAKEN;
        if (takes[sure] && one_of(takes + sure + 1, strlen(takes + sure + 1), m->pattern->things))
            best = PERHAPS;
    }
    return best;
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

/* "faux leopard fur", "faux fur fox": the imitation that stands right before, as one word with its animal. */
static bool behind_faux_fur(const reading *r, size_t i)
{
    const sv_match *m = &r->match[i];
    if (i == 0) return false;
    const sv_match *before = &r->match[i - 1];
    return before->pattern->kind == SV_WORD_WEAR && names(before, "faux-fur") &&
           before->clause == m->clause && gap(before, m) == 0;
}

static void judge_matter(const reading *r, size_t i)
{
    const sv_match *m = &r->match[i];
    bool real = marked(r, i, "real", REACH);
    if (marked(r, i, "imitation", REACH) || marked(r, i, "print", REACH) || marked(r, i, "colour", 0) ||
        (!real && behind_faux_fur(r, i))) {
        add_taken(r, m, "imitation");
    } else if (marked(r, i, "without", REACH)) {
        add_taken(r, m, "no");
    } else if (m->pattern->kind == SV_WORD_MATTER || real || beside_taken(r, i) == TAKEN) {
        add(r, m, m->pattern->things);
    } else if (beside_taken(r, i) == PERHAPS) {
        add_taken(r, m, "perhaps");
    }
}

/* "vodka T-shirt", "beer festival T-shirt": before a garment's name the word is a style or a print; but not
 * in "cigarettes in a jacket". */
static bool before_garment(const reading *r, size_t i)
{
    const sv_match *m = &r->match[i];
    for (size_t k = i + 1; k < r->matches && r->match[k].clause == m->clause; k++) {
        const sv_match *next = &r->match[k];
        if (gap(m, next) > REACH_GARMENT || names(next, "apart")) return false;
        if (next->pattern->kind == SV_WORD_WEAR) return true;
    }
    return false;
}

static void judge_goods(const reading *r, size_t i)
{
    const sv_match *m = &r->match[i];
    bool device = m->pattern->kind == SV_WORD_DEVICE;
    /* A word such as "lighter", which is mostly something else, must stand nearly alone. */
    if (strcmp(m->pattern->takes, "alone") == 0 && words_around(r, m) > 1) return;
    if (marked(r, i, "without", REACH)) {
        add_taken(r, m, "no");
    } else if (marked(r, i, "toy", REACH) || marked(r, i, "imitation", REACH)) {
        add_taken(r, m, "imitation");
    } else if (!device && marked(r, i, "print", REACH_GOODS)) {
        add_taken(r, m, "printed");
    } else if (!device && strcmp(m->pattern->takes, "stays") != 0 && before_garment(r, i)) {
        add_taken(r, m, "printed");
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
    text = sv_words_dropped(lexicon, arena, text);
    size_t n = sv_tokens_cut(sv_fold(arena, text, strlen(text)), token, SV_MOST_TOKENS);
    size_t found = sv_matches_find(lexicon, token, n, match, SV_MOST_TOKENS);
    reading r = {arena, token, n, match, found, things};
    for (size_t i = 0; i < r.matches; i++) {
        sv_word_kind kind = match[i].pattern->kind;
        if (kind == SV_WORD_MATTER || kind == SV_WORD_ANIMAL) judge_matter(&r, i);
        if (kind == SV_WORD_GOODS || kind == SV_WORD_DEVICE) judge_goods(&r, i);
        if (kind == SV_WORD_WEAR || kind == SV_WORD_MARK) add(&r, &match[i], match[i].pattern->things);
    }
}
