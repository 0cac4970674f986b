/* fit.c - breaking a text into lines and finding the size at which it fits its box. */
#include "papers/fit.h"

#include "text/text.h"

#include <string.h>
#include <unicode/ubrk.h>
#include <unicode/uchar.h>
#include <unicode/utext.h>

#define LEAST_SIZE 150 /* below the floor a text is still shown whole; a finding says so */
#define STEP       25
#define CAP_HEIGHT 716000 /* of the text font, millionths of an em */
#define HEAD       920000 /* of capitals with an accent */
#define DESCENT    212000

/* What stays together on a line. */
typedef struct word {
    size_t span, from, to;
    int64_t width, blank; /* blank: the space before it, where it does not start a line */
    bool new_line;        /* must start a line */
} word;

typedef struct text {
    sv_fonts *fonts;
    sv_arena *arena;
    const sv_span *span;
    size_t spans;
    word *word;
    size_t words, room;
    int64_t widest;
    int64_t head; /* room above the first baseline, where no ink needs more */
    bool failed;
} text;

/* ---- words ---------------------------------------------------------------------------------- */

static int64_t width_of(text *t, size_t span, size_t from, size_t to)
{
    const sv_span *s = &t->span[span];
    int64_t width = 0;
    if (sv_plain_width(t->fonts, s->font, s->text + from, to - from, &width)) return width;
    const sv_shaped *shaped = sv_shape(t->fonts, s->font, SV_BASE_AUTO, s->text + from, to - from);
    if (shaped == NULL) t->failed = true;
    return shaped == NULL ? 0 : shaped->width;
}

static void add_word(text *t, size_t span, size_t from, size_t to, bool blank, bool new_line)
{
    if (t->words == t->room) {
        size_t room = t->room == 0 ? 32 : t->room * 2;
        word *more = SV_NEW_ARRAY(t->arena, room, word);
        if (more == NULL) {
            t->failed = true;
            return;
        }
        if (t->words > 0) memcpy(more, t->word, t->words * sizeof *more);
        t->word = more;
        t->room = room;
    }
    word *w = &t->word[t->words++];
    *w = (word){.span = span, .from = from, .to = to, .new_line = new_line};
    w->width = width_of(t, span, from, to);
    if (blank) w->blank = width_of(t, span, from - 1, from);
    t->widest = w->width > t->widest ? w->width : t->widest;
}

static bool needs_dictionary(const char *s, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++)
        if ((uint8_t)s[i] >= 0xE0) return true; /* U+0800 and above */
    return false;
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* A line may also end behind a hyphen or a stroke inside a word. */
static bool soft_end(const char *s, size_t at, size_t bytes)
{
    if ((s[at] != '-' && s[at] != '/') || at == 0 || at + 1 >= bytes) return false;
    bool digits = is_digit(s[at - 1]) && is_digit(s[at + 1]); /* dates and numbers stay whole */
    return !digits && s[at - 1] != ' ' && s[at + 1] != ' ' && s[at + 1] != '\n';
}

/* "80 %" is one word. */
static bool ends_word(const char *s, size_t at, size_t bytes)
{
    if (s[at] == '\n') return true;
    return s[at] == ' ' && !(at > 0 && is_digit(s[at - 1]) && at + 1 < bytes && s[at + 1] == '%');
}

static void split_simple(text *t, size_t span, bool blank, bool new_line)
{
    const char *s = t->span[span].text;
    size_t bytes = t->span[span].bytes;
    for (size_t i = 0; i < bytes;) {
        if (s[i] == ' ' || s[i] == '\n') {
            new_line = new_line || s[i] == '\n';
            blank = true;
            i++;
            continue;
        }
        size_t from = i;
        while (i < bytes && !ends_word(s, i, bytes) && !soft_end(s, i, bytes))
            i++;
        if (i < bytes && soft_end(s, i, bytes)) i++;
        add_word(t, span, from, i, blank && from > 0, new_line);
        blank = new_line = false;
    }
}

static void split_by_rules(text *t, size_t span, bool new_line)
{
    const char *s = t->span[span].text;
    size_t bytes = t->span[span].bytes;
    UErrorCode code = U_ZERO_ERROR;
    UBreakIterator *rules = sv_fonts_line_rules(t->fonts);
    UText *u = utext_openUTF8(NULL, s, (int64_t)bytes, &code);
    if (rules == NULL || U_FAILURE(code)) {
        utext_close(u);
        split_simple(t, span, false, new_line);
        return;
    }
    ubrk_setUText(rules, u, &code);
    size_t from = 0;
    bool blank = false;
    for (int32_t at = ubrk_next(rules); at != UBRK_DONE; at = ubrk_next(rules)) {
        size_t to = (size_t)at, end = to;
        while (end > from && (s[end - 1] == ' ' || s[end - 1] == '\n'))
            end--;
        if (end > from) {
            add_word(t, span, from, end, blank && from > 0 && s[from - 1] == ' ', new_line);
            new_line = false;
        }
        blank = end < to;
        new_line = new_line || memchr(s + end, '\n', to - end) != NULL;
        from = to;
    }
    utext_close(u);
}

static void split(text *t)
{
    for (size_t i = 0; i < t->spans; i++) {
        const sv_span *s = &t->span[i];
        if (needs_dictionary(s->text, s->bytes))
            split_by_rules(t, i, false);
        else
            split_simple(t, i, false, false);
    }
}

/* ---- a word that is wider than the box ------------------------------------------------------ */

static size_t cluster_after(const char *s, size_t at, size_t end)
{
    const char *p = s + at, *stop = s + end;
    sv_utf8_next(&p, stop);
    while (p < stop) {
        const char *q = p;
        uint32_t c = sv_utf8_next(&q, stop);
        if (c < 0x300 || (U_GET_GC_MASK((UChar32)c) & (U_GC_M_MASK | U_GC_CF_MASK)) == 0) break;
        p = q;
    }
    return (size_t)(p - s);
}

/* Splits every word wider than `most` into pieces that are not, between whole characters. */
static void split_wide(text *t, int64_t most)
{
    word *before = t->word;
    size_t n = t->words;
    t->word = NULL;
    t->words = t->room = 0;
    t->widest = 0;
    for (size_t i = 0; i < n && !t->failed; i++) {
        const char *s = t->span[before[i].span].text;
        size_t from = before[i].from;
        bool first = true;
        while (before[i].width > most && from < before[i].to) {
            size_t to = cluster_after(s, from, before[i].to);
            for (size_t next = to; next < before[i].to; to = next) {
                next = cluster_after(s, to, before[i].to);
                if (width_of(t, before[i].span, from, next) > most) break;
            }
            add_word(t, before[i].span, from, to, first && before[i].blank > 0, first && before[i].new_line);
            first = false;
            from = to;
        }
        if (from < before[i].to)
            add_word(t, before[i].span, from, before[i].to, first && before[i].blank > 0,
                     first && before[i].new_line);
    }
}

/* ---- lines ---------------------------------------------------------------------------------- */

/* First word of the line after the one that starts at `from`. */
static size_t line_end(const text *t, size_t from, int64_t most)
{
    int64_t width = t->word[from].width;
    size_t i = from + 1;
    for (; i < t->words && !t->word[i].new_line; i++) {
        width += t->word[i].blank + t->word[i].width;
        if (width > most) break;
    }
    return i;
}

static size_t count_lines(const text *t, int64_t most)
{
    size_t n = 0;
    for (size_t i = 0; i < t->words; i = line_end(t, i, most))
        n++;
    return n;
}

static int64_t most_at(int32_t w, int32_t size)
{
    return ((int64_t)w * 36000000) / ((int64_t)size * 127);
}

static void make_line(text *t, size_t from, size_t to, sv_text_line *out, uint32_t *missing)
{
    const sv_shaped **piece = SV_NEW_ARRAY(t->arena, t->spans, const sv_shaped *);
    *out = (sv_text_line){.piece = piece};
    for (size_t i = from; i < to && piece != NULL;) {
        size_t end = i;
        while (end < to && t->word[end].span == t->word[i].span)
            end++;
        const sv_span *s = &t->span[t->word[i].span];
        size_t start = t->word[i].from - (i > from && t->word[i].blank > 0 ? 1 : 0);
        const sv_shaped *shaped =
            sv_shape(t->fonts, s->font, SV_BASE_AUTO, s->text + start, t->word[end - 1].to - start);
        if (shaped == NULL) break;
        piece[out->pieces++] = shaped;
        out->width += shaped->width;
        out->top = shaped->top > out->top ? shaped->top : out->top;
        out->bottom = shaped->bottom > out->bottom ? shaped->bottom : out->bottom;
        out->rtl = out->rtl || shaped->rtl;
        if (shaped->missing != 0) *missing = shaped->missing;
        i = end;
    }
    if (out->pieces == 0) t->failed = true;
}

/* A base line for all, except where the ink of a script stands higher or lower. */
static void measure(const text *t, sv_text_block *b, const sv_style *style)
{
    int64_t top = t->head, bottom = DESCENT, apart = (int64_t)style->leading * 10000;
    for (uint32_t i = 0; i < b->lines; i++) {
        const sv_text_line *l = &b->line[i];
        if (i == 0 && l->top > top) top = l->top;
        if (i + 1 == b->lines && l->bottom > bottom) bottom = l->bottom;
        if (i > 0 && b->line[i - 1].bottom + l->top + 40000 > apart)
            apart = b->line[i - 1].bottom + l->top + 40000;
    }
    b->ascent = sv_at_size(top, b->size);
    b->pitch = sv_at_size(apart, b->size);
    b->height =
        b->ascent + sv_at_size(bottom, b->size) + (b->lines == 0 ? 0 : (int32_t)(b->lines - 1) * b->pitch);
}

static bool make_block(text *t, int32_t w, int32_t size, const sv_style *style, sv_text_block *out)
{
    int64_t most = w == 0 ? INT64_MAX : most_at(w, size);
    size_t n = count_lines(t, most);
    sv_text_line *line = SV_NEW_ARRAY(t->arena, n + 1, sv_text_line);
    if (line == NULL) return false;
    size_t i = 0;
    for (size_t k = 0; k < n; k++) {
        size_t end = line_end(t, i, most);
        make_line(t, i, end, &line[k], &out->missing);
        i = end;
    }
    out->size = size;
    out->line = line;
    out->lines = (uint32_t)n;
    measure(t, out, style);
    return !t->failed;
}

/* ---- the size ------------------------------------------------------------------------------- */

/* Lowest estimate of the height of n lines, without shaping them. */
static bool lines_may_fit(size_t n, int32_t h, int32_t size, const sv_style *style)
{
    int64_t em = CAP_HEIGHT + (n == 0 ? 0 : (int64_t)(n - 1) * style->leading * 10000);
    return h == 0 || sv_at_size(em, size) <= h;
}

static bool try_size(text *t, int32_t w, int32_t h, int32_t size, const sv_style *style, bool one_line,
                     sv_text_block *out)
{
    int64_t most = w == 0 ? INT64_MAX : most_at(w, size);
    if (t->widest > most) return false;
    size_t n = count_lines(t, most);
    if (one_line && n > 1) return false;
    if (!lines_may_fit(n, h, size, style)) return false;
    if (!make_block(t, w, size, style, out)) return false;
    for (uint32_t i = 0; i < out->lines; i++)
        if (out->line[i].width > most) return false; /* kerning over a blank */
    return h == 0 || out->height <= h;
}

static bool shrink(text *t, int32_t w, int32_t h, const sv_style *style, bool one_line, int32_t floor,
                   sv_text_block *out)
{
    for (int32_t size = style->size; size >= floor && !t->failed; size -= STEP)
        if (try_size(t, w, h, size, style, one_line, out)) return true;
    return false;
}

static size_t count_new_lines(const text *t)
{
    size_t n = 1;
    for (size_t i = 1; i < t->words; i++)
        n += t->word[i].new_line;
    return n;
}

/* Keeps the lines that fit, and leaves the rest as text. */
static void keep_what_fits(text *t, int32_t w, int32_t h, sv_text_block *b)
{
    uint32_t keep = 0;
    int32_t below = sv_at_size(DESCENT, b->size);
    while (keep < b->lines && b->ascent + (int32_t)keep * b->pitch + below <= h)
        keep++;
    size_t i = 0;
    for (uint32_t k = 0; k < keep; k++)
        i = line_end(t, i, most_at(w, b->size));
    b->lines = keep;
    b->height = keep == 0 ? 0 : b->ascent + (int32_t)(keep - 1) * b->pitch + below;
    const sv_span *s = &t->span[0];
    b->rest = i >= t->words ? "" : sv_copy_n(t->arena, s->text + t->word[i].from, s->bytes - t->word[i].from);
}

static bool fit_in_order(text *t, int32_t w, int32_t h, const sv_style *style, unsigned fit,
                         sv_text_block *out)
{
    bool may_shrink = (fit & SV_FIT_SHRINK) != 0, may_wrap = (fit & SV_FIT_WRAP) != 0;
    bool lines_given = count_new_lines(t) > 1;
    int32_t floor = may_shrink ? style->floor : style->size;
    if (may_wrap && (fit & SV_FIT_WRAP_FIRST)) return shrink(t, w, h, style, false, floor, out);
    if (shrink(t, w, h, style, !lines_given, floor, out)) return true;
    return may_wrap && shrink(t, w, h, style, false, floor, out);
}

bool sv_text_fit(sv_fonts *fonts, sv_arena *arena, const sv_span *span, size_t spans, int32_t w, int32_t h,
                 const sv_style *style, unsigned fit, sv_text_block *out)
{
    text t = {.fonts = fonts, .arena = arena, .span = span, .spans = spans};
    t.head = (fit & SV_FIT_LEVEL) != 0 ? HEAD : CAP_HEIGHT;
    *out = (sv_text_block){.size = style->size, .rest = ""};
    split(&t);
    if (t.failed) return false;
    if (t.words == 0) return true;
    if (fit_in_order(&t, w, h, style, fit, out)) return true;
    int32_t least = (fit & SV_FIT_SHRINK) != 0 ? style->floor : style->size;
    if ((fit & SV_FIT_WRAP) != 0) {
        split_wide(&t, most_at(w, least));
        if (try_size(&t, w, h, least, style, false, out)) return true;
    }
    if (t.failed) return false;
    if ((fit & SV_FIT_CONTINUE) != 0 && spans == 1) {
        if (!make_block(&t, w, least, style, out)) return false;
        keep_what_fits(&t, w, h, out);
        return true;
    }
    out->too_small = true;
    for (int32_t size = least; size >= LEAST_SIZE && !t.failed; size -= STEP) {
        if (try_size(&t, w, h, size, style, false, out)) return true;
    }
    split_wide(&t, most_at(w, LEAST_SIZE));
    return make_block(&t, w, LEAST_SIZE, style, out);
}
