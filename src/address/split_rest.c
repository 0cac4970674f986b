/* split_rest.c - who it is for, firms, street lines, and what fits nowhere. */
#include <string.h>
#include <strings.h>

#include "address/split.h"
#include "base/utf8.h"

#define MOST_RUNS 96

typedef enum kind { PLAIN, STREET, NOTE, FIRM, NAMED } kind;
typedef struct run {
    size_t from, to;
    kind kind;
    int street;
    bool done;
} run;

/* A short legal form is one by its dots, strokes or capitals, or since no name is spelt without vowels:
 * "e.K.", "AG", "Ltd"; "Ek" is a name. */
static bool firm_word(const sp_job *j, size_t i)
{
    const sp_word *w = &j->word[i];
    if (!(w->mask & (SP_BIT(SP_IS_FIRM) | SP_BIT(SP_IS_FIRM_EAST)))) return false;
    if (w->letters > 3 || (w->end - w->at > w->letters && (unsigned char)*sp_text(j, i) < 0x80)) return true;
    if ((unsigned char)*sp_text(j, i) >= 0x80) return true;
    const char *p = sp_text(j, i);
    bool capitals = true, vowel = false;
    for (size_t k = 0; k < w->letters; k++) {
        capitals &= p[k] >= 'A' && p[k] <= 'Z';
        vowel |= strchr("aeiouyAEIOUY", p[k]) != NULL;
    }
    return capitals || (!vowel && w->letters == 3) || (w->letters == 3 && strncasecmp(p, "inc", 3) == 0);
}

static kind kind_of(const sp_job *j, const run *r)
{
    const sp_word *first = &j->word[r->from];
    bool digit = sp_has_digit(j, r->from, r->to);
    bool firm = false;
    for (size_t i = r->from; i < r->to; i++) /* "Kg. Sungai Tiram": no legal form opens a name */
        firm |= firm_word(j, i) && (i > r->from || j->word[i].letters > 3);
    bool ends_firm = !(first->first & SP_BIT(SP_IS_FRONT)) && firm_word(j, r->to - 1) &&
                     !(j->word[r->to - 1].mask & (SP_STREETS | SP_BIT(SP_IS_UNIT) | SP_BIT(SP_IS_WEAK)));
    if (first->first & SP_BIT(SP_IS_NEAR) && r->to - r->from > 1) return STREET;
    if (first->first & SP_BIT(SP_IS_NOTE) && (r->street < 5 ? r->to - r->from > 1 : r->to - r->from > 3))
        return NOTE;
    if (first->first & SP_BIT(SP_IS_TITLE) && !digit && r->street < 4 && r->to - r->from > 1) return NAMED;
    if (ends_firm && (!digit || r->street <= 2)) return FIRM;
    if (r->street >= 3 || digit) return STREET;
    if (firm) return FIRM;
    return r->street >= 2 ? STREET : PLAIN;
}

static size_t find_runs(const sp_job *j, run *out)
{
    size_t n = 0;
    for (size_t i = 0; i < j->words && n < MOST_RUNS;) {
        if (!sp_open(j, i)) {
            i++;
            continue;
        }
        size_t to = sp_run_end(j, i);
        out[n] = (run){.from = i, .to = to, .street = sp_street(j, i, to)};
        out[n].kind = kind_of(j, &out[n]);
        n++;
        i = to;
    }
    return n;
}

static bool has_end(const sp_job *j, const run *r)
{
    for (size_t i = r->from; i < r->to; i++) {
        if (j->word[i].mask & SP_BIT(SP_IS_END)) return true;
    }
    return false;
}

/* "Amy Lane", "Jasmine Park" on the first line of several, with a street below: a name all the same. */
static bool name_like_street(const sp_job *j, const run *r)
{
    size_t n = r->to - r->from;
    if (r->from != 0 || r->kind != STREET || n < 2 || n > 3 || sp_has_digit(j, r->from, r->to)) return false;
    if (j->word[0].first & (SP_BIT(SP_IS_FRONT) | SP_BIT(SP_IS_UNIT)) || has_end(j, r)) return false;
    size_t next = r->to;
    if (next == j->words || j->word[next].gap != SP_GAP_LINE) return false;
    size_t to = sp_piece_end(j, next);
    return j->word[next].column == SP_STREET ||
           (sp_open(j, next) && sp_street(j, next, to) >= 2 && sp_has_digit(j, next, to));
}

static bool is_name(const sp_job *j, const run *r)
{
    if (r->done || r->to - r->from > 7 || j->word[r->from].no_name) return false;
    if (name_like_street(j, r)) return true;
    if (r->kind == NAMED) return true;
    bool unit = r->to - r->from == 1 && j->word[r->from].mask & SP_BIT(SP_IS_UNIT);
    bool street = unit || j->word[r->from].first & SP_BIT(SP_IS_FRONT) || has_end(j, r) ||
                  (r->to - r->from > 1 && j->word[r->to - 1].mask & SP_BIT(SP_IS_BACK));
    return r->kind == PLAIN && !street && !sp_street_before(j, r->from);
}

/* First word that is of the street: given so, or in a run that looks so. */
static size_t first_street(const sp_job *j, const run *r, size_t n)
{
    size_t at = j->words;
    for (size_t i = 0; i < j->words; i++) {
        if (j->word[i].column != SP_STREET) continue;
        at = i;
        break;
    }
    for (size_t k = 0; k < n; k++) {
        if (r[k].kind == STREET && r[k].from < at && !name_like_street(j, &r[k])) return r[k].from;
    }
    return at;
}

/* Where in a run that holds a name and a street the street begins: "Ana Ruiz Calle Ancha 9", "Gwen Hale 77
 * Elm St". With `bare` also where no word tells it: "Tereza Malá Kounicova 33". */
static size_t street_start(const sp_job *j, const run *r, bool bare)
{
    const uint64_t opens = SP_BIT(SP_IS_FRONT) | SP_BIT(SP_IS_BOX) | SP_BIT(SP_IS_RESTANTE) |
                           SP_BIT(SP_IS_CARE) | SP_BIT(SP_IS_ATTN);
    for (size_t i = r->from + 1; i < r->to; i++) {
        const sp_word *w = &j->word[i];
        size_t before = i - r->from;
        if (w->mask & SP_BIT(SP_IS_BACK)) return before >= 3 ? r->from + 2 : r->from;
        if (w->first & opens && i + 1 < r->to) return before >= 2 || bare ? i : r->from;
        if (w->first & SP_BIT(SP_IS_UNIT) && i + 1 < r->to && j->word[i + 1].digits && before >= 2) return i;
        if (w->mask & SP_BIT(SP_IS_END)) return before >= 2 ? i : r->from;
        if (w->digits && i + 1 < r->to && j->word[i + 1].letters > 1 && before >= 2) return i;
        if (w->digits) return bare && before >= 3 ? r->from + 2 : r->from;
    }
    return r->from;
}

/* The first run may be name and street in one, when no run is a name. */
static bool part_name(sp_job *j, run *r, size_t n)
{
    for (size_t k = 0; k < n; k++) {
        if (is_name(j, &r[k]) || r[k].kind == FIRM) return false;
    }
    if (n == 0 || r[0].kind != STREET || j->word[r[0].from].digits || j->word[r[0].from].no_name)
        return false;
    uint64_t first = j->word[r[0].from].first;
    if (first & (SP_BIT(SP_IS_FRONT) | SP_BIT(SP_IS_UNIT) | SP_BIT(SP_IS_BOX))) return false;
    size_t at = street_start(j, &r[0], sp_line_end(j, 0) == j->words);
    if (at <= r[0].from || at - r[0].from > 5) return false;
    sp_give(j, r[0].from, at, SP_RECIPIENT);
    sp_give(j, at, r[0].to, SP_STREET);
    r[0].done = true;
    return true;
}

static void take(sp_job *j, run *r, sp_column column)
{
    sp_give(j, r->from, r->to, column);
    r->done = true;
}

/* "Caio Fontes Rua das Acácias", the number behind a comma: the street begins with its word. */
static size_t street_in_name(const sp_job *j, const run *r)
{
    for (size_t i = r->from + 2; i + 1 < r->to; i++) {
        const sp_word *w = &j->word[i];
        bool spelt = w->letters >= 3 || (w->letters == 2 && j->text[w->end - 1] == '.');
        if (w->first & SP_BIT(SP_IS_FRONT) && spelt) return i;
    }
    return r->to;
}

/* In a block of several lines a name shares its line with no street. */
static bool on_own_line(const sp_job *j, const run *r)
{
    if (sp_whole_line(j, r->from)) return true;
    for (size_t i = r->to; i < j->words && j->word[i].line == j->word[r->from].line; i++) {
        const sp_word *w = &j->word[i];
        if (w->column == SP_STREET || (sp_open(j, i) && (w->digits || w->mask & SP_STREETS))) return false;
    }
    return true;
}

static run *first_name(const sp_job *j, run *r, size_t n, size_t before)
{
    for (size_t k = 0; k < n; k++) {
        if (r[k].kind == NAMED && is_name(j, &r[k])) return &r[k];
    }
    for (size_t k = 0; k < n && r[k].from < before; k++) {
        if (is_name(j, &r[k]) && on_own_line(j, &r[k])) return &r[k];
    }
    return NULL;
}

/* Between street and town no name stands. */
static bool between(const sp_job *j, const run *r, size_t n, size_t k)
{
    bool street = false, town = false;
    for (size_t i = 0; i < r[k].from; i++)
        street |= j->word[i].column == SP_STREET;
    for (size_t i = 0; i < k && i < n; i++)
        street |= r[i].kind == STREET;
    for (size_t i = r[k].to; i < j->words; i++)
        town |= j->word[i].column == SP_TOWN || j->word[i].column == SP_DEPENDENT;
    return street && town;
}

static run *last_name(const sp_job *j, run *r, size_t n)
{
    run *any = NULL;
    for (size_t k = n; k-- > 0;) {
        if (!is_name(j, &r[k]) || between(j, r, n, k)) continue;
        if (on_own_line(j, &r[k])) return &r[k];
        any = &r[k];
    }
    return any;
}

/* "Silva, Ana" on a line of its own is one name. */
static void take_comma_name(sp_job *j, run *r, size_t n, const run *name)
{
    size_t k = (size_t)(name - r) + 1;
    if (k >= n || sp_whole_line(j, name->from) || r[k].from != name->to || name->kind != PLAIN ||
        r[k].kind != PLAIN)
        return;
    bool line = j->word[r[k].from].line == j->word[name->from].line && j->word[r[k].from].gap == SP_GAP_COMMA;
    bool alone = sp_breaks(&j->word[name->from]) && j->word[name->from].gap == SP_GAP_LINE &&
                 (r[k].to == j->words || j->word[r[k].to].gap == SP_GAP_LINE);
    if (line && alone && name->to - name->from <= 2 && r[k].to - r[k].from <= 2) take(j, &r[k], SP_RECIPIENT);
}

static void give_firm(sp_job *j, run *r, size_t n)
{
    for (size_t k = 0; k < n; k++) {
        if (r[k].kind != FIRM || r[k].done) continue;
        if (!sp_given(j, SP_FIRM)) {
            take(j, &r[k], SP_FIRM);
            return;
        }
    }
}

/* Nothing that a table knows, no figures. */
static bool plain_word(const sp_job *j, size_t i)
{
    const uint64_t known = SP_STREETS | SP_BIT(SP_IS_UNIT) | SP_BIT(SP_IS_WEAK) | SP_BIT(SP_IS_BOX) |
                           SP_BIT(SP_IS_TOWN) | SP_BIT(SP_IS_AREA);
    return !j->word[i].digits && j->word[i].letters > 0 && !(j->word[i].mask & known);
}

/* A name behind all the rest without a comma: "Тверская 7-15 Иванов Иван", "00-902 Warszawa Jan Kowalski". */
static void tail_name(sp_job *j, run *r, size_t n)
{
    for (size_t k = 0; k < n; k++) {
        size_t at = r[k].to;
        while (at > r[k].from && plain_word(j, at - 1))
            at--;
        bool number = at > r[k].from && j->word[at - 1].digits;
        if (r[k].kind != STREET || r[k].done || !number || r[k].to - at < 2 || r[k].to - at > 4 ||
            between(j, r, n, k))
            continue;
        sp_give(j, at, r[k].to, SP_RECIPIENT);
        sp_give(j, r[k].from, at, SP_STREET);
        r[k].done = true;
        return;
    }
    if (j->town_from < 0) return;
    size_t from = (size_t)j->town_from, to = (size_t)j->town_to,
           at = from + sp_phrase(j, from, SP_BIT(SP_IS_TOWN));
    if (at == from || to - at < 2 || to - at > 3 || j->code_to != j->town_from) return;
    for (size_t i = at; i < to; i++) {
        if (!plain_word(j, i) || j->word[i].column != SP_TOWN) return;
    }
    for (size_t i = at; i < to; i++)
        j->word[i].column = SP_RECIPIENT;
}

static void give_name(sp_job *j, run *r, size_t n)
{
    if (sp_given(j, SP_RECIPIENT)) return;
    run *name = first_name(j, r, n, first_street(j, r, n));
    if (!name) name = last_name(j, r, n);
    if (name) {
        size_t at = name->kind == PLAIN ? street_in_name(j, name) : name->to;
        sp_give(j, at, name->to, SP_STREET);
        take(j, name, SP_RECIPIENT);
        take_comma_name(j, r, n, name);
        return;
    }
    if (!part_name(j, r, n) && !sp_given(j, SP_FIRM) && sp_whole_line(j, 0)) tail_name(j, r, n);
}

static bool beside(const sp_job *j, const run *r, sp_column column)
{
    bool before = r->from > 0 && j->word[r->from - 1].column == column;
    return before || (r->to < j->words && j->word[r->to].column == column);
}

/* From the name or the firm to the town: there a bare line is of the street. */
static bool inside(const sp_job *j, const run *r)
{
    bool before = false, after = false;
    for (size_t i = 0; i < r->from; i++)
        before |= j->word[i].column == SP_RECIPIENT || j->word[i].column == SP_FIRM ||
                  j->word[i].column == SP_STREET;
    for (size_t i = r->to; i < j->words; i++)
        after |= j->word[i].column == SP_TOWN || j->word[i].column == SP_CODE ||
                 j->word[i].column == SP_STREET || j->word[i].column == SP_REGION ||
                 j->word[i].column == SP_COUNTRY || j->word[i].column == SP_DEPENDENT;
    return before && after;
}

static void give_rest(sp_job *j, run *r, size_t n)
{
    for (size_t k = 0; k < n; k++) {
        if (!r[k].done && r[k].kind == STREET) take(j, &r[k], SP_STREET);
    }
    for (size_t k = 0; k < n; k++) {
        if (r[k].done || r[k].kind == NOTE) continue;
        if (inside(j, &r[k]) || beside(j, &r[k], SP_STREET)) take(j, &r[k], SP_STREET);
    }
    for (size_t k = 0; k < n; k++) {
        if (r[k].done) continue;
        bool firm = r[k].kind == FIRM && !sp_given(j, SP_FIRM);
        take(j, &r[k], firm ? SP_FIRM : SP_UNPLACED);
    }
}

void sp_rest(sp_job *j)
{
    run r[MOST_RUNS];
    size_t n = find_runs(j, r);
    give_name(j, r, n);
    give_firm(j, r, n);
    give_rest(j, r, n);
    for (size_t i = 0; i < j->words; i++) { /* runs beyond the most */
        if (sp_open(j, i)) j->word[i].column = SP_UNPLACED;
    }
}

/* ---- honorifics ---- */

static bool is_recipient(const sp_job *j, size_t i)
{
    return i < j->words && j->word[i].column == SP_RECIPIENT;
}

/* "คุณสมชาย": a Thai title is written on to the name. */
static void part_title(sp_job *j, size_t i)
{
    sp_word *w = &j->word[i];
    const char *p = sp_text(j, i), *end = j->text + w->end, *q = p;
    size_t best = 0;
    for (size_t letters = 0; q < end && letters < 8; letters++) {
        uint32_t c = sv_utf8_next(&q, end);
        if (c < 0xE00 || c > 0xE7F) return;
        char key[64];
        size_t n =
            letters >= 2 && end - q >= 6 ? sv_alias_key(key, sizeof key, p, (size_t)(q - p)) : SIZE_MAX;
        const sp_sense *s = n != SIZE_MAX && n ? sp_senses(j->data, 0, key, n) : NULL;
        for (; s; s = s->next) {
            if (s->class == SP_IS_TITLE) best = (size_t)(q - p);
        }
    }
    if (!best) return;
    size_t at = sp_split_at(j, w->at + (uint32_t)best);
    if (at != i + 1) return;
    j->word[i].column = SP_DROPPED;
    j->word[at].column = SP_RECIPIENT;
}

/* "山口様", "김서연님", "林晓雯女士收": what honours stands behind, written on. */
static bool part_honour(sp_job *j, size_t i)
{
    sp_word *w = &j->word[i];
    if (!w->east) return false;
    const char *p = sp_text(j, i);
    size_t bytes = w->end - w->at;
    for (size_t n = 12; n >= 3; n -= 3) {
        char key[64];
        if (bytes < n + 3) continue;
        size_t length = sv_alias_key(key, sizeof key, p + bytes - n, n);
        const sp_sense *s = length != SIZE_MAX && length ? sp_senses(j->data, 0, key, length) : NULL;
        for (; s; s = s->next) {
            if (s->class != (n == 3 ? SP_IS_TITLE_GLUED : SP_IS_TITLE_AFTER) ||
                (s->in && !sp_has(s->in, sp_number(j->place->place.code))))
                continue;
            size_t at = sp_split_at(j, w->end - (uint32_t)n);
            if (at != i + 1) return false;
            j->word[at].column = SP_DROPPED;
            j->word[i].column = SP_RECIPIENT;
            return true;
        }
    }
    return false;
}

void sp_titles(sp_job *j)
{
    if (!j->place) return;
    sp_refresh(j);
    for (size_t i = 0; i < j->words; i++) {
        if (!is_recipient(j, i) || (i > 0 && is_recipient(j, i - 1) && !sp_breaks(&j->word[i]))) continue;
        size_t from = i, to = i + 1;
        while (is_recipient(j, to) && !sp_breaks(&j->word[to]))
            to++;
        size_t n;
        while (from < to && (n = sp_phrase(j, from, SP_BIT(SP_IS_TITLE))) != 0 && from + n < to) {
            for (size_t k = from; k < from + n; k++)
                j->word[k].column = SP_DROPPED;
            from += n;
        }
        for (size_t k = to - 1; k > from; k--) {
            n = sp_phrase(j, k, SP_BIT(SP_IS_TITLE_AFTER));
            if (!n || k + n < to) continue;
            for (size_t m = k; m < to; m++)
                j->word[m].column = SP_DROPPED;
            to = k;
        }
        if (to > from && part_honour(j, to - 1)) part_honour(j, to - 1);
        part_title(j, from);
        i = to;
    }
    for (size_t i = 0; i < j->words; i++) { /* an honorific alone on its line */
        size_t n = sp_phrase(j, i, SP_BIT(SP_IS_TITLE) | SP_BIT(SP_IS_TITLE_AFTER));
        bool alone = n && sp_breaks(&j->word[i]) && sp_piece_end(j, i) == i + n;
        bool loose =
            j->word[i].column == SP_UNPLACED || (j->word[i].column == SP_STREET && !j->word[i].fixed);
        if (!alone || !loose) continue;
        for (size_t k = i; k < i + n; k++)
            j->word[k].column = SP_DROPPED;
    }
}
