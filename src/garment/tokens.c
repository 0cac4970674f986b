/* tokens.c - folding and cutting in one pass, so that each word keeps its place in the text as given. */
#include "garment/tokens.h"

#include <string.h>

#include "text/text.h"

/* ---- folding ---- */

/* Letters that the general folding keeps apart and that writers mix: Arabic final forms of ya and ta, Urdu
 * kaf. */
static uint32_t same_letter(uint32_t c)
{
    switch (c) {
    case 0x0649:
    case 0x06CC: return 0x064A;
    case 0x0629: return 0x0647;
    case 0x06A9: return 0x0643;
    case 0x0640: return 0; /* tatweel */
    default: return c;
    }
}

static void fold_one(char out[4], uint32_t c)
{
    char bytes[4], folded[64];
    uint32_t letter = same_letter(c);
    memset(out, 0, 4);
    if (!letter) return;
    size_t n = sv_fold_into(folded, sizeof folded, bytes, sv_utf8_put(bytes, letter));
    if (n != SIZE_MAX && n <= 4) memcpy(out, folded, n);
}

void sv_folds_make(sv_folds *folds)
{
    size_t i = 0;
    for (uint32_t c = SV_FOLD_FROM; c < SV_FOLD_TO; c++)
        fold_one(folds->out[i++], c);
    for (uint32_t c = SV_FOLD_LATIN_FROM; c < SV_FOLD_LATIN_TO; c++)
        fold_one(folds->out[i++], c);
}

static const char *folded_form(const sv_folds *folds, uint32_t c)
{
    if (c >= SV_FOLD_FROM && c < SV_FOLD_TO) return folds->out[c - SV_FOLD_FROM];
    if (c >= SV_FOLD_LATIN_FROM && c < SV_FOLD_LATIN_TO)
        return folds->out[SV_FOLD_TO - SV_FOLD_FROM + c - SV_FOLD_LATIN_FROM];
    return NULL;
}

/* ---- kinds of characters ---- */

typedef enum kind { LETTER, RUN_LETTER, DIGIT, PERCENT, GAP, NOTHING } kind;

/* Half-width katakana, U+FF66 to U+FF9D, as their full-width letters. */
static const uint16_t wide_kana[] = {
    0x30F2, 0x30A1, 0x30A3, 0x30A5, 0x30A7, 0x30A9, 0x30E3, 0x30E5, 0x30E7, 0x30C3, 0x30FC, 0x30A2,
    0x30A4, 0x30A6, 0x30A8, 0x30AA, 0x30AB, 0x30AD, 0x30AF, 0x30B1, 0x30B3, 0x30B5, 0x30B7, 0x30B9,
    0x30BB, 0x30BD, 0x30BF, 0x30C1, 0x30C4, 0x30C6, 0x30C8, 0x30CA, 0x30CB, 0x30CC, 0x30CD, 0x30CE,
    0x30CF, 0x30D2, 0x30D5, 0x30D8, 0x30DB, 0x30DE, 0x30DF, 0x30E0, 0x30E1, 0x30E2, 0x30E4, 0x30E6,
    0x30E8, 0x30E9, 0x30EA, 0x30EB, 0x30EC, 0x30ED, 0x30EF, 0x30F3};

/* Full-width forms to plain ones; the rest unchanged. */
static uint32_t plain_width(uint32_t c)
{
    if (c >= 0xFF01 && c <= 0xFF5E) return c - 0xFEE0;
    if (c >= 0xFF66 && c <= 0xFF9D) return wide_kana[c - 0xFF66];
    if (c == 0x3000) return ' ';
    return c;
}

static uint16_t ascii_gap(uint32_t c)
{
    switch (c) {
    case '\n':
    case ';':
    case '*': return SV_GAP_BREAK;
    case '-':
    case '\'':
    case '_':
    case '`': return SV_GAP_HYPHEN;
    case '/':
    case '\\': return SV_GAP_SLASH;
    case ',': return SV_GAP_COMMA;
    case '+':
    case '&':
    case '|': return SV_GAP_PLUS;
    case '(':
    case '[':
    case '{': return SV_GAP_OPEN;
    case ')':
    case ']':
    case '}': return SV_GAP_CLOSE;
    case ':':
    case '=': return SV_GAP_COLON;
    case '.':
    case '!':
    case '?': return SV_GAP_STOP;
    case ' ':
    case '\t':
    case '\r':
    case '\f':
    case '\v': return SV_GAP_BLANK;
    default: return SV_GAP_OTHER;
    }
}

static uint16_t wide_gap(uint32_t c)
{
    switch (c) {
    case 0x00A0:
    case 0x202F: return SV_GAP_BLANK;
    case 0x2010:
    case 0x2011:
    case 0x2012:
    case 0x2013:
    case 0x2014:
    case 0x2018:
    case 0x2019:
    case 0x2032:
    case 0x05BE:
    case 0x05F3:
    case 0x05F4: return SV_GAP_HYPHEN;
    case 0x060C:
    case 0x3001: return SV_GAP_COMMA;
    case 0x061B:
    case 0x2022:
    case 0x00B7:
    case 0x30FB: return SV_GAP_BREAK;
    case 0x3002: return SV_GAP_STOP;
    case 0x3010:
    case 0x300C: return SV_GAP_OPEN;
    case 0x3011:
    case 0x300D: return SV_GAP_CLOSE;
    default: return c >= 0x2000 && c <= 0x200A ? SV_GAP_BLANK : SV_GAP_OTHER;
    }
}

static bool is_run_script(uint32_t c)
{
    return (c >= 0x0E00 && c < 0x0F00) || (c >= 0x1780 && c < 0x1800) || (c >= 0x3005 && c <= 0x3007) ||
           (c >= 0x3041 && c <= 0x30FF && c != 0x30FB) || (c >= 0x3400 && c < 0xA000) ||
           (c >= 0xAC00 && c < 0xD7B0) || (c >= 0xF900 && c < 0xFB00) || (c >= 0x20000 && c < 0x32000);
}

static bool is_punctuation(uint32_t c)
{
    if (c < 0xC0) return c != 0xAA && c != 0xB5 && c != 0xBA;
    return c == 0xD7 || c == 0xF7 || c == 0x05BE || c == 0x05F3 || c == 0x05F4 || c == 0x060C ||
           c == 0x061B || c == 0x061F || c == 0x066B || c == 0x066C || c == 0x066D || c == 0x0964 ||
           c == 0x0E2F || (c >= 0x2000 && c < 0x2070) || (c >= 0x20A0 && c < 0x20D0) ||
           (c >= 0x2100 && c < 0x2C00) || (c >= 0x3001 && c <= 0x3004) || (c >= 0x3008 && c <= 0x3020) ||
           c == 0x30FB || (c >= 0xFE30 && c < 0xFE70) || (c >= 0xFF5F && c <= 0xFF65) || c >= 0x1F000;
}

static kind kind_of(uint32_t c)
{
    if (c < 0x80) {
        if ((c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z')) return LETTER;
        if (c >= '0' && c <= '9') return DIGIT;
        return c == '%' ? PERCENT : GAP;
    }
    if (c == 0x066A || c == 0xFE6A) return PERCENT;
    if (is_run_script(c) && !(c >= 0x0E50 && c <= 0x0E59)) return RUN_LETTER;
    if (is_punctuation(c)) return c >= 0x200B && c <= 0x200F ? NOTHING : GAP;
    return c == 0xFEFF || c == 0xFFFD ? NOTHING : LETTER;
}

/* ---- cutting ---- */

typedef struct cutter {
    const sv_folds *folds;
    const char *start, *p, *end;
    char *out;
    size_t n;
    sv_text_token *token;
    size_t count;
    uint16_t gap;
    bool percent_waits; /* a percent sign stood before the number it belongs to */
} cutter;

typedef struct character {
    uint32_t c;
    kind kind;
    const char *after;
    char folded[4];
    uint8_t bytes;
    bool capital;
} character;

static void fold_character(const cutter *k, character *ch)
{
    if (ch->c < 0x80) {
        ch->capital = ch->c >= 'A' && ch->c <= 'Z';
        ch->folded[0] = (char)(ch->capital ? ch->c + 32 : ch->c);
        ch->bytes = 1;
        return;
    }
    const char *form = folded_form(k->folds, ch->c);
    if (!form) {
        ch->bytes = (uint8_t)sv_utf8_put(ch->folded, ch->c);
        return;
    }
    memcpy(ch->folded, form, 4);
    while (ch->bytes < 4 && form[ch->bytes])
        ch->bytes++;
    if (ch->bytes == 1 && form[0] >= '0' && form[0] <= '9') ch->kind = DIGIT;
    if (ch->bytes == 0) ch->kind = NOTHING;
    char small[4];
    size_t n = sv_utf8_put(small, ch->c);
    ch->capital = ch->kind == LETTER && (ch->bytes != n || memcmp(small, form, n) != 0);
}

/* A kana and the voicing mark after it, wide or half-width, as the one voiced kana. */
static void join_voicing(const cutter *k, character *ch)
{
    if (ch->c < 0x3041 || ch->c > 0x30FD || ch->after >= k->end) return;
    const char *after = ch->after;
    uint32_t mark = sv_utf8_next(&after, k->end);
    if (mark != 0x3099 && mark != 0x309A && mark != 0xFF9E && mark != 0xFF9F) return;
    ch->c = ch->c == 0x30A6 ? 0x30F4 : ch->c + (mark == 0x309A || mark == 0xFF9F ? 2 : 1);
    ch->after = after;
}

static bool peek(const cutter *k, const char *at, character *ch)
{
    if (at >= k->end) return false;
    *ch = (character){.after = at};
    ch->c = plain_width(sv_utf8_next(&ch->after, k->end));
    join_voicing(k, ch);
    ch->kind = kind_of(ch->c);
    if (ch->kind == LETTER || ch->kind == RUN_LETTER || ch->kind == DIGIT) fold_character(k, ch);
    return true;
}

static sv_text_token *start_token(cutter *k, sv_text_token_kind what)
{
    if (k->count) k->out[k->n++] = ' ';
    sv_text_token *t = &k->token[k->count++];
    *t = (sv_text_token){
        .at = (uint32_t)k->n, .from = (uint32_t)(k->p - k->start), .gap = k->gap, .kind = (uint8_t)what};
    k->gap = 0;
    return t;
}

static void end_token(cutter *k, sv_text_token *t)
{
    t->bytes = (uint16_t)(k->n - t->at);
    t->to = (uint32_t)(k->p - k->start);
}

#define LONGEST_WORD 200

static void cut_word(cutter *k)
{
    sv_text_token *t = start_token(k, SV_TOKEN_WORD);
    character ch;
    int letters = 0, capitals = 0;
    while (k->n - t->at < LONGEST_WORD && peek(k, k->p, &ch) &&
           (ch.kind == LETTER || ch.kind == RUN_LETTER || ch.kind == NOTHING)) {
        if (ch.kind == RUN_LETTER) t->kind = SV_TOKEN_RUN;
        memcpy(k->out + k->n, ch.folded, ch.bytes);
        k->n += ch.bytes;
        letters += ch.kind != NOTHING;
        capitals += ch.capital;
        k->p = ch.after;
    }
    t->capitals = letters > 1 && capitals == letters;
    end_token(k, t);
}

/* Digits, and one decimal point or comma between digits. */
static void cut_number(cutter *k)
{
    sv_text_token *t = start_token(k, SV_TOKEN_NUMBER);
    character ch, next;
    int decimals = -1;
    int64_t value = 0;
    while (k->n - t->at < 12 && peek(k, k->p, &ch)) {
        if (ch.kind == DIGIT) {
            if (decimals < 3) {
                value = value * 10 + (ch.folded[0] - '0');
                if (decimals >= 0) decimals++;
            }
            k->out[k->n++] = ch.folded[0];
        } else if (decimals < 0 && (ch.c == '.' || ch.c == ',' || ch.c == 0x066B) &&
                   peek(k, ch.after, &next) && next.kind == DIGIT) {
            decimals = 0;
            k->out[k->n++] = '.';
        } else {
            break;
        }
        k->p = ch.after;
    }
    for (int i = decimals < 0 ? 0 : decimals; i < 3; i++)
        value *= 10;
    t->milli = value > INT32_MAX ? INT32_MAX : (int32_t)value;
    t->percent = k->percent_waits;
    k->percent_waits = false;
    end_token(k, t);
}

/* A percent sign belongs to the number right before it, unless that has one: then to the next (%70 akrilik).
 */
static void take_percent(cutter *k)
{
    sv_text_token *last = k->count ? &k->token[k->count - 1] : NULL;
    bool near = last && last->kind == SV_TOKEN_NUMBER && !last->percent && (k->gap & ~SV_GAP_BLANK) == 0;
    if (near) {
        last->percent = true;
    } else {
        k->percent_waits = true;
    }
}

static void cut(cutter *k)
{
    character ch;
    while (peek(k, k->p, &ch)) {
        switch (ch.kind) {
        case LETTER:
        case RUN_LETTER: cut_word(k); break;
        case DIGIT: cut_number(k); break;
        case PERCENT:
            take_percent(k);
            k->p = ch.after;
            break;
        case GAP:
            k->gap |= ch.c < 0x80 ? ascii_gap(ch.c) : wide_gap(ch.c);
            if (ch.c >= '!' || ch.c == '\n') k->percent_waits = false;
            k->p = ch.after;
            break;
        case NOTHING: k->p = ch.after; break;
        }
    }
}

sv_status sv_text_cut(const sv_folds *folds, sv_arena *arena, const char *text, sv_text_tokens *out)
{
    size_t bytes = text ? strlen(text) : 0;
    *out = (sv_text_tokens){.source = text ? text : "", .folded = ""};
    if (!bytes) return SV_OK;
    if (bytes > SV_TEXT_LONGEST) bytes = SV_TEXT_LONGEST;
    cutter k = {.folds = folds, .start = text, .p = text, .end = text + bytes};
    /* A character of one byte gives one byte and a blank; of two bytes at most four and a blank. */
    k.out = sv_alloc(arena, bytes * 3 + 8);
    k.token = SV_NEW_ARRAY(arena, bytes + 1, sv_text_token);
    if (!k.out || !k.token) return SV_NO_MEMORY;
    cut(&k);
    k.out[k.n] = 0;
    out->folded = k.out;
    out->token = k.token;
    out->count = k.count;
    return SV_OK;
}
