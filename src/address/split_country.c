/* split_country.c - the country as the block names it. A name alone on the last line or the first is one; a
 * name that is also a town, a state or a word needs evidence (split_infer.c). */
#include <string.h>

#include "address/split.h"

typedef struct named {
    const sv_atlas_place *place;
    size_t from, to;
    int weight;
    bool weak;
} named;

#define MOST_NAMED 12

typedef struct search {
    named found[MOST_NAMED];
    size_t n;
    size_t last_piece, first_piece; /* first word of the last and the first piece that is open */
} search;

/* Figures alone, or a note to whoever delivers: no end of an address. */
static bool is_aside(const sp_job *j, size_t from, size_t to)
{
    bool letters = false;
    for (size_t i = from; i < to; i++)
        letters |= j->word[i].letters > 2 || (j->word[i].letters && !j->word[i].digits);
    /* "United States (US)": the name before the brackets ends the address. */
    bool code = from > 0 && to == from + 1 && j->word[from].gap == SP_GAP_PAREN && j->word[from].letters <= 3;
    return !letters || code || (from > 0 && to - from > 2 && j->word[from].first & SP_BIT(SP_IS_NOTE));
}

/* The last piece with open words, and the first. */
static void find_ends(const sp_job *j, search *s)
{
    s->last_piece = s->first_piece = SIZE_MAX;
    for (size_t i = 0, to; i < j->words; i = to) {
        to = sp_piece_end(j, i);
        for (size_t k = i; k < to; k++) {
            if (!sp_open(j, k)) continue;
            if (!is_aside(j, i, to)) s->last_piece = i;
            if (s->first_piece == SIZE_MAX) s->first_piece = i;
            break;
        }
    }
}

static void keep(search *s, const sv_atlas_place *place, size_t from, size_t to, int weight, bool weak)
{
    if (s->n < MOST_NAMED) s->found[s->n++] = (named){place, from, to, weight, weak};
}

static bool alias_of(const sp_job *j, size_t from, size_t to, sv_alias *a)
{
    const char *key;
    size_t n = sp_span_key(j, from, to, &key);
    return sv_alias_find(j->atlas, key, n, a) && a->place && !a->shared;
}

/* A short code written small ("la", "de") is a word, one written "Jo" a name. */
static bool code_in_words(const sp_job *j, size_t from, size_t to, const sv_alias *a)
{
    const char *p = sp_text(j, from);
    bool shorty = a->weak && to == from + 1 && sp_span(j, from, to) <= 3 && sp_span(j, from, to) > 1;
    return shorty && p[1] >= 'a' && p[1] <= 'z';
}

/* A town anywhere is called so. */
static bool is_town_too(const sp_job *j, size_t from, size_t to)
{
    const char *key;
    size_t n = sp_span_key(j, from, to, &key);
    const sp_sense *s = n < 256 ? sp_senses(j->data, 0, key, n) : NULL;
    while (s && s->class != SP_IS_TOWN)
        s = s->next;
    return s != NULL;
}

static bool open_behind(const sp_job *j, size_t to)
{
    for (; to < j->words; to++) {
        if (sp_open(j, to)) return true;
    }
    return false;
}

/* The piece from .. to - 1, all open, as a whole. */
static bool whole_piece(sp_job *j, search *s, size_t from, size_t to)
{
    sv_alias a;
    if (to - from > 7 || !alias_of(j, from, to, &a)) return false;
    bool line = j->word[from].gap == SP_GAP_LINE && (to == j->words || j->word[to].gap == SP_GAP_LINE);
    bool last = from == s->last_piece, first = from == s->first_piece;
    int weight = 30 + (line ? 10 : 0) + (last ? 25 : 0) + (first && line ? 8 : 0);
    if (first && last) weight = 10; /* nothing but the name */
    if (a.weak) {
        if (code_in_words(j, from, to, &a)) {
            bool name = *sp_text(j, from) <= 'Z';
            if (!last || !line || name) return false;
        }
        weight = last ? (line ? 14 : sp_span(j, from, to) > 3 ? 12 : 9) : (line ? 7 : 2);
        uint8_t gap = j->word[from].gap; /* "(IS)", "/ BA": a province */
        if (sp_span(j, from, to) <= 3 && gap >= SP_GAP_DASH && gap <= SP_GAP_PAREN) weight = 1;
    } else if (!last && !(first && line)) {
        weight = line ? 26 : 22; /* in the middle: with other evidence */
    }
    /* "St Martin / GY4 6DX": a town before its code. */
    if (!a.weak && last && weight > 20 && open_behind(j, to) && is_town_too(j, from, to)) weight = 18;
    keep(s, sv_atlas_place_of(a.place), from, to, weight, a.weak);
    return true;
}

/* A name at the end of the last piece, or at the end of any piece behind figures ("80210-000 Brasil"). */
/* Do the words from .. to - 1 belong to a town's longer name: "San Salvador", "Port of Spain", "Нови Сад"? */
static bool in_town(const sp_job *j, size_t from, size_t to)
{
    for (size_t k = from > 4 ? from - 4 : 0; k <= from; k++) {
        for (size_t s = 0; s < 3 && j->word[k].length[s]; s++) {
            size_t end = k + j->word[k].length[s];
            if (end < to || (k == from && end == to)) continue;
            for (const sp_sense *x = j->word[k].sense[s]; x; x = x->next) {
                if (x->class == SP_IS_TOWN) return true;
            }
        }
    }
    return false;
}

static void piece_tail(sp_job *j, search *s, size_t from, size_t to)
{
    bool last = from == s->last_piece, figures = false;
    for (size_t i = from; i < to; i++)
        figures |= j->word[i].digits && !j->word[i].letters;
    if (!last && !figures) return;
    size_t most = to - from - 1 < 6 ? to - from - 1 : 6;
    for (size_t n = most; n >= 1; n--) {
        sv_alias a;
        size_t at = to - n;
        if (!alias_of(j, at, to, &a) || code_in_words(j, at, to, &a)) continue;
        if (j->word[at - 1].mask & SP_BIT(SP_IS_PARTICLE) || in_town(j, at, to))
            continue; /* "Bank of China" */
        if (is_town_too(j, at, to)) a.weak = true;
        bool behind_figures = j->word[at - 1].digits && !j->word[at - 1].letters;
        if (a.weak)
            keep(s, sv_atlas_place_of(a.place), at, to,
                 last ? (n == 1 && sp_span(j, at, to) <= 3 ? 3 : 5) : 1, true);
        else
            keep(s, sv_atlas_place_of(a.place), at, to,
                 last             ? 40
                 : behind_figures ? 20
                                  : 3,
                 !last && !behind_figures);
        return;
    }
}

/* A name at the head of the first piece or of a line of figures ("Puerto Rico 00656", "日本 東京都"). */
static void piece_head(sp_job *j, search *s, size_t from, size_t to)
{
    bool figures = j->word[to - 1].digits > 2 && j->word[to - 1].letters <= 1;
    if (!figures && !j->word[from].east) return;
    size_t most = to - from - 1 < 5 ? to - from - 1 : 5;
    for (size_t n = most; n >= (figures ? to - from - 1 : 1) && n >= 1; n--) {
        sv_alias a;
        if (!alias_of(j, from, from + n, &a) || code_in_words(j, from, from + n, &a) ||
            in_town(j, from, from + n))
            continue;
        bool before_figures =
            from + n + 1 == to && j->word[to - 1].digits > 2 && j->word[to - 1].letters <= 1;
        bool east = j->word[from].east;
        bool last = from == s->last_piece;
        if (is_town_too(j, from, from + n)) a.weak = true;
        int weight = a.weak ? (before_figures ? 4 : 1) : before_figures ? (last ? 30 : 12) : east ? 25 : 2;
        keep(s, sv_atlas_place_of(a.place), from, from + n, weight, a.weak || weight < 10);
        return;
    }
}

/* What makes a street, quarter or school of a country's name: "日本橋", "中国路", "台灣大道". */
static bool goes_on(const char *next)
{
    static const char *const marks[] = {"橋", "路", "大道", "街", "町", "大學", "大学", "市", "省"};
    for (size_t i = 0; i < sizeof marks / sizeof *marks; i++) {
        if (strncmp(next, marks[i], strlen(marks[i])) == 0) return true;
    }
    return false;
}

/* A name written on to the rest, in Han or Hangul: "中国广东省...", "香港九龍...". */
static void east_head(sp_job *j, search *s, size_t i)
{
    sp_word *w = &j->word[i];
    if (!w->east || !sp_open(j, i)) return;
    for (size_t n = 21; n >= 6; n -= 3) {
        char key[64];
        sv_alias a;
        if (w->end - w->at < n + 6) continue;
        size_t length = sv_alias_key(key, sizeof key, sp_text(j, i), n);
        if (length != n || !sv_alias_find(j->atlas, key, length, &a) || !a.place || a.weak) continue;
        if (goes_on(sp_text(j, i) + n)) return;
        const sv_atlas_place *place = sv_atlas_place_of(a.place);
        if (sp_split_at(j, w->at + (uint32_t)n) == i + 1) keep(s, place, i, i + 1, 28, false);
        return;
    }
}

static bool all_open(const sp_job *j, size_t from, size_t to)
{
    for (size_t i = from; i < to; i++) {
        if (!sp_open(j, i)) return false;
    }
    return true;
}

/* A line of several pieces that is one name: "Korea, Republic of". */
static bool whole_line(sp_job *j, search *s, size_t from)
{
    size_t to = sp_line_end(j, from);
    if (from == 0 || j->word[from].gap != SP_GAP_LINE || sp_piece_end(j, from) == to || to - from > 8 ||
        !all_open(j, from, to))
        return false;
    char key[192];
    sv_alias a;
    size_t n = sv_alias_key(key, sizeof key, sp_text(j, from), sp_span(j, from, to));
    if (!n || n == SIZE_MAX || !sv_alias_find(j->atlas, key, n, &a) || !a.place) return false;
    keep(s, sv_atlas_place_of(a.place), from, to, to == j->words ? 60 : 30, false);
    return true;
}

static void search_names(sp_job *j, search *s)
{
    for (size_t i = 0; i < j->words && i < 64; i++)
        east_head(j, s, i);
    find_ends(j, s);
    for (size_t i = 0, to; i < j->words; i = to) {
        to = sp_piece_end(j, i);
        size_t from = i, end = to;
        while (from < end && !sp_open(j, from))
            from++;
        while (end > from && !sp_open(j, end - 1))
            end--;
        while (end > from + 1 && j->word[end - 1].digits >= 8 &&
               !j->word[end - 1].letters) /* "Thailand 0812345678" */
            end--;
        if (from == end || !all_open(j, from, end)) continue;
        if (from != i && i == s->last_piece) s->last_piece = from;
        if (from != i && i == s->first_piece) s->first_piece = from;
        if (whole_line(j, s, i)) {
            to = sp_line_end(j, i);
            continue;
        }
        if (whole_piece(j, s, from, end)) continue;
        if (end - from < 2) continue;
        piece_tail(j, s, from, end);
        piece_head(j, s, from, end);
    }
}

/* The mother country's name beside the territory's ("La Réunion / France") is the country too. */
static bool belongs(const sv_atlas_place *to, const sv_atlas_place *named_place)
{
    return named_place == to || strcmp(to->place.sovereign, named_place->place.code) == 0 ||
           strcmp(named_place->place.sovereign, to->place.code) == 0;
}

/* Another name says the same country more surely. */
static bool better_named(const search *s, const named *f)
{
    for (size_t i = 0; i < s->n; i++) {
        if (s->found[i].place == f->place && s->found[i].from != f->from && s->found[i].weight > f->weight)
            return true;
    }
    return false;
}

/* A town of the place that stands for it too ("Dubai" beside "U.A.E."), where another name says the country.
 */
static bool town_beside(const sp_job *j, const search *s, const named *f)
{
    size_t n = 0;
    for (; n < 3 && j->word[f->from].length[n]; n++) {
        if (j->word[f->from].length[n] == f->to - f->from) break;
    }
    const sp_sense *x = n < 3 && j->word[f->from].length[n] ? j->word[f->from].sense[n] : NULL;
    while (x && !((x->class == SP_IS_TOWN || x->class == SP_IS_AREA) && x->in &&
                  sp_has(x->in, sp_number(j->place->place.code))))
        x = x->next;
    return x && better_named(s, f);
}

static void give_names(sp_job *j, const search *s)
{
    for (size_t i = 0; i < s->n; i++) {
        const named *f = &s->found[i];
        if (!belongs(j->place, f->place) || town_beside(j, s, f)) continue;
        /* "Saipan, MP 96950": in the place of a state. */
        bool state = sp_span(j, f->from, f->to) == 2 && f->to < j->words && !sp_breaks(&j->word[f->to]) &&
                     j->word[f->to].digits >= 4;
        if (state) continue;
        bool weak = f->weight >= 7 || (f->place == j->place && f->weight >= 4 && !better_named(s, f));
        if (f->weak ? weak : f->weight >= 10) sp_give(j, f->from, f->to, SP_COUNTRY);
    }
    for (size_t i = 0; i < s->n; i++) { /* a code behind the name: "United States (US)" */
        const named *f = &s->found[i];
        if (f->place == j->place && f->from > 0 && j->word[f->from - 1].column == SP_COUNTRY &&
            j->word[f->from].gap != SP_GAP_LINE)
            sp_give(j, f->from, f->to, SP_COUNTRY);
    }
}

/* A finer name wins: with RE and FR both named, RE. */
static const sv_atlas_place *finer(const search *s, const sv_atlas_place *best)
{
    for (size_t i = 0; i < s->n; i++) {
        const named *f = &s->found[i];
        if (f->place != best && strcmp(f->place->place.sovereign, best->place.code) == 0 &&
            (!f->weak || f->weight >= 7))
            return f->place;
    }
    return best;
}

/* "Grenada, W.I.", "Spain, Europe": the last piece says no more than the country before it. */
static void drop_tail(sp_job *j)
{
    size_t last = j->words;
    for (size_t i = 0; i < j->words; i = sp_piece_end(j, i)) {
        if (sp_open(j, i)) last = i;
    }
    if (last == j->words || last == 0) return;
    size_t n = sp_phrase(j, last, SP_BIT(SP_IS_COUNTRY_TAIL));
    if (n && last + n == sp_piece_end(j, last)) sp_give(j, last, last + n, SP_COUNTRY);
}

/* Is the text a town of the place? */
static bool town_of_text(const sp_job *j, const char *from, const char *to, const sv_place *place)
{
    char key[192];
    size_t n = sv_alias_key(key, sizeof key, from, (size_t)(to - from));
    const sp_sense *s = n && n != SIZE_MAX ? sp_senses(j->data, 0, key, n) : NULL;
    while (s && !(s->class == SP_IS_TOWN && s->in && sp_has(s->in, sp_number(place->code))))
        s = s->next;
    return s != NULL;
}

/* The place that the words from byte `from` to byte `to` name; NULL when none is surely meant. */
static const sv_place *place_in(const sp_job *j, const char *from, const char *to)
{
    char key[192];
    sv_alias a;
    size_t n = to > from ? sv_alias_key(key, sizeof key, from, (size_t)(to - from)) : 0;
    if (n == SIZE_MAX || n < 4 || !sv_alias_find(j->atlas, key, n, &a) || a.shared) return NULL;
    return a.place;
}

/* Does a town of the place end at the byte `to`, in word i or, where that holds but the number of its post
 * office, in the word before? */
static bool town_up_to(const sp_job *j, size_t i, const char *to, const sv_place *place)
{
    const char *from = sp_text(j, i);
    bool number = true;
    for (const char *p = from; p < to; p++)
        number &= *p >= '0' && *p <= '9';
    if (number && i > 0 && !sp_breaks(&j->word[i])) {
        from = sp_text(j, i - 1);
        to = j->text + j->word[i - 1].end;
    }
    return town_of_text(j, from, to, place);
}

/* "Lomé-Togo", "Togo-Lomé": the country written on to the town in the last words of the block. Behind (or
 * before) a town of that country, or where the word stands alone in its piece; a surname of two stands behind
 * another name. */
static void part_country(sp_job *j)
{
    size_t last = j->words;
    while (last > 0 && (!sp_open(j, last - 1) || !j->word[last - 1].letters))
        last--;
    if (last < 2 || j->words == j->room) return;
    const char *end = j->text + j->word[last - 1].end;
    for (size_t i = last; i-- > 1 && last - i <= 4 && sp_open(j, i);) {
        const sp_word *w = &j->word[i];
        const char *p = sp_text(j, i), *hyphen = j->text + w->end;
        while (hyphen > p && hyphen[-1] != '-')
            hyphen--;
        bool alone = sp_breaks(w) && i + 1 == last && !w->digits;
        const sv_place *behind = hyphen > p ? place_in(j, hyphen, end) : NULL,
                       *before = hyphen > p ? place_in(j, p, hyphen - 1) : NULL;
        bool whole = place_in(j, p, end) != NULL; /* "Guinea-Bissau" */
        bool parts = (behind && (alone || town_up_to(j, i, hyphen - 1, behind))) ||
                     (before && sp_breaks(w) && town_of_text(j, hyphen, end, before));
        if (hyphen > p + 2 && !whole && parts) {
            size_t at = sp_split_at(j, (uint32_t)(hyphen - j->text));
            if (at == i + 1) j->word[at].gap = SP_GAP_DASH;
            if (at == i + 1 && !behind) {
                j->place = sv_atlas_place_of(before);
                sp_give(j, i, at, SP_COUNTRY);
            }
            sp_refresh(j);
            return;
        }
        if (sp_breaks(w)) return;
    }
}

void sp_country(sp_job *j, const char *hint)
{
    search s = {.n = 0};
    int16_t score[SP_NUMBERS];
    part_country(j);
    drop_tail(j);
    search_names(j, &s);
    const sv_place *told = hint && *hint ? sv_place_by_code(j->world, hint) : NULL;
    if (!told && hint && *hint) told = sv_place_by_name(j->world, hint);
    if (told) j->place = sv_atlas_place_of(told);
    if (j->place) {
        j->place = finer(&s, j->place);
        give_names(j, &s);
        return;
    }
    memset(score, 0, sizeof score);
    const named *best = NULL;
    for (size_t i = 0; i < s.n; i++) {
        const named *f = &s.found[i];
        if (!f->weak && f->weight >= 30 && (!best || f->weight > best->weight)) best = f;
        unsigned number = sp_number(f->place->place.code);
        int by = f->weak ? f->weight : f->weight / 3;
        if (f->weak && sp_span(j, f->from, f->to) <= 3 && !sp_code_fits(j, f->place)) by = 0;
        if (score[number] < by) score[number] = (int16_t)by;
    }
    if (best) {
        j->place = finer(&s, best->place);
        give_names(j, &s);
        return;
    }
    bool sure;
    const sv_atlas_place *guess = sp_infer(j, score, &sure);
    if (!guess) return;
    j->place = guess;
    j->unsure = !sure;
    bool named_so = false;
    for (size_t i = 0; i < s.n; i++)
        named_so |= s.found[i].place == guess && s.found[i].weight >= 7;
    j->inferred = !named_so;
    give_names(j, &s);
}
