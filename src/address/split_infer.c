/* split_infer.c - the country of a block that does not name it: votes of scripts, letters, words, towns,
 * regions, dialling codes and the shape of the postcode. Only a clear lead counts. */
#include <string.h>
#include <unicode/uchar.h>
#include <unicode/uscript.h>

#include "address/split_infer.h"
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
    if (to + 1 == end && j->word[to].digits >= 4 && !j->word[to].letters)
        return by + 2; /* "... Singapore 560123" */
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
            const sp_sense *s = sp_senses(j->data, 1, sp_key(j, w) + n - k, k);
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
    int32_t script[64], present[8] = {0};
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
            const sp_sense *s = (size_t)(end - p) > n ? sp_senses(j->data, 0, p, n) : NULL;
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

/* Who has most votes, but one. */
int sp_leader(const sp_job *j, const int16_t *score, int but)
{
    int best = -1;
    for (size_t i = 0; i < j->data->places; i++) {
        int k = j->data->number[i];
        if (k != but && (best < 0 || score[k] > score[best])) best = k;
    }
    return best;
}

/* The kinds of evidence, in the order they are counted. */
static const struct {
    void (*count)(const sp_job *, int16_t *);
    const char *word;
} kinds[] = {{vote_words, "words and names"},  {vote_ends, "street names"},
             {vote_letters, "letters"},        {vote_east, "words and names"},
             {vote_phone, "telephone number"}, {vote_mail, "mail address"},
             {sp_vote_shapes, "postcode"},     {sp_vote_signs, "postcode"},
             {vote_military, "military post"}, {sp_vote_codes, "postcode"}};
#define KINDS (sizeof kinds / sizeof *kinds)

const sv_atlas_place *sp_infer(sp_job *j, const int16_t named[SP_NUMBERS], bool *sure)
{
    votes score, before[KINDS];
    sp_find_candidates(j);
    for (size_t k = 0; k < SP_NUMBERS; k++)
        score[k] = (int16_t)(named[k] > 20 ? 20 : named[k]);
    for (size_t k = 0; k < KINDS; k++) {
        memcpy(before[k], score, sizeof score);
        kinds[k].count(j, score);
    }
    int best = sp_leader(j, score, -1), second = best < 0 ? -1 : sp_leader(j, score, best);
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
