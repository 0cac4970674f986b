/* split_region.c - runs of open words, the regions and known towns among them. */
#include <string.h>
#include <strings.h>

#include "address/split_town.h"

const sv_region *sp_region_of(const sp_job *j, size_t from, size_t to)
{
    if (from >= to || to - from > 6) return NULL;
    return sv_region_find(j->place, sp_text(j, from), sp_span(j, from, to));
}

bool sp_is_area(const sp_job *j, size_t from, size_t to)
{
    return sp_phrase(j, from, SP_BIT(SP_IS_AREA)) == to - from;
}

/* A known town, also with the number of its post office or district: "Dublin 7", "Praha 2", "Toulouse Cedex
 * 6". */
bool sp_is_town(const sp_job *j, size_t from, size_t to)
{
    size_t n = sp_phrase(j, from, SP_BIT(SP_IS_TOWN));
    if (n == to - from) return n > 0;
    if (!n || n > to - from || to - from - n > 2) return false;
    const sp_word *last = &j->word[to - 1];
    bool number = last->digits && last->digits <= 2 && last->letters <= 1;
    bool cedex =
        sp_key_length(&j->word[from + n]) == 5 && memcmp(sp_key(j, &j->word[from + n]), "cedex", 5) == 0;
    return cedex ? to - from - n == 1 || number : number && to - from - n == 1;
}

bool sp_short_form(const sp_job *j, size_t from, size_t to)
{
    return to == from + 1 && j->word[from].letters <= 3 && !j->word[from].east;
}

/* "Sin.", "Jal.": letter for letter the short form in print. */
static bool printed_short(const sp_job *j, size_t from, size_t to)
{
    const sv_region *r = sp_region_of(j, from, to);
    size_t n = sp_span(j, from, to);
    return r && strlen(r->shorter) == n && memcmp(r->shorter, sp_text(j, from), n) == 0;
}

bool sp_upper_case(const sp_job *j, size_t i)
{
    char c = *sp_text(j, i);
    return c >= 'A' && c <= 'Z' &&
           (j->word[i].end - j->word[i].at < 2 || !(sp_text(j, i)[1] >= 'a' && sp_text(j, i)[1] <= 'z'));
}

/* "Christiansted VI 00820": the territory's own code in the place of a state's. */
static bool own_code(const sp_job *j, size_t from, size_t to)
{
    return to == from + 1 && j->code_from == (int)to && sp_span(j, from, to) == 2 &&
           strncasecmp(sp_text(j, from), j->place->place.code, 2) == 0;
}

static bool ends_in_town(const sp_job *j, size_t from, size_t to)
{
    for (size_t n = 1; n <= 4 && from + n <= to; n++) {
        if (sp_is_town(j, to - n, to)) return true;
    }
    return false;
}

/* Do the words from `at` on name a region that closes the run? */
static bool closes_region(const sp_job *j, const sp_run *r, size_t at)
{
    bool at_code = j->code_from == (int)r->to || (j->code_to > 0 && j->code_to == (int)r->from);
    bool coded = sp_short_form(j, at, r->to);
    bool bare = j->place->region_short && !r->head && r->street == 0;
    if (!at_code && !coded && !bare && !ends_in_town(j, r->from, at)) return false; /* spares the look-up */
    if (!sp_is_area(j, at, r->to) && !sp_region_of(j, at, r->to) && !own_code(j, at, r->to)) return false;
    if (coded) {
        if (j->word[at].letters < 2 || (!j->place->region_short && !at_code)) return false;
        return sp_upper_case(j, at) || at_code || sp_is_town(j, r->from, at);
    }
    bool ends_line =
        bare && (r->to == j->words || j->word[r->to].gap == SP_GAP_LINE); /* "Northcote Victoria" */
    bool town = ends_in_town(j, r->from, at);
    if (!ends_line && (j->word[at - 1].mask & SP_BIT(SP_IS_PARTICLE) || !(at_code || town))) return false;
    return town || sp_street(j, r->from, at) <= 3;
}

/* A region at the end of a run: "Boise ID", "Firenze FI", "Savannah Georgia". The longest name, but no word
 * more than it needs: "Salt Lake City UT" ends in UT. */
static void find_tail_region(const sp_job *j, sp_run *r)
{
    r->region_from = r->region_to = r->to;
    if (sp_is_town(j, r->from, r->to)) return;
    const sv_region *kept = NULL;
    for (size_t n = 4; n >= 1; n--) {
        size_t at = r->to - n;
        if (r->to - r->from <= n || !closes_region(j, r, at)) continue;
        const sv_region *region = sp_region_of(j, at, r->to);
        if (r->region_from < r->to && region != kept) continue;
        kept = region;
        r->region_from = at;
    }
}

static void look_at(const sp_job *j, sp_run *r, sp_look how)
{
    r->street = sp_street(j, r->from, r->to);
    r->region_from = r->region_to = r->to;
    if (how == SP_LOOK_STREET) return;
    r->whole_region =
        sp_region_of(j, r->from, r->to) || sp_is_area(j, r->from, r->to) || own_code(j, r->from, r->to);
    r->code_region = r->whole_region && sp_short_form(j, r->from, r->to);
    if (r->code_region && j->word[r->from].letters < 2) r->whole_region = r->code_region = false;
    bool parted = j->place->region_short && r->from > 0 && j->word[r->from].gap >= SP_GAP_DASH &&
                  j->word[r->from].gap <= SP_GAP_COMMA;
    if (r->code_region && !parted && !sp_upper_case(j, r->from) && !printed_short(j, r->from, r->to) &&
        j->code_from != (int)r->to && j->code_to != (int)r->from)
        r->whole_region = r->code_region = false;
    if (how == SP_LOOK_TAIL) find_tail_region(j, r);
    r->known = sp_is_town(j, r->from, r->region_from);
}

/* Runs of open words, cut at gaps and at words already given. */
void sp_find_runs(const sp_job *j, sp_runs *s, sp_look how)
{
    s->n = 0;
    s->code = -1;
    for (size_t i = 0; i < j->words && s->n < SP_MOST_RUNS;) {
        if (s->code < 0 && j->code_from >= 0 && i >= (size_t)j->code_from) s->code = (int)s->n;
        if (!sp_open(j, i)) {
            i++;
            continue;
        }
        size_t to = sp_run_end(j, i);
        sp_run *r = &s->r[s->n];
        *r = (sp_run){.from = i, .to = to, .head = s->n == 0};
        look_at(j, r, how);
        s->n++;
        i = to;
    }
    if (s->code < 0 && j->code_from >= 0) s->code = (int)s->n;
}

/* Runs between which and the town or the code no other run stands. */
bool sp_near_town(const sp_job *j, const sp_run *r)
{
    size_t i = r->to;
    while (i < j->words && (j->word[i].column == SP_DROPPED || j->word[i].column == SP_COUNTRY))
        i++;
    if (i < j->words &&
        (j->word[i].column == SP_TOWN || j->word[i].column == SP_CODE || j->word[i].column == SP_REGION))
        return true;
    i = r->from;
    while (i > 0 && (j->word[i - 1].column == SP_DROPPED || j->word[i - 1].column == SP_COUNTRY))
        i--;
    return i > 0 && (j->word[i - 1].column == SP_TOWN || j->word[i - 1].column == SP_CODE ||
                     j->word[i - 1].column == SP_REGION || j->word[i - 1].column == SP_DEPENDENT);
}

void sp_give_regions(sp_job *j)
{
    sp_runs s;
    sp_find_runs(j, &s, SP_LOOK_WHOLE);
    for (size_t k = 0; k < s.n; k++) {
        const sp_run *r = &s.r[k];
        if (!r->whole_region || (r->head && s.n > 1 && !sp_near_town(j, r))) continue;
        if (r->code_region && !sp_near_town(j, r)) continue;
        if (!sp_near_town(j, r) && j->town_from >= 0 && r->to < (size_t)j->town_from &&
            j->place->side != SV_SIDE_BELOW && sp_street(j, r->from, r->to) > 0)
            continue;
        sp_give(j, r->from, r->to, SP_REGION);
    }
}

static bool has_capital(const char *p, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        if (p[i] >= 'A' && p[i] <= 'Z') return true;
    }
    return false;
}

/* "Porto Alegre-RS": the short form written on to the town. */
void sp_part_regions(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        const sp_word *w = &j->word[i];
        if (!sp_open(j, i) || w->end - w->at < 6 || !j->place->region_short || j->words == j->room) continue;
        const char *tail = j->text + w->end - 3;
        bool capitals = tail[1] >= 'A' && tail[1] <= 'Z',
             small = !has_capital(j->text + w->at, w->end - w->at);
        if (tail[0] != '-' || !(capitals || small) || !sv_region_find(j->place, tail + 1, 2)) continue;
        size_t at = sp_split_at(j, w->end - 2);
        if (at != i + 1) continue;
        j->word[at].gap = SP_GAP_DASH;
    }
}
