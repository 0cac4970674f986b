/* split_infer.c - the country of a block that does not name it: votes of scripts, letters, words, towns,
 * regions, dialling codes and the shape of the postcode. Only a clear lead counts. */
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
    return set->n == 1 ? weight : set->n <= 3 ? weight - 1 : weight > 2 ? weight / 2 : 1;
}

static int weight_of(const sp_sense *s, const sp_word *w)
{
    switch (s->class) {
    case SP_IS_TOWN: return shared(s->hints, w->gap >= SP_GAP_DASH || w->length[0] > 1 ? 5 : 4);
    case SP_IS_REGION:
    case SP_IS_AREA: return 3;
    case SP_IS_END: return 3;
    default: return s->class >= SP_IS_LABEL_ADDRESS && s->class <= SP_IS_LABEL_TOWN ? 2 : 3;
    }
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
            if (sp_key_length(w) <= 2 && w->length[0] == 1) by = 1;
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
    const char *names[64];
    for (size_t i = 0; i < n; i++) {
        UErrorCode e = U_ZERO_ERROR;
        UScriptCode code = uscript_getScript((UChar32)seen[i], &e);
        names[i] = code == USCRIPT_HIRAGANA ? "Kana" : uscript_getShortName(code);
    }
    for (size_t r = 0; r < j->data->letter_rows; r++) {
        const sp_letters *row = &j->data->letters[r];
        size_t hits = 0;
        for (size_t i = 0; i < n && hits < 2; i++) {
            if (strcmp(names[i], row->script) != 0) continue;
            if (*row->letters) {
                char bytes[5];
                bytes[sv_utf8_put(bytes, seen[i])] = 0;
                if (!strstr(row->letters, bytes)) continue;
            }
            hits++;
        }
        if (hits) score[row->country] = (int16_t)(score[row->country] + row->weight);
    }
}

/* "+49 ..." or "0049 ...": the longest prefix in the table. */
static void vote_phone(const sp_job *j, int16_t *score)
{
    for (size_t i = 0; i < j->words; i++) {
        if (j->word[i].column != SP_PHONE || (i && j->word[i - 1].column == SP_PHONE)) continue;
        char digits[8];
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

/* Shapes of postcodes that few places use. */
typedef struct shape {
    const char *code;
    int weight;
    bool with_region; /* a region's short form or name must stand before it */
} shape;

static bool region_before(const sp_job *j, const sv_atlas_place *p, size_t i)
{
    if (i == 0 || j->word[i].gap == SP_GAP_LINE) return false;
    for (size_t n = 1; n <= 3 && n <= i; n++) {
        const sp_word *w = &j->word[i - n];
        if (w->column != SP_OPEN && w->column != SP_COUNTRY) return false;
        const sp_word *last = &j->word[i - 1];
        if (sv_region_find(p, j->text + w->at, last->end - w->at)) return true;
        if (sp_breaks(w)) return false;
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

/* A code of the place among the open words, whole words only; the word it begins with, else -1. */
static int find_code(const sp_job *j, const sv_atlas_place *p, sv_post_fit worst, bool with_region)
{
    for (size_t i = 0; i < j->words; i++) {
        const sp_word *w = &j->word[i];
        if (!sp_open(j, i) || !(w->digits || w->letters <= 4)) continue;
        sv_postcode code;
        size_t to = sp_piece_end(j, i);
        size_t n = sv_postcode_at(p, j->text + w->at, j->word[to - 1].end - w->at, false, &code);
        if (!n || code.fit < worst || !closes(j, i, n)) continue;
        if (with_region && !region_before(j, p, i)) continue;
        return (int)i;
    }
    return -1;
}

static void vote_shapes(const sp_job *j, int16_t *score)
{
    static const shape shapes[] = {
        {"GB", 8, false}, {"JE", 9, false}, {"GG", 9, false}, {"IM", 9, false}, {"CA", 8, false},
        {"NL", 7, false}, {"IE", 8, false}, {"MT", 7, false}, {"BR", 6, false}, {"JP", 6, false},
        {"PT", 7, false}, {"PL", 6, false}, {"AR", 7, false}, {"LV", 8, false}, {"LT", 3, false},
        {"US", 8, true},  {"AU", 7, true},  {"GI", 9, false}, {"AD", 8, false}, {"AZ", 7, false},
        {"BM", 3, false}, {"KY", 8, false}, {"BN", 5, false}, {"MD", 6, false}, {"BB", 6, false},
        {"SZ", 2, false}, {"IT", 3, true},  {"IN", 5, true},  {"MX", 4, true},  {"ES", 3, true},
        {"BR", 5, true},  {"CN", 3, true},  {"KR", 3, true},  {"ID", 3, true},  {"GH", 7, false}};
    for (size_t k = 0; k < sizeof shapes / sizeof *shapes; k++) {
        unsigned number = sp_number(shapes[k].code);
        const sv_atlas_place *p = j->data->place[number];
        sv_post_fit worst = shapes[k].with_region ? SV_POST_LOOSE
                            : strcmp(shapes[k].code, "GB") == 0 || strcmp(shapes[k].code, "CA") == 0 ||
                                    strcmp(shapes[k].code, "NL") == 0 || strcmp(shapes[k].code, "IE") == 0
                                ? SV_POST_LOOSE
                                : SV_POST_NORMAL;
        if (!p || find_code(j, p, worst, shapes[k].with_region) < 0) continue;
        score[number] = (int16_t)(score[number] + shapes[k].weight);
    }
}

/* Who leads so far: is there a code of theirs? */
static void vote_codes(const sp_job *j, int16_t *score)
{
    for (unsigned k = 0; k < SP_NUMBERS; k++) {
        const sv_atlas_place *p = score[k] >= 3 ? j->data->place[k] : NULL;
        if (!p) continue;
        if (p->forms && find_code(j, p, SV_POST_OLD, false) >= 0)
            score[k] = (int16_t)(score[k] + 3);
        else if (p->forms && (p->required & SV_PART_CODE))
            score[k] = (int16_t)(score[k] - 2);
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
} kinds[] = {{vote_words, "words and names"},  {vote_ends, "street names"}, {vote_letters, "letters"},
             {vote_phone, "telephone number"}, {vote_mail, "mail address"}, {vote_shapes, "postcode"},
             {vote_military, "military post"}, {vote_codes, "postcode"}};
#define KINDS (sizeof kinds / sizeof *kinds)

/* The two leaders. */
static int leader(const sp_job *j, const int16_t *score, int but)
{
    int best = -1;
    for (int k = 0; k < SP_NUMBERS; k++) {
        if (k != but && j->data->place[k] && (best < 0 || score[k] > score[best])) best = k;
    }
    return best;
}

const sv_atlas_place *sp_infer(sp_job *j, const int16_t named[SP_NUMBERS], bool *sure)
{
    votes score, before[KINDS];
    for (size_t k = 0; k < SP_NUMBERS; k++)
        score[k] = (int16_t)(named[k] > 20 ? 20 : named[k]);
    for (size_t k = 0; k < KINDS; k++) {
        memcpy(before[k], score, sizeof score);
        kinds[k].count(j, score);
    }
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
