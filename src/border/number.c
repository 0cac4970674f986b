/* number.c - is an identifier well formed? Forms, check digits, printed forms and uses are rows of
 * border/numbers and border/number-forms; here is the engine that walks them. A number that passes is well
 * formed, not registered. */
#include <stdlib.h>
#include <string.h>

#include "base/banned.h"
#include "base/utf8.h"
#include "border/border.h"
#include "border/number_check.h"

#define LONGEST 64 /* more characters than any identifier has */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_capital(char c)
{
    return c >= 'A' && c <= 'Z';
}

static bool is_blank(uint32_t c)
{
    return c == ' ' || (c >= 9 && c <= 13) || c == 0x85 || c == 0xA0 || c == 0x1680 ||
           (c >= 0x2000 && c <= 0x200A) || c == 0x2028 || c == 0x2029 || c == 0x202F || c == 0x205F ||
           c == 0x3000;
}

/* What is left of a value without blanks, dots, hyphens and slashes, in capitals. */
typedef struct stripped {
    char text[LONGEST + 1];
    size_t length;
    const char *wrong; /* NULL, or the first character that stands in no identifier */
    bool too_long;
} stripped;

static void strip(const char *value, stripped *out)
{
    *out = (stripped){.length = 0};
    const char *end = value + strlen(value);
    for (const char *p = value; p < end;) {
        const char *at = p;
        uint32_t c = sv_utf8_next(&p, end);
        if (is_blank(c) || c == '.' || c == '-' || c == '/') continue;
        if (c >= 'a' && c <= 'z') c -= 'a' - 'A';
        if (c > 127 || (!is_digit((char)c) && !is_capital((char)c))) {
            out->wrong = at;
            return;
        }
        if (out->length == LONGEST) {
            out->too_long = true;
            return;
        }
        out->text[out->length++] = (char)c;
    }
    out->text[out->length] = 0;
}

/* Takes the scheme's own word off one end, the longest that stands there; the whole is never taken. */
static void drop_word(stripped *s, const char *words, bool at_end)
{
    size_t best = 0;
    for (const char *p = words; *p;) {
        size_t n = strcspn(p, " ");
        const char *at = at_end && s->length > n ? s->text + s->length - n : s->text;
        if (n > best && n < s->length && strncmp(at, p, n) == 0) best = n;
        p += n + (p[n] == ' ');
    }
    if (!best) return;
    if (!at_end) memmove(s->text, s->text + best, s->length - best);
    s->length -= best;
    s->text[s->length] = 0;
}

/* One sign of a form: where the next one begins, and whether the character fits it. */
static bool sign_fits(const char **form, char c)
{
    char f = *(*form)++;
    if (f == 'd') return is_digit(c);
    if (f == 'l') return is_capital(c);
    if (f == 'x') return is_digit(c) || is_capital(c);
    if (f != '[') return f == c;
    bool among = false;
    for (; **form && **form != ']'; (*form)++)
        among = among || **form == c;
    if (**form) (*form)++;
    return among && c;
}

/* Does the text have the form? A sign may carry {least-most}; it then takes as many as it can (forms end with
 * it). */
static bool has_form(const char *form, const char *text)
{
    while (*form) {
        const char *sign = form;
        bool fits = sign_fits(&form, *text);
        if (*form != '{') {
            if (!fits) return false;
            text++;
            continue;
        }
        char *end;
        long least = strtol(form + 1, &end, 10), most = strtol(end + 1, &end, 10), n = 0;
        form = end + 1;
        for (const char *again = sign; n < most && *text && sign_fits(&again, *text); again = sign, n++)
            text++;
        if (n < least) return false;
    }
    return !*text;
}

/* # takes the next character, _ leaves one out, all else stands for itself. */
static const char *through_mask(sv_arena *arena, const char *mask, const char *text)
{
    if (!*mask) return sv_copy(arena, text);
    char *out = sv_alloc(arena, strlen(mask) + 1);
    if (!out) return "";
    size_t n = 0;
    for (; *mask; mask++) {
        if (*mask == '_') {
            text += *text != 0;
        } else if (*mask == '#') {
            if (*text) out[n++] = *text++;
        } else {
            out[n++] = *mask;
        }
    }
    out[n] = 0;
    return out;
}

/* Columns of border/number-forms. */
enum { F_KIND, F_FORM, F_CHECK, F_PART, F_WEIGHTS, F_MODULUS, F_REST, F_NORMAL, F_PRINT, F_NOTE };
/* Columns of border/numbers. */
enum { N_KIND, N_TITLE, N_WORDS, N_FORM, N_PRINTS, N_PRIVATE, N_WHERE, N_USE };

static bool check_fits(const sv_table *t, size_t row, const stripped *s)
{
    const char *part = sv_cell(t, row, F_PART);
    char *end = NULL;
    size_t from = *part ? (size_t)strtoul(part, &end, 10) : 0;
    size_t take = end && *end == ' ' ? (size_t)strtoul(end, NULL, 10) : s->length - from;
    sv_check c = {.text = s->text + from,
                  .length = take,
                  .weights = sv_cell(t, row, F_WEIGHTS),
                  .modulus = (int)strtol(sv_cell(t, row, F_MODULUS), NULL, 10),
                  .rest = (int)strtol(sv_cell(t, row, F_REST), NULL, 10)};
    return sv_check_digit(sv_cell(t, row, F_CHECK), &c);
}

/* The first row of the kind whose form and check fit; *formed is set when a form fits. */
static size_t fitting_row(const sv_table *t, const char *kind, const stripped *s, bool *formed)
{
    size_t first, n = sv_table_run(t, kind, &first);
    *formed = false;
    for (size_t i = first; i < first + n; i++) {
        size_t row = t->by_key[i];
        if (!has_form(sv_cell(t, row, F_FORM), s->text)) continue;
        *formed = true;
        if (check_fits(t, row, s)) return row;
    }
    return SV_NO_ROW;
}

/* The row of border/s10 in whose range the two letters stand. */
static size_t s10_row(const sv_table *t, const char *letters)
{
    for (size_t r = 0; r < t->rows; r++) {
        if (strncmp(sv_cell(t, r, 0), letters, 2) <= 0 && strncmp(letters, sv_cell(t, r, 1), 2) <= 0)
            return r;
    }
    return SV_NO_ROW;
}

/* Beyond form and check digit: letters that are never given out, and an issuing country of ISO 3166-1. */
static void judge_s10(const sv_world *world, sv_arena *arena, const stripped *s, sv_number *out)
{
    const sv_table *t = sv_border_in(world)->s10;
    size_t row = s10_row(t, s->text);
    const char *status = row == SV_NO_ROW ? "" : sv_cell(t, row, 3);
    char country[3] = {s->text[11], s->text[12], 0};
    const sv_place *place = sv_place_by_code(world, country);
    if (strcmp(status, "reserved") == 0) {
        out->valid = false;
        out->reason = sv_format(arena, "the letters %.2s are reserved and never valid", s->text);
    } else if (!place || strcmp(place->code, country) != 0 || !*place->numeric) {
        out->valid = false;
        out->reason = sv_format(arena, "%s is no country code of ISO 3166-1%s", country,
                                strcmp(country, "UK") == 0 ? " (the United Kingdom is GB)" : "");
    } else {
        out->reason =
            sv_format(arena, "well formed: %s, issued in %s; only the postal operator gives out such numbers",
                      row == SV_NO_ROW ? "letters not in the table" : sv_cell(t, row, 2), place->common_en);
    }
}

static void refuse(sv_number *out, const char *reason)
{
    out->valid = false;
    out->normal = out->printed = "";
    out->reason = reason;
}

/* Zeros pass most check digits of taxpayers' numbers, but no authority gives out such a one. Elsewhere they
 * pass: made-up examples are of zeros. */
static bool of_tax(const char *kind)
{
    return strcmp(kind, "EUVAT") == 0 || strcmp(kind, "GBVAT") == 0 || strcmp(kind, "CHUID") == 0;
}

static bool only_zeros(const stripped *s)
{
    return s->length > 0 && !strpbrk(s->text, "123456789") && strchr(s->text, '0');
}

static const char *why_not(sv_arena *arena, const sv_table *kinds, size_t kind, const stripped *s,
                           bool formed)
{
    if (s->wrong) {
        const char *p = s->wrong;
        sv_utf8_next(&p, p + strlen(p));
        return sv_format(arena, "\"%.*s\" stands in no such number", (int)(p - s->wrong), s->wrong);
    }
    if (s->length == 0) return "empty";
    if (formed && only_zeros(s)) return "nothing but zeros: no number is given out so";
    if (formed) return "a digit is wrong: the check digit does not fit";
    return sv_format(arena, "not of its form: %s", sv_cell(kinds, kind, N_FORM));
}

static const char *capitals(sv_arena *arena, const char *kind)
{
    char *out = sv_alloc(arena, strlen(kind) + 1);
    if (!out) return "";
    for (size_t i = 0; kind[i]; i++)
        out[i] = (char)(kind[i] >= 'a' && kind[i] <= 'z' ? kind[i] - 32 : kind[i]);
    return out;
}

sv_status sv_number_check(const sv_world *world, sv_arena *arena, const char *kind, const char *value,
                          sv_number *out)
{
    const sv_border *b = sv_border_in(world);
    *out = (sv_number){
        .valid = false, .normal = "", .printed = "", .reason = "", .use = "", .source = "", .as_of = ""};
    kind = capitals(arena, kind ? kind : "");
    size_t row = sv_table_find(b->numbers, kind);
    if (row == SV_NO_ROW) {
        out->reason = sv_format(arena, "the kind \"%s\" is not known", kind);
        return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
    }
    out->use = sv_format(arena, "%s: %s; place: %s", sv_cell(b->numbers, row, N_TITLE),
                         sv_cell(b->numbers, row, N_USE), sv_cell(b->numbers, row, N_WHERE));
    stripped s;
    strip(value ? value : "", &s);
    bool formed = false;
    size_t form = SV_NO_ROW;
    if (!s.wrong && !s.too_long) {
        drop_word(&s, sv_cell(b->numbers, row, N_WORDS), false);
        drop_word(&s, sv_cell(b->numbers, row, N_WORDS), true);
        if (s.length) form = fitting_row(b->number_forms, kind, &s, &formed);
    }
    if (form != SV_NO_ROW && of_tax(kind) && only_zeros(&s)) form = SV_NO_ROW;
    if (form == SV_NO_ROW) {
        refuse(out, why_not(arena, b->numbers, row, &s, formed));
        return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
    }
    const char *note = sv_cell(b->number_forms, form, F_NOTE);
    out->valid = true;
    out->normal = through_mask(arena, sv_cell(b->number_forms, form, F_NORMAL), s.text);
    out->printed = through_mask(arena, sv_cell(b->number_forms, form, F_PRINT), out->normal);
    out->source = sv_cell(b->number_forms, form, b->number_forms->columns - 2);
    out->as_of = sv_cell(b->number_forms, form, b->number_forms->columns - 1);
    out->reason = sv_format(arena, "looks valid: well formed%s%s; this does not show that it is registered",
                            *note ? ", " : "", note);
    if (strcmp(kind, "S10") == 0) judge_s10(world, arena, &s, out);
    if (!out->valid) refuse(out, out->reason);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
