/* split_words.c - words, their keys, the phrases of the tables in them. */
#include <string.h>
#include <unicode/uchar.h>
#include <unicode/uscript.h>

#include "address/split.h"
#include "text/text.h"

/* What a character does between words: 0 it is part of one, else the gap it makes. */
static int gap_of(uint32_t c)
{
    if (c == '\n') return SP_GAP_LINE;
    if (c == ' ') return SP_GAP_BLANK;
    if (c == ',' || c == ';' || c == 0x3001 || c == 0x3002 || c == 0x60C || c == 0x61B || c == 0x104A ||
        c == 0x1363 || c == 0x2022 || c == 0xFF64 || c == 0x6D4)
        return SP_GAP_COMMA;
    if (c == '(' || c == ')' || c == '[' || c == ']' || c == '{' || c == '}' ||
        (c >= 0x300C && c <= 0x300F) || c == 0x3010 || c == 0x3011)
        return SP_GAP_PAREN;
    if (c == ':' || c == '=') return SP_GAP_COLON;
    return 0;
}

static bool is_east(uint32_t c)
{
    return (c >= 0x3040 && c <= 0x30FF) || (c >= 0x3400 && c <= 0x9FFF) || (c >= 0xAC00 && c <= 0xD7A3) ||
           (c >= 0xF900 && c <= 0xFAFF) || c == 0x3005 || c == 0x3006 || c >= 0x20000;
}

static void count_letters(const sp_job *j, sp_word *w)
{
    const char *p = j->text + w->at, *end = j->text + w->end;
    w->digits = w->letters = 0;
    w->east = false;
    while (p < end) {
        uint32_t c = (unsigned char)*p < 0x80 ? (unsigned char)*p++ : sv_utf8_next(&p, end);
        bool digit = c < 0x80 ? c >= '0' && c <= '9' : u_charDigitValue((UChar32)c) >= 0 && !is_east(c);
        bool letter = c < 0x80 ? (c | 32) >= 'a' && (c | 32) <= 'z' : u_isalpha((UChar32)c);
        if (digit && w->digits < 255) w->digits++;
        if (letter && !digit && w->letters < 255) w->letters++;
        if (is_east(c)) w->east = true;
    }
}

void sp_make_key(sp_job *j, sp_word *w)
{
    if (j->keys_used && j->keys_used < j->keys_room)
        j->keys[j->keys_used++] = w->gap <= SP_GAP_BLANK ? ' ' : '\n';
    w->key = w->key_end = (uint32_t)j->keys_used;
    size_t n =
        sv_alias_key(j->keys + j->keys_used, j->keys_room - j->keys_used, j->text + w->at, w->end - w->at);
    if (n == SIZE_MAX) return;
    j->keys_used += n;
    w->key_end = (uint32_t)j->keys_used;
    count_letters(j, w);
}

static bool is_digit(uint32_t c)
{
    return u_charDigitValue((UChar32)c) >= 0;
}

/* A slash between two names ("Kadıköy/İstanbul"), not in an abbreviation or a number: then a gap. */
static bool slash_parts(const char *start, const char *slash, const char *end)
{
    size_t left = 0, right = 0;
    bool label = false;
    for (const char *p = start; p < slash;) {
        uint32_t c = sv_utf8_next(&p, slash);
        if (!u_isalpha((UChar32)c)) return false;
        left++;
    }
    for (const char *p = slash + 1; p < end;) {
        uint32_t c = sv_utf8_next(&p, end);
        if (gap_of(c) || c == '/') break;
        if (is_digit(c)) return false;
        right += u_isalpha((UChar32)c) != 0;
        label = p < end && (*p == ':' || *p == '='); /* "Apt/Suite:" */
    }
    return left >= 3 && right >= 2 && !label;
}

/* A postcode written on to the town: "18055Rostock", or behind a hyphen: "Karachi-75300". Gives where the
 * second begins. */
static const char *glued_code(const char *start, const char *end)
{
    const char *p = start;
    while (p < end && *p >= '0' && *p <= '9')
        p++;
    size_t figures = (size_t)(p - start);
    if (figures >= 5 && figures <= 7 && p < end) { /* "5300001大阪府" */
        const char *q = p;
        if (is_east(sv_utf8_next(&q, end))) return p;
    }
    if (figures >= 4 && figures <= 6) {
        size_t letters = 0;
        for (const char *q = p; q < end; letters++) {
            uint32_t c = sv_utf8_next(&q, end);
            if (is_digit(c) || is_east(c) || (letters == 0 && !u_isalpha((UChar32)c))) return NULL;
        }
        return letters >= 4 ? p : NULL;
    }
    const char *q = end;
    while (q > start && q[-1] >= '0' && q[-1] <= '9')
        q--;
    if (figures || end - q < 4 || end - q > 7 || q - start < 5 || q[-1] != '-') return NULL;
    for (p = start; p < q - 1;) {
        if (is_digit(sv_utf8_next(&p, end))) return NULL;
    }
    return q;
}

/* The end of the word that begins at `p`. */
static const char *word_end(const char *p, const char *end)
{
    const char *start = p;
    uint32_t before = 0;
    while (p < end) {
        const char *at = p;
        uint32_t c = (unsigned char)*p < 0x80 ? (unsigned char)*p++ : sv_utf8_next(&p, end);
        int gap = gap_of(c);
        if (gap == SP_GAP_COLON && c == ':' && is_digit(before) && p < end && *p >= '0' && *p <= '9') gap = 0;
        if (gap) return at;
        if (c == '/' && at > start && slash_parts(start, at, end)) return at;
        before = c;
    }
    return end;
}

static bool has_alnum(const char *p, const char *end)
{
    while (p < end) {
        if (u_isalnum((UChar32)sv_utf8_next(&p, end))) return true;
    }
    return false;
}

/* Signs alone between words: dashes, strokes and bullets part them, others ("&", "#") do not. */
static int gap_of_signs(const char *p, const char *end)
{
    while (p < end) {
        uint32_t c = sv_utf8_next(&p, end);
        if (c == '/' || c == 0x2022 || c == 0xB7) return SP_GAP_SLASH;
        if (c == '-' || c == '_' || c == '~' || c == '*' || c == 0x2192) return SP_GAP_DASH;
    }
    return SP_GAP_BLANK;
}

static void widen(int *gap, int by)
{
    if (by > *gap) *gap = by;
}

static void add_word(sp_job *j, const char *start, const char *end, int gap, size_t line)
{
    sp_word *w = &j->word[j->words];
    *w = (sp_word){.at = (uint32_t)(start - j->text), .end = (uint32_t)(end - j->text)};
    w->gap = (uint8_t)(j->words ? gap : SP_GAP_LINE);
    w->line = (uint16_t)(line > UINT16_MAX ? UINT16_MAX : line);
    sp_make_key(j, w);
    j->words++;
}

void sp_cut(sp_job *j)
{
    const char *p = j->text, *end = j->text + j->bytes;
    size_t line = 0;
    int gap = SP_GAP_LINE;
    while (p < end) {
        const char *at = p;
        uint32_t c = (unsigned char)*p < 0x80 ? (unsigned char)*p++ : sv_utf8_next(&p, end);
        int here = gap_of(c);
        if (here == SP_GAP_LINE) line++;
        if (here == SP_GAP_COLON && j->words) j->word[j->words - 1].colon |= gap <= SP_GAP_BLANK;
        if (here || (c == '/' && p < end)) {
            widen(&gap, here ? here : SP_GAP_SLASH);
            if (here) continue;
        }
        const char *stop = word_end(at, end);
        if (stop == at) stop = p;
        if (!has_alnum(at, stop)) {
            widen(&gap, gap_of_signs(at, stop));
            p = stop;
            continue;
        }
        if (j->words == j->most) {
            j->rest = at;
            break;
        }
        const char *from = c == '/' && stop > at + 1 ? at + 1 : at;
        const char *code = glued_code(from, stop);
        if (code && j->words + 1 < j->most) {
            add_word(j, from, code[-1] == '-' ? code - 1 : code, gap, line);
            add_word(j, code, stop, code[-1] == '-' ? SP_GAP_DASH : SP_GAP_BLANK, line);
        } else {
            add_word(j, from, stop, gap, line);
        }
        gap = SP_GAP_BLANK;
        if (stop < end && *stop == '/') gap = SP_GAP_SLASH;
        p = stop;
    }
    j->lines = line + 1;
}

size_t sp_split_at(sp_job *j, uint32_t at)
{
    size_t i = 0;
    while (i < j->words && j->word[i].end <= at)
        i++;
    if (i == j->words || j->word[i].at >= at || j->words == j->room) return i;
    j->split = true;
    memmove(&j->word[i + 1], &j->word[i], (j->words - i) * sizeof *j->word);
    j->words++;
    sp_word *left = &j->word[i], *right = left + 1;
    left->end = right->at = at;
    left->colon = false;
    right->gap = SP_GAP_GLUED;
    left->length[0] = right->length[0] = 0;
    left->mask = left->first = right->mask = right->first = 0;
    /* The keys of neighbours stand side by side, so that a phrase is one key. */
    j->keys_used = left->key ? left->key - 1 : 0;
    for (size_t k = i; k < j->words; k++)
        sp_make_key(j, &j->word[k]);
    if (j->code_from > (int)i) j->code_from++, j->code_to++;
    if (j->town_from > (int)i) j->town_from++, j->town_to++;
    return i + 1;
}

/* Words a phrase that opens so may have. */
static size_t most_of(const sp_job *j, const sp_word *w)
{
    const char *key = sp_key(j, w);
    size_t n = sp_key_length(w);
    const char *blank = memchr(key, ' ', n);
    if (blank) n = (size_t)(blank - key);
    uint32_t most;
    return sv_name_find(&j->data->first, 0, key, n, &most) ? most : 0;
}

static void look_up_word(sp_job *j, size_t i)
{
    sp_word *w = &j->word[i];
    size_t most = most_of(j, w), kept = 0;
    size_t last = i;
    while (last + 1 < j->words && last + 1 - i < most && j->word[last + 1].gap <= SP_GAP_BLANK)
        last++;
    for (size_t to = most ? last + 1 : i; to > i && kept < 3; to--) {
        const char *key;
        size_t n = sp_span_key(j, i, to, &key);
        const sp_sense *s = n < 256 ? sp_senses(j->data, 0, key, n) : NULL;
        if (!s) continue;
        w->length[kept] = (uint8_t)(to - i);
        w->sense[kept++] = s;
    }
    if (kept < 3) w->length[kept] = 0;
}

void sp_look_up(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++)
        look_up_word(j, i);
}

/* Does a word of these places count in this one? What counts in the mother country counts in its territories.
 */
static bool counts_in(const sp_job *j, const sp_places *in, int number)
{
    if (!in || number < 0 || sp_has(in, (unsigned)number)) return true;
    const char *mother = j->place->place.sovereign;
    return *mother && sp_has(in, sp_number(mother));
}

static uint64_t counts(const sp_job *j, const sp_sense *s, int number)
{
    uint64_t classes = 0;
    for (; s; s = s->next) {
        if (s->class == SP_IS_REGION) continue;
        bool town = s->class == SP_IS_TOWN || s->class == SP_IS_AREA;
        if (town ? number < 0 || sp_has(s->in, (unsigned)number) : counts_in(j, s->in, number))
            classes |= SP_BIT(s->class);
    }
    return classes;
}

/* A word whose end says street: "Hauptstraße", "Storgatan". */
static bool street_end(const sp_job *j, const sp_word *w, int number)
{
    size_t n = sp_key_length(w);
    if (w->digits || n < 5) return false;
    const unsigned char *last = (const unsigned char *)sp_key(j, w) + n - 2;
    unsigned pair = last[0] * 256u + last[1];
    if (!(j->data->ends[pair / 8] >> pair % 8 & 1)) return false;
    for (size_t k = n > 13 ? 12 : n - 2; k >= 2; k--) {
        const sp_sense *s = sp_senses(j->data, 1, sp_key(j, w) + n - k, k);
        if (s && counts(j, s, number)) return true;
    }
    return false;
}

void sp_mask(sp_job *j)
{
    int number = j->place ? (int)sp_number(j->place->place.code) : -1;
    for (size_t i = 0; i < j->words; i++)
        j->word[i].mask = j->word[i].first = 0;
    for (size_t i = 0; i < j->words; i++) {
        sp_word *w = &j->word[i];
        for (size_t k = 0; k < 3 && w->length[k]; k++) {
            uint64_t c = w->classes[k] = counts(j, w->sense[k], number);
            w->first |= c;
            for (size_t m = i; m < i + w->length[k] && m < j->words; m++)
                j->word[m].mask |= c;
        }
        if (street_end(j, w, number)) w->mask |= SP_BIT(SP_IS_END);
    }
}

void sp_refresh(sp_job *j)
{
    if (!j->split) return;
    j->split = false;
    sp_look_up(j);
    sp_mask(j);
}

size_t sp_phrase(const sp_job *j, size_t i, uint64_t classes)
{
    const sp_word *w = &j->word[i];
    for (size_t k = 0; k < 3 && w->length[k]; k++) {
        if (w->classes[k] & classes) return w->length[k];
    }
    return 0;
}

void sp_give(sp_job *j, size_t from, size_t to, sp_column column)
{
    for (size_t i = from; i < to && i < j->words; i++) {
        if (sp_open(j, i)) j->word[i].column = (uint8_t)column;
    }
}

bool sp_given(const sp_job *j, sp_column column)
{
    for (size_t i = 0; i < j->words; i++) {
        if (j->word[i].column == (uint8_t)column) return true;
    }
    return false;
}

bool sp_street_before(const sp_job *j, size_t from)
{
    if (sp_whole_line(j, from)) return false;
    for (size_t i = from; i-- > 0 && j->word[i].line == j->word[from].line;) {
        const sp_word *w = &j->word[i];
        if (w->column == SP_STREET || (sp_open(j, i) && (w->digits || w->mask & SP_STREETS))) return true;
    }
    return false;
}

size_t sp_run_end(const sp_job *j, size_t i)
{
    size_t to = i + 1;
    while (to < j->words && sp_open(j, to) && !sp_breaks(&j->word[to]))
        to++;
    return to;
}

size_t sp_piece_end(const sp_job *j, size_t i)
{
    size_t to = i + 1;
    while (to < j->words && !sp_breaks(&j->word[to]))
        to++;
    return to;
}

/* Does the line of word i hold a whole address: is it the only one, or does the postcode or the town stand on
 * it? */
bool sp_whole_line(const sp_job *j, size_t i)
{
    if (sp_line_end(j, 0) == j->words) return true;
    uint16_t line = j->word[i].line;
    bool code = j->code_from >= 0 && j->word[j->code_from].line == line;
    return code || (j->town_from >= 0 && j->word[j->town_from].line == line);
}

size_t sp_line_end(const sp_job *j, size_t i)
{
    size_t to = i + 1;
    while (to < j->words && j->word[to].gap != SP_GAP_LINE)
        to++;
    return to;
}
