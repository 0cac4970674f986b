/* split_town.c - town, region and dependent locality. Every run of open words is weighed: where it stands
 * from the postcode, by the layout of the place; known towns; what looks like a street, a name or a region is
 * not one. */
#include <string.h>

#include "address/split_town.h"

static bool same_line(const sp_job *j, size_t a, size_t b)
{
    return j->word[a].line == j->word[b].line;
}

/* By where it stands from the postcode. */
static int by_place(const sp_job *j, const sp_runs *s, size_t k)
{
    static const int beside_right[] = {6, 10, 6, 7, 8}, beside_left[] = {6, 5, 10, 8, 3};
    static const int below[] = {3, 4, 2, 2, 8}, above[] = {5, 3, 6, 9, 2};
    const sp_run *r = &s->r[k];
    sv_side side = j->place->side;
    if (j->code_to == (int)r->from && !sp_breaks(&j->word[r->from])) return beside_right[side];
    if (j->code_from == (int)r->to && !sp_breaks(&j->word[j->code_from])) return beside_left[side];
    if ((int)k >= s->code) {
        int steps = (int)k - s->code;
        /* A dash or comma between code and town on one line is a blank as well. */
        if (steps == 0 && j->code_to == (int)r->from && same_line(j, r->from, (size_t)j->code_from))
            return beside_right[side] - 1;
        return below[side] - 3 * steps + (steps == 0 && same_line(j, r->from, (size_t)j->code_from) ? 2 : 0);
    }
    int steps = s->code - 1 - (int)k;
    for (size_t i = r->to; i < (size_t)j->code_from; i++) {
        if (j->word[i].column != SP_STREET) continue;
        steps += 1;
        break;
    }
    bool next_to = j->code_from == (int)r->to && same_line(j, r->from, (size_t)j->code_from);
    return above[side] - 2 * steps + (next_to ? 2 : 0);
}

/* Without a postcode: from the end, or from the head when the country stands first. */
static int by_order(const sp_job *j, const sp_runs *s, size_t k)
{
    bool country_first = j->words && j->word[0].column == SP_COUNTRY && s->n > 1;
    int end = 8 - 2 * (int)(s->n - 1 - k), start = 7 - 2 * (int)k;
    return country_first && start > end ? start : end;
}

static bool other_candidate(const sp_runs *s, size_t k)
{
    for (size_t i = 0; i < s->n; i++) {
        const sp_run *r = &s->r[i];
        if (i != k && !r->head && r->street < 2 && !r->whole_region) return true;
    }
    return false;
}

/* In a block of several lines, a piece of a line on which street stands before it is of the street too,
 * unless the code follows. */
static bool on_street_line(const sp_job *j, const sp_run *r)
{
    bool by_code = j->code_from == (int)r->to || j->code_to == (int)r->from;
    return !by_code && sp_street_before(j, r->from);
}

/* The postcode has a line of its own. */
static bool code_alone(const sp_job *j)
{
    size_t from = (size_t)j->code_from, to = (size_t)j->code_to;
    while (from > 0 && j->word[from].gap != SP_GAP_LINE && j->word[from - 1].column == SP_DROPPED)
        from--;
    return j->word[from].gap == SP_GAP_LINE && (to == j->words || j->word[to].gap == SP_GAP_LINE);
}

/* "Brooklyn, New York 11201", "Kolonia, Pohnpei": behind a town on its line the name that is also a region's
 * or an island's is the region. A name that no table knows counts as a town where addresses must name the
 * region between town and code and no bare part stands before the town. */
static bool under_town(const sp_job *j, const sp_runs *s, size_t k)
{
    const sp_run *r = &s->r[k], *town = r - 1;
    if (k < 1 || town->to != r->from || j->word[r->from].gap != SP_GAP_COMMA ||
        !same_line(j, town->from, r->from) || town->code_region || town->street > 0 ||
        sp_has_digit(j, town->from, town->to))
        return false;
    if (town->known) return true;
    bool bare = j->data->habit[sp_number(j->place->place.code)].dependent;
    bool named = j->place->required & SV_PART_REGION && j->place->side == SV_SIDE_RIGHT;
    bool opens = j->word[town->from].gap == SP_GAP_LINE ||
                 (k >= 2 && town[-1].to == town->from && town[-1].street >= 2);
    return named && !bare && !town->head && opens && town->to - town->from <= 3;
}

/* A region's name is a town only where no other stands. */
static int as_region(const sp_job *j, const sp_runs *s, size_t k)
{
    const sp_run *r = &s->r[k];
    if (!r->whole_region) return 0;
    if (under_town(j, s, k)) return -20;
    bool other = other_candidate(s, k), above = j->data->habit[sp_number(j->place->place.code)].region_above;
    int score = r->code_region ? -20 : !other ? 0 : above ? -15 : r->known ? -5 : -12;
    bool before = j->code_from == (int)r->to && !sp_breaks(&j->word[r->to]);
    bool at_code = before || (j->code_to == (int)r->from && !sp_breaks(&j->word[r->from]));
    if (k > 0 && s->r[k - 1].known && !s->r[k - 1].head && !at_code) score -= 6; /* "New Delhi / Delhi" */
    return score;
}

/* By its words: titles, firms and notes are no towns. */
static int by_words(const sp_job *j, const sp_run *r)
{
    uint64_t first = j->word[r->from].first, mask = 0;
    for (size_t i = r->from; i < r->to; i++)
        mask |= j->word[i].mask;
    int score = j->word[r->from].no_name ? 1 : 0;
    bool unit = r->to - r->from == 1 && mask & (SP_BIT(SP_IS_UNIT) | SP_BIT(SP_IS_FRONT)) && !r->known;
    bool numbered = r->to - r->from == 2 && j->word[r->from].mask & (SP_STREETS | SP_BIT(SP_IS_UNIT)) &&
                    j->word[r->to - 1].digits && !j->word[r->to - 1].letters && !r->known;
    if (unit || numbered) score -= 10; /* "Block 910", "Road 1705" */
    if (first & SP_BIT(SP_IS_TITLE)) score -= 8;
    if (mask & SP_BIT(SP_IS_FIRM) && !r->known) score -= 3;
    if (first & SP_BIT(SP_IS_NOTE) && !r->known) score -= 6;
    return score;
}

/* "Анна Иванова, 420111, Звенигово, ул Ленина 3": a name, and behind the code all from the town down to the
 * street. What stands before the code is then no town. */
static bool town_behind_code(const sp_job *j, const sp_runs *s, size_t k)
{
    const sp_run *r = &s->r[k];
    if (!r->head || r->known || s->code != 1 || j->code_from != (int)r->to || !sp_breaks(&j->word[r->to]))
        return false;
    bool town = false;
    for (size_t i = 1; i < s->n; i++) {
        const sp_run *next = &s->r[i];
        bool digit = sp_has_digit(j, next->from, next->to);
        if (next->street >= 2 || digit) return town;
        town |= !next->whole_region;
    }
    return false;
}

static int judge(const sp_job *j, const sp_runs *s, size_t k)
{
    const sp_run *r = &s->r[k];
    int score = s->code >= 0 ? by_place(j, s, k) : by_order(j, s, k);
    if (s->code >= 0 &&
        code_alone(j)) { /* it may stand in a wrong place: the order of the lines counts as well */
        int order = by_order(j, s, k);
        if (order > score) score = order;
    }
    bool digit = sp_has_digit(j, r->from, r->region_from);
    if (r->known) score += 6;
    if (!r->known || digit) score -= 2 * r->street;
    if (digit && !r->known && j->word[r->from].digits) score -= 4;
    if (!r->known && !strchr(j->place->lines, 'C') && !*j->place->town) score -= 20; /* Macao has no towns */
    if (r->head && s->n > 1 && !r->known) score -= 5;
    if (town_behind_code(j, s, k)) score -= 12;
    if (r->region_from - r->from > 5) score -= 3;
    if (on_street_line(j, r)) score -= r->known ? 2 : 5;
    return score + as_region(j, s, k) + by_words(j, r);
}

/* "77 Peachtree Pl NE Atlanta GA 30309": the town behind the last word of the street, before the code. */
static size_t tail_town(const sp_job *j, const sp_run *r)
{
    size_t to = r->region_from, at = to;
    for (size_t n = 4; n >= 1; n--) { /* a known town at the end */
        if (to - r->from > n && sp_is_town(j, to - n, to)) return to - n;
    }
    while (at > r->from) {
        const sp_word *w = &j->word[at - 1];
        if (w->digits || w->mask & (SP_BIT(SP_IS_BACK) | SP_BIT(SP_IS_UNIT) | SP_BIT(SP_IS_END))) break;
        at--;
    }
    while (at < to && j->word[at].letters <= 2 && sp_upper_case(j, at) &&
           to - at > 1) /* NE, SW: directions */
        at++;
    for (size_t i = at; i < to; i++) {
        if (j->word[i].mask & (SP_STREETS | SP_BIT(SP_IS_WEAK) | SP_BIT(SP_IS_UNIT))) return to;
    }
    return at > r->from && at < to && to - at <= 3 ? at : to;
}

static void give_town(sp_job *j, size_t from, size_t to)
{
    sp_give(j, from, to, SP_TOWN);
    j->town_from = (int)from;
    j->town_to = (int)to;
}

static void choose_town(sp_job *j)
{
    sp_runs s;
    sp_find_runs(j, &s, SP_LOOK_TAIL);
    int best = -1, best_score = -1000;
    for (size_t k = 0; k < s.n; k++) {
        int score = judge(j, &s, k);
        if (score > best_score) {
            best_score = score;
            best = (int)k;
        }
    }
    /* The run before the code may hold street and town without a comma. */
    for (size_t k = 0; k < s.n; k++) {
        sp_run *r = &s.r[k];
        bool at_code = j->code_from == (int)r->to;
        bool last = s.code < 0 && k + 1 == s.n;
        if ((!at_code && !last) || r->street < 2 || r->known ||
            !(strchr(j->place->lines, 'C') || *j->place->town))
            continue;
        size_t at = tail_town(j, r);
        if (at >= r->region_from) continue;
        bool known = sp_is_town(j, at, r->region_from);
        if (best_score >= (known ? 9 : j->place->side == SV_SIDE_RIGHT && at_code ? 7 : 1)) continue;
        sp_give(j, r->region_from, r->to, SP_REGION);
        give_town(j, at, r->region_from);
        return;
    }
    if (best < 0 || best_score <= 0) return;
    sp_run *r = &s.r[best];
    sp_give(j, r->region_from, r->to, SP_REGION);
    give_town(j, r->from, r->region_from);
}

static void note_town(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        if (j->word[i].column != SP_TOWN) continue;
        if (j->town_from < 0) j->town_from = (int)i;
        j->town_to = (int)i + 1;
    }
}

/* What stands in brackets or behind a stroke by the town and is no region belongs to it: "Halle (Saale)",
 * "Biel/Bienne". */
static void join_town(sp_job *j)
{
    for (size_t i = 1; i < j->words; i++) {
        const sp_word *w = &j->word[i];
        if (!sp_open(j, i) || j->word[i - 1].column != SP_TOWN || w->digits) continue;
        if (w->gap == SP_GAP_PAREN || w->gap == SP_GAP_SLASH) {
            size_t to = sp_piece_end(j, i);
            if (to - i <= 3 && !sp_has_digit(j, i, to)) sp_give(j, i, to, SP_TOWN);
        }
    }
}

/* The town every address of the place has (SINGAPORE, GIBRALTAR). */
static bool is_own_town(const sp_job *j, size_t from, size_t to)
{
    const char *key;
    char own[64];
    size_t n = sp_span_key(j, from, to, &key);
    size_t length = sv_alias_key(own, sizeof own, j->place->town, strlen(j->place->town));
    return n && n == length && memcmp(own, key, n) == 0;
}

/* Town and country of one name: where no other town stands, the name by the code (or the first) is the town.
 */
/* Does a known town stand among the open words? */
static bool open_town(const sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        if (sp_open(j, i) && sp_phrase(j, i, SP_BIT(SP_IS_TOWN))) return true;
    }
    return false;
}

/* A run that may be a town: not the first, no street. */
static bool other_town(const sp_job *j)
{
    sp_runs s;
    sp_find_runs(j, &s, SP_LOOK_STREET);
    for (size_t k = 1; k < s.n; k++) {
        if (s.r[k].street < 2 && !sp_has_digit(j, s.r[k].from, s.r[k].to)) return true;
    }
    return false;
}

static bool country_twice(const sp_job *j)
{
    size_t names = 0;
    for (size_t i = 0; i < j->words; i++)
        names += j->word[i].column == SP_COUNTRY &&
                 (i == 0 || j->word[i - 1].column != SP_COUNTRY || sp_breaks(&j->word[i]));
    return names > 1;
}

static void town_of_country(sp_job *j, size_t least)
{
    size_t best = SIZE_MAX, best_to = 0, names = 0;
    bool twice = country_twice(j), left = j->place->side == SV_SIDE_LEFT;
    for (size_t i = 0; i < j->words; i++) {
        if (j->word[i].column != SP_COUNTRY) continue;
        size_t to = i + 1;
        while (to < j->words && j->word[to].column == SP_COUNTRY && !sp_breaks(&j->word[to]))
            to++;
        bool before_code = j->code_from == (int)to || (j->code_to == (int)i && !sp_breaks(&j->word[i]));
        bool on_code_line = before_code && !(j->code_from == (int)to && sp_breaks(&j->word[to]));
        bool own = is_own_town(j, i, to) && !open_town(j); /* a parish of Jersey is the town */
        bool town = own || (sp_is_town(j, i, to) && !is_own_town(j, i, to)) ||
                    (on_code_line && twice && (left || !other_town(j)));
        names += town;
        if (town && before_code) names += 2; /* by the postcode it is the town */
        if (own) names += 2;
        bool by_code = j->code_from == (int)to || j->code_to == (int)i;
        if (town && (best == SIZE_MAX || by_code)) {
            best = i;
            best_to = to;
        }
        i = to - 1;
    }
    if (best == SIZE_MAX || names < least) return;
    for (size_t i = best; i < best_to; i++)
        j->word[i].column = SP_OPEN;
    give_town(j, best, best_to);
}

/* No town but a region that is one: Tokyo, Dubai. */
static void town_of_region(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        if (j->word[i].column != SP_REGION || j->word[i].fixed) continue;
        size_t to = i + 1;
        while (to < j->words && j->word[to].column == SP_REGION && !sp_breaks(&j->word[to]))
            to++;
        if (!sp_short_form(j, i, to)) {
            for (size_t k = i; k < to; k++)
                j->word[k].column = SP_OPEN;
            give_town(j, i, to);
            return;
        }
        i = to - 1;
    }
}

static bool streets_before(const sp_job *j, size_t from)
{
    for (size_t i = 0; i < from; i++) {
        if (j->word[i].column == SP_STREET) return true;
        if (sp_open(j, i) && (j->word[i].digits || j->word[i].mask & SP_STREETS)) return true;
    }
    return false;
}

static bool bare(const sp_job *j, const sp_run *r)
{
    return r->street <= 1 && !r->head && !sp_has_digit(j, r->from, r->to);
}

/* A bare line between street and town, where the place has such: dependent locality. */
static void give_dependents(sp_job *j)
{
    const sp_habit *habit = &j->data->habit[sp_number(j->place->place.code)];
    if (!habit->dependent || j->town_from < 0) return;
    sp_runs s;
    sp_find_runs(j, &s, SP_LOOK_STREET);
    for (size_t k = s.n; k-- > 1;) {
        const sp_run *r = &s.r[k];
        if (r->to > (size_t)j->town_from || on_street_line(j, r) || r->street > 1 ||
            sp_has_digit(j, r->from, r->from + 1))
            continue;
        if (sp_has_digit(j, r->from, r->to) && r->to - r->from == 1) continue;
        uint64_t mask = j->word[r->from].first;
        if (mask & (SP_BIT(SP_IS_TITLE) | SP_BIT(SP_IS_NOTE)) || !sp_near_town(j, r) ||
            !(streets_before(j, r->from) || (k >= 2 && s.r[k - 1].to == r->from && bare(j, &s.r[k - 1]))))
            continue;
        sp_give(j, r->from, r->to, SP_DEPENDENT);
        return;
    }
}

/* "St Peter Port / Guernsey GY1 2JU": beside a town of the island its own name is the country. */
static void own_name(sp_job *j)
{
    for (size_t i = 0; *j->place->town && i < j->words; i++) {
        if (!sp_open(j, i) || !is_own_town(j, i, i + 1)) continue;
        j->word[i].column = SP_COUNTRY;
        if (!open_town(j)) j->word[i].column = SP_OPEN;
    }
}

void sp_town(sp_job *j)
{
    own_name(j);
    sp_part_regions(j);
    sp_parts(j);
    bool military = false;
    for (size_t i = 0; i < j->words; i++)
        military |= (j->word[i].first & SP_BIT(SP_IS_MILITARY_GB)) != 0;
    if (!sp_given(j, SP_TOWN)) town_of_country(j, 2);
    if (!sp_given(j, SP_TOWN) && !military) choose_town(j);
    note_town(j);
    sp_give_regions(j);
    join_town(j);
    if (!sp_given(j, SP_TOWN)) town_of_country(j, 1);
    if (!sp_given(j, SP_TOWN)) town_of_region(j);
    note_town(j);
    give_dependents(j);
}
