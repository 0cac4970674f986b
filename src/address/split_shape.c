/* split_shape.c - postcodes as evidence for a country that is not named: their form, what stands beside them.
 */
#include <string.h>

#include "address/split_infer.h"

/* Not all on the line of word i is written small. */
static bool line_has_capital(const sp_job *j, size_t i)
{
    for (const char *p = sp_text(j, i); p > j->text && p[-1] != '\n'; p--) {
        if (p[-1] >= 'A' && p[-1] <= 'Z') return true;
    }
    return false;
}

/* A region's name or short form before word i; on the line above it must stand apart ("Wilmington, DE /
 * 19806"). */
static bool region_before(const sp_job *j, const sv_atlas_place *p, size_t i)
{
    bool above = i > 0 && j->word[i].gap == SP_GAP_LINE;
    while (i > 0 && j->word[i - 1].column == SP_DROPPED)
        i--;
    if (i > 0 && j->word[i - 1].column == SP_REGION) { /* "State: Vermont / Zip code: 05602" */
        size_t from = i - 1;
        while (from > 0 && j->word[from - 1].column == SP_REGION)
            from--;
        return sv_region_find(p, sp_text(j, from), sp_span(j, from, i)) != NULL;
    }
    for (size_t n = 1; n <= 3 && n <= i; n++) {
        const sp_word *w = &j->word[i - n];
        if (w->column != SP_OPEN && w->column != SP_COUNTRY) return false;
        const sp_word *last = &j->word[i - 1];
        bool apart = !above || sp_breaks(w) || (n == 1 && w->end - w->at <= 3);
        bool small = last->end - w->at <= 3 && line_has_capital(j, i - n) && *sp_text(j, i - n) >= 'a' &&
                     *sp_text(j, i - n) <= 'z';
        if (apart && !small && sv_region_find(p, j->text + w->at, last->end - w->at)) return true;
        if (sp_breaks(w)) return false;
    }
    return false;
}

/* Where the code stands left of the town: a region at the end of its line ("35042 Este (PD)"). */
static bool region_behind(const sp_job *j, const sv_atlas_place *p, size_t i)
{
    size_t end = sp_line_end(j, i);
    if (p->side != SV_SIDE_LEFT) return false;
    for (size_t n = 1; n <= 3 && i + n + 1 < end; n++) {
        if (sv_region_find(p, sp_text(j, end - n), sp_span(j, end - n, end))) return true;
    }
    return false;
}

static bool closes(const sp_job *j, size_t i, size_t bytes)
{
    uint32_t end = j->word[i].at + (uint32_t)bytes;
    for (size_t k = i; k < j->words && j->word[k].at < end; k++) {
        if (j->word[k].end == end) return true;
    }
    return false;
}

/* May a code stand at words i ..? Not among the words of a street. */
static bool plausible(const sp_job *j, size_t i, uint32_t end)
{
    size_t from = i, to = sp_piece_end(j, i);
    while (from > 0 && !sp_breaks(&j->word[from]))
        from--;
    bool opens = from == i, closes_piece = j->word[to - 1].end == end;
    if (!opens && !closes_piece) return false;
    for (size_t k = from; k < to; k++) {
        if (j->word[k].letters < 3) continue; /* "Aarhus C": no Calle */
        if (j->word[k].mask & (SP_STREETS | SP_BIT(SP_IS_BOX)) && !(j->word[k].mask & SP_BIT(SP_IS_TOWN)))
            return false;
    }
    return true;
}

typedef struct wanted {
    const sv_atlas_place *place;
    sv_post_fit worst;
    bool region; /* behind a region's name */
    bool apart;  /* not among the words of a street */
    unsigned opening;
} wanted;

/* A group of letters alone opens the mask: "AAA 9999", "FIQQ 1ZZ". */
static bool letters_open(const char *mask)
{
    size_t n = strcspn(mask, " -");
    for (size_t i = 0; i < n; i++) {
        if (mask[i] == '9' || mask[i] == '#' || (mask[i] >= '0' && mask[i] <= '9')) return false;
    }
    return mask[n] == ' ';
}

/* With what a place's codes begin: 1 a figure, 2 a letter, 16 a group of letters alone, 32 perhaps an old
 * sign; 4: their print has a hyphen, 8 a blank. */
unsigned sp_opening(const sv_atlas_place *p, bool printed)
{
    unsigned bits = printed ? 0 : 32;
    for (size_t i = 0; i < p->forms; i++) {
        const char *m = p->form[i].mask;
        char first = *m == '{' ? m[1] : *m;
        bool figure = first >= '0' && first <= '9', optional = first == '(';
        bits |= first == '#' ? 3u : figure ? 1u : optional && !printed ? 3u : 2u;
        if (letters_open(m) || optional) bits |= 16;
    }
    const char *mask = p->forms ? p->form[0].mask : "";
    if (printed && p->forms == 1 && *mask != '(')
        bits |= strchr(mask, '-') ? 4u : strchr(mask, ' ') ? 8u : 0u;
    return bits;
}

/* A look at the word that spares most of the reading. */
bool sp_may_open(const sp_job *j, size_t i, unsigned bits)
{
    const sp_word *w = &j->word[i];
    if (!w->digits && w->letters > 4) return false;
    unsigned char c = (unsigned char)*sp_text(j, i);
    bool letter = (c | 32) >= 'a' && (c | 32) <= 'z';
    bool more = i + 1 < j->words && !sp_breaks(&j->word[i + 1]);
    if (letter) {
        bool sign = bits & 32 && w->letters <= 3 && (w->digits || (more && j->word[i + 1].digits));
        if (!(bits & (w->digits ? 2u : 16u)) && !sign) return false;
    } else if (!(bits & 1)) {
        return false;
    }
    if (bits & 4 && !memchr(sp_text(j, i), '-', w->end - w->at)) return false;
    return !(bits & 8) || more;
}

/* Figures, or up to four letters that are no word of a street or box. */
void sp_find_candidates(sp_job *j)
{
    const uint64_t others = SP_BIT(SP_IS_BOX) | SP_BIT(SP_IS_UNIT) | SP_STREETS;
    j->candidates = 0;
    for (size_t i = 0; i < j->words && j->candidates < sizeof j->candidate / sizeof *j->candidate; i++) {
        const sp_word *w = &j->word[i];
        if (!sp_open(j, i) || (!w->digits && (w->letters > 4 || w->mask & others))) continue;
        j->candidate[j->candidates++] = (uint16_t)i;
    }
}

/* A code of the place among the open words, whole words only. */
static bool find_code(const sp_job *j, const wanted *want, sv_postcode *code)
{
    for (size_t c = 0; c < j->candidates; c++) {
        size_t i = j->candidate[c];
        const sp_word *w = &j->word[i];
        if (!sp_may_open(j, i, want->opening)) continue;
        size_t to = sp_piece_end(j, i);
        size_t n = sv_postcode_at(want->place, j->text + w->at, j->word[to - 1].end - w->at, true, code);
        if (!n || code->fit < want->worst || !closes(j, i, n)) continue;
        if (code->fit != SV_POST_NORMAL && !strpbrk(code->text, "0123456789")) continue; /* "Noel" */
        if (want->region && !region_before(j, want->place, i) && !region_behind(j, want->place, i)) continue;
        if (want->apart && !plausible(j, i, w->at + (uint32_t)n)) continue;
        return true;
    }
    return false;
}

/* A number that looks like a postcode stands in a piece of its own or opens a line before a name. */
static bool code_like(const sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        const sp_word *w = &j->word[i];
        if (sp_open(j, i) && w->digits >= 4 && w->digits <= 6 && !w->letters && plausible(j, i, w->end))
            return true;
    }
    return false;
}

bool sp_code_fits(sp_job *j, const sv_atlas_place *place)
{
    sp_find_candidates(j);
    sv_postcode code;
    wanted want = {place, SV_POST_OLD, false, true, sp_opening(place, false)};
    return (place->forms && find_code(j, &want, &code)) || !code_like(j);
}

void sp_vote_shapes(const sp_job *j, int16_t *score)
{
    if (strstr(j->text, "\xE3\x80\x92"))
        score[sp_number("JP")] = (int16_t)(score[sp_number("JP")] + 8); /* 〒 */
    bool short_forms = false;
    for (size_t i = 0; i < j->words && !short_forms; i++)
        short_forms = !j->word[i].digits && (j->word[i].letters == 2 || j->word[i].letters == 3);
    for (size_t k = 0; k < j->data->shapes; k++) {
        const sp_shape *s = &j->data->shape[k];
        sv_postcode code;
        wanted want = {s->place, s->loose ? SV_POST_LOOSE : SV_POST_NORMAL, s->region, false, s->opening};
        unsigned number = sp_number(s->place->place.code);
        /* Regions by their full names have voted: without one only a short form can stand there. */
        if (s->region && score[number] <= 0 && !(s->place->region_short && short_forms)) continue;
        if (find_code(j, &want, &code)) score[number] = (int16_t)(score[number] + s->weight);
    }
}

/* Who leads so far: is there a code of theirs? A code may also say that it is a territory's. */
void sp_vote_codes(const sp_job *j, int16_t *score)
{
    int lead = sp_leader(j, score, -1), most = lead < 0 ? 0 : score[lead];
    for (unsigned k = 0; k < SP_NUMBERS; k++) { /* who is far behind cannot win by a code */
        const sv_atlas_place *p = score[k] >= 2 && score[k] + 8 >= most ? j->data->place[k] : NULL;
        if (!p || !p->forms) continue;
        sv_postcode code;
        wanted want = {p, SV_POST_OLD, false, true, sp_opening(p, false)};
        if (!find_code(j, &want, &code)) {
            if (p->required & SV_PART_CODE) score[k] = (int16_t)(score[k] - 1);
            continue;
        }
        const sv_place *own = sp_own_code(j->world, &p->place, code.text, "", "");
        unsigned at = sp_number(own->code);
        score[k] = (int16_t)(score[k] + 3);
        if (at != k) score[at] = (int16_t)(score[k] + 4);
    }
}

/* "D-26133", "F-93300": the road sign of a country before a number. */
void sp_vote_signs(const sp_job *j, int16_t *score)
{
    for (size_t i = 0; i < j->words && i < 120; i++) {
        const char *p = sp_text(j, i);
        size_t n = 0, bytes = j->word[i].end - j->word[i].at;
        while (n < 3 && p[n] >= 'A' && p[n] <= 'Z')
            n++;
        if (!sp_open(j, i) || !n || p[n] != '-' || bytes < n + 4 || j->word[i].letters != n) continue;
        for (unsigned k = 0; k < SP_NUMBERS; k++) {
            const sv_atlas_place *place = j->data->place[k];
            sv_postcode code;
            if (!place || !place->forms || !sv_postcode_read(place, p, bytes, &code) ||
                code.fit != SV_POST_PREFIX)
                continue;
            score[k] = (int16_t)(score[k] + 6);
        }
    }
}
