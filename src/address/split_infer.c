/* split_infer.c - the country of a block that does not name it: votes of scripts, letters, words, towns,
 * regions, dialling codes and the shape of the postcode. Only a clear lead counts. */
#include <stdio.h>
#include <string.h>
#include <unicode/uchar.h>
#include <unicode/uscript.h>

#include "address/split.h"
#include "base/utf8.h"

#define LEAST 6 /* votes that are strong evidence */
#define LEAD  2

typedef int16_t votes[SP_NUMBERS];

static void vote(int16_t *score, const sp_places *set, int weight)
{
    if (!set || !set->n) return;
    for (size_t i = 0; i < set->n; i++)
        score[set->number[i]] = (int16_t)(score[set->number[i]] + weight);
}

/* Many places share a word: it says less. */
static int shared(const sp_places *set, int weight)
{
    if (set->n == 1) return weight;
    if (set->n <= 3) return weight - 1;
    return set->n <= 6 && weight >= 3 ? 2 : 1;
}

static int weight_of(const sp_sense *s, const sp_word *w)
{
    switch (s->class) {
    case SP_IS_TOWN: return shared(s->hints, w->gap >= SP_GAP_DASH || w->length[0] > 1 ? 5 : 4);
    case SP_IS_REGION:
    case SP_IS_AREA: return 3;
    case SP_IS_END: return 3;
    case SP_IS_TITLE:
    case SP_IS_TITLE_AFTER: return sp_key_length(w) > 3 ? 3 : 1;
    default: return s->class >= SP_IS_LABEL_ADDRESS && s->class <= SP_IS_LABEL_TOWN ? 2 : 3;
    }
}

/* Figures alone, or a mark of one or two letters. */
static bool beside_town(const sp_word *w)
{
    return (w->digits && w->letters <= 2) || (!w->digits && w->letters <= 2);
}

/* A town that is a whole piece, but for a postcode, says most; one that a street is called after next to
 * nothing. */
static int town_weight(const sp_job *j, size_t i, int by)
{
    size_t from = i, to = i + j->word[i].length[0], end = sp_piece_end(j, i), last = to;
    while (from > 0 && !sp_breaks(&j->word[from]) && beside_town(&j->word[from - 1]))
        from--;
    while (last < end && beside_town(&j->word[last]))
        last++;
    bool code_below = last == end && end < j->words && j->word[end].digits > 3 && !j->word[end].letters &&
                      sp_piece_end(j, end) == end + 1;
    if (code_below && sp_breaks(&j->word[from])) return by + 3;
    if (sp_breaks(&j->word[from]) && last == end)
        return by + (from < i || last > to ? 3 : 1) + (to == j->words);
    for (size_t k = to; k < end && k < to + 2; k++) {
        if (j->word[k].mask & SP_BIT(SP_IS_BACK)) return 1;
    }
    return i > 0 && !sp_breaks(&j->word[i]) && j->word[i - 1].mask & SP_BIT(SP_IS_FRONT) ? 1 : by;
}

static void vote_words(const sp_job *j, int16_t *score)
{
    int budget = 160; /* a long text says no more than a short one */
    for (size_t i = 0; i < j->words && budget > 0; i++) {
        const sp_word *w = &j->word[i];
        if (!w->length[0]) continue;
        bool town = false;
        for (const sp_sense *s = w->sense[0]; s; s = s->next) {
            if (!s->hints || (s->class == SP_IS_REGION && town)) continue;
            int by = weight_of(s, w);
            if (s->class != SP_IS_TOWN) by = shared(s->hints, by);
            bool dotted = w->end > w->at && j->text[w->end - 1] == '.';
            if (sp_key_length(w) <= 2 && w->length[0] == 1 && !(dotted && by > 2)) by = 1;
            if (s->class == SP_IS_TOWN) by = town_weight(j, i, by);
            vote(score, s->hints, by);
            budget--;
        }
    }
}

static void vote_ends(const sp_job *j, int16_t *score)
{
    for (size_t i = 0; i < j->words && i < 80; i++) {
        const sp_word *w = &j->word[i];
        size_t n = sp_key_length(w);
        if (w->digits || n < 6 || w->column == SP_COUNTRY) continue;
        for (size_t k = n > 13 ? 12 : n - 2; k >= 3; k--) {
            const sp_sense *s = sv_names_get(&j->data->words, 1, sp_key(j, w) + n - k, k);
            if (!s || !s->hints) continue;
            vote(score, s->hints, shared(s->hints, 3));
            break;
        }
    }
}

/* Letters outside ASCII: each script once, each row of telling letters once. */
static void vote_letters(const sp_job *j, int16_t *score)
{
    uint32_t seen[64];
    size_t n = 0;
    const char *p = j->text, *end = j->text + (j->bytes < 2000 ? j->bytes : 2000);
    while (p < end && n < 64) {
        if ((unsigned char)*p < 0x80) {
            p++;
            continue;
        }
        uint32_t c = (uint32_t)u_tolower((UChar32)sv_utf8_next(&p, end));
        bool known = false;
        for (size_t i = 0; i < n && !known; i++)
            known = seen[i] == c;
        if (!known) seen[n++] = c;
    }
    if (!n) return;
    int32_t script[64], present[8];
    size_t scripts = 0;
    for (size_t i = 0; i < n; i++) {
        UErrorCode e = U_ZERO_ERROR;
        script[i] = uscript_getScript((UChar32)seen[i], &e);
        if (script[i] == USCRIPT_HIRAGANA) script[i] = USCRIPT_KATAKANA;
        size_t k = 0;
        while (k < scripts && present[k] != script[i])
            k++;
        if (k == scripts && scripts < 8) present[scripts++] = script[i];
    }
    for (size_t r = 0; r < j->data->letter_rows; r++) {
        const sp_letters *row = &j->data->letters[r];
        size_t k = 0;
        while (k < scripts && present[k] != row->script)
            k++;
        bool hit = k < scripts && !*row->letters;
        for (size_t i = 0; k < scripts && i < n && !hit; i++) {
            char bytes[5];
            bytes[sv_utf8_put(bytes, seen[i])] = 0;
            hit = script[i] == row->script && strstr(row->letters, bytes);
        }
        if (hit) score[row->country] = (int16_t)(score[row->country] + row->weight);
    }
}

/* Han, kana and Hangul are written on: regions and towns are looked for at the head of each word. */
static void vote_east(const sp_job *j, int16_t *score)
{
    static const char *const codes[] = {"JP", "CN", "TW", "HK", "KR"};
    for (size_t i = 0; i < j->words && i < 40; i++) {
        const sp_word *w = &j->word[i];
        if (!w->east) continue;
        const char *p = sp_text(j, i), *end = j->text + w->end;
        while (p < end && (unsigned char)*p < 0xE0)
            p++;
        for (size_t n = 15; n >= 6; n -= 3) { /* the tables' own towns */
            const sp_sense *s = (size_t)(end - p) > n ? sv_names_get(&j->data->words, 0, p, n) : NULL;
            while (s && s->class != SP_IS_TOWN)
                s = s->next;
            if (s) vote(score, s->hints, 4);
            if (s) break;
        }
        for (size_t k = 0; k < sizeof codes / sizeof *codes; k++) {
            const sv_atlas_place *place = j->data->place[sp_number(codes[k])];
            for (size_t n = 9; place && n >= 6; n -= 3) {
                if ((size_t)(end - p) < n + 3 || !sv_region_find(place, p, n)) continue;
                score[sp_number(codes[k])] = (int16_t)(score[sp_number(codes[k])] + 4);
                break;
            }
        }
    }
}

/* "+49 ..." or "0049 ...": the longest prefix in the table. */
static void vote_phone(const sp_job *j, int16_t *score)
{
    for (size_t i = 0; i < j->words; i++) {
        if (j->word[i].column != SP_PHONE || (i && j->word[i - 1].column == SP_PHONE)) continue;
        char digits[8] = {0};
        size_t n = 0;
        const char *p = sp_text(j, i), *end = j->text + j->bytes;
        if (*p == '+')
            p++;
        else if (p[0] == '0' && p[1] == '0')
            p += 2;
        else
            continue;
        for (; p < end && n < 7 && *p != '\n'; p++) {
            if (*p >= '0' && *p <= '9') digits[n++] = *p;
        }
        const sp_dial *best = NULL;
        for (size_t d = 0; d < j->data->dials; d++) {
            size_t length = strlen(j->data->dial[d].prefix);
            if (length > n || memcmp(j->data->dial[d].prefix, digits, length) != 0) continue;
            if (!best || length > strlen(best->prefix)) best = &j->data->dial[d];
        }
        if (best) vote(score, best->places, best->places->n == 1 ? 6 : 3);
    }
}

static void vote_mail(const sp_job *j, int16_t *score)
{
    for (size_t i = 0; i < j->words; i++) {
        const sp_word *w = &j->word[i];
        if (w->column != SP_EMAIL || w->end - w->at < 5) continue;
        const char *p = j->text + w->end - 3;
        if (p[0] != '.' || p[1] < 'a' || p[1] > 'z' || p[2] < 'a' || p[2] > 'z') continue;
        char code[3] = {(char)(p[1] - 32), (char)(p[2] - 32), 0};
        if (strcmp(code, "UK") == 0) memcpy(code, "GB", 2);
        score[sp_number(code)] = (int16_t)(score[sp_number(code)] + 3);
    }
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
        if (apart && sv_region_find(p, j->text + w->at, last->end - w->at)) return true;
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
    const char *mask = p->form[0].mask;
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
static void find_candidates(sp_job *j)
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
    find_candidates(j);
    sv_postcode code;
    wanted want = {place, SV_POST_OLD, false, true, sp_opening(place, false)};
    return (place->forms && find_code(j, &want, &code)) || !code_like(j);
}

static void vote_shapes(const sp_job *j, int16_t *score)
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

/* Who has most votes, but one. */
static int leader(const sp_job *j, const int16_t *score, int but)
{
    int best = -1;
    for (size_t i = 0; i < j->data->places; i++) {
        int k = j->data->number[i];
        if (k != but && (best < 0 || score[k] > score[best])) best = k;
    }
    return best;
}

/* Who leads so far: is there a code of theirs? A code may also say that it is a territory's. */
static void vote_codes(const sp_job *j, int16_t *score)
{
    int lead = leader(j, score, -1), most = lead < 0 ? 0 : score[lead];
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
static void vote_signs(const sp_job *j, int16_t *score)
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

/* Words that no other place has beside an address: APO, BFPO. */
static void vote_military(const sp_job *j, int16_t *score)
{
    for (size_t i = 0; i < j->words; i++) {
        const char *key = sp_key(j, &j->word[i]);
        size_t n = sp_key_length(&j->word[i]);
        if (n == 3 &&
            (memcmp(key, "apo", 3) == 0 || memcmp(key, "fpo", 3) == 0 || memcmp(key, "dpo", 3) == 0))
            score[sp_number("US")] += 8;
        if (n >= 4 && memcmp(key, "bfpo", 4) == 0) score[sp_number("GB")] += 12;
    }
}

/* The kinds of evidence, in the order they are counted. */
static const struct {
    void (*count)(const sp_job *, int16_t *);
    const char *word;
} kinds[] = {{vote_words, "words and names"},  {vote_ends, "street names"},
             {vote_letters, "letters"},        {vote_east, "words and names"},
             {vote_phone, "telephone number"}, {vote_mail, "mail address"},
             {vote_shapes, "postcode"},        {vote_signs, "postcode"},
             {vote_military, "military post"}, {vote_codes, "postcode"}};
#define KINDS (sizeof kinds / sizeof *kinds)

const sv_atlas_place *sp_infer(sp_job *j, const int16_t named[SP_NUMBERS], bool *sure)
{
    votes score, before[KINDS];
    find_candidates(j);
    for (size_t k = 0; k < SP_NUMBERS; k++)
        score[k] = (int16_t)(named[k] > 20 ? 20 : named[k]);
    for (size_t k = 0; k < KINDS; k++) {
        memcpy(before[k], score, sizeof score);
        kinds[k].count(j, score);
    }
#ifdef SP_DEBUG
    for (int n = 0, but = -1; n < 6; n++) {
        int k = -1;
        for (int m = 0; m < SP_NUMBERS; m++)
            if (j->data->place[m] && (k < 0 || score[m] > score[k]) &&
                (but < 0 || score[m] < score[but] || (m > but && score[m] == score[but])))
                k = m;
        if (k < 0) break;
        fprintf(stderr, "%s %d:", j->data->place[k]->place.code, score[k]);
        for (size_t q = 0; q < KINDS; q++)
            fprintf(stderr, " %d", (q + 1 < KINDS ? before[q + 1][k] : score[k]) - before[q][k]);
        fprintf(stderr, "\n");
        but = k;
    }
#endif
    int best = leader(j, score, -1), second = best < 0 ? -1 : leader(j, score, best);
    *sure = false;
    if (best < 0 || score[best] <= 0) return NULL;
    *sure = score[best] >= LEAST && score[best] - (second < 0 ? 0 : score[second]) >= LEAD;
    const char *why = "";
    for (size_t k = 0; k < KINDS; k++) {
        int16_t after = k + 1 < KINDS ? before[k + 1][best] : score[best];
        if (after <= before[k][best] || strstr(why, kinds[k].word)) continue;
        why = *why ? sv_format(j->arena, "%s, %s", why, kinds[k].word) : kinds[k].word;
    }
    j->why = why;
    return j->data->place[best];
}
