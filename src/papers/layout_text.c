/* layout_text.c - what a template's words become: paths filled in, captions, lines placed in their box. */
#include "base/utf8.h"
#include "papers/fit.h"
#include "papers/layout.h"

#include <string.h>

/* ---- values --------------------------------------------------------------------------------- */

const sv_node *sv_layout_node(sv_layout *l, const char *path)
{
    if (path[0] == '.')
        return l->record == NULL ? NULL : path[1] == '\0' ? l->record : sv_node_at(l->record, path + 1);
    if (strcmp(path, "statements") == 0) return l->statements;
    if (strcmp(path, "data_sheet") == 0) return l->data_sheet;
    if (strcmp(path, "border_card") == 0) return l->border_card;
    return sv_node_at(l->root, path);
}

static const char *joined(sv_layout *l, const sv_node *list)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (const sv_node *n = list->first; n != NULL; n = n->next) {
        if (b.length > 0) sv_put_char(&b, '\n');
        sv_put(&b, n->text == NULL ? "" : n->text);
    }
    const char *out = b.length == 0 ? "" : sv_buf_copy(&b, l->arena);
    sv_buf_free(&b);
    return out;
}

const char *sv_layout_value(sv_layout *l, const char *path)
{
    if (strcmp(path, "sheet.number") == 0) return sv_format(l->arena, "%zu", l->sheet);
    if (strcmp(path, "sheet.count") == 0) return sv_format(l->arena, "%zu", l->sheets);
    if (strcmp(path, "sheet.next") == 0)
        return l->sheet < l->sheets ? sv_format(l->arena, "%zu", l->sheet + 1) : "";
    const sv_node *n = sv_layout_node(l, path);
    if (n == NULL || n->kind == SV_NODE_RECORD) return "";
    if (n->kind == SV_NODE_LIST) return joined(l, n);
    return n->text == NULL ? "" : n->text;
}

static const char *path_in(sv_layout *l, const char *from, size_t bytes)
{
    return sv_copy_n(l->arena, from, bytes);
}

/* Puts `new` for each `old` in the text. */
static const char *replaced(sv_layout *l, const char *text, const char *old, size_t old_bytes,
                            const char *new, size_t new_bytes)
{
    if (old_bytes == 0 || strstr(text, old) == NULL) return text;
    sv_buf b;
    sv_buf_init(&b, 0);
    while (*text != '\0') {
        bool here = strncmp(text, old, old_bytes) == 0;
        sv_put_n(&b, here ? new : text, here ? new_bytes : 1);
        text += here ? old_bytes : 1;
    }
    const char *out = sv_buf_copy(&b, l->arena);
    sv_buf_free(&b);
    return out;
}

/* {path|old>new}: each old becomes new; {path|new}: each line end does. */
static const char *value_in(sv_layout *l, const char *from, size_t bytes)
{
    const char *rest = path_in(l, from, bytes);
    size_t n = strcspn(rest, "|");
    const char *value = sv_layout_value(l, path_in(l, rest, n));
    while (rest[n] == '|') {
        rest += n + 1;
        n = strcspn(rest, "|");
        const char *one = path_in(l, rest, n), *turn = strchr(one, '>');
        const char *old = turn == NULL ? "\n" : path_in(l, one, (size_t)(turn - one));
        const char *new = turn == NULL ? one : turn + 1;
        value = replaced(l, value, old, strlen(old), new, strlen(new));
    }
    return value;
}

/* A pattern is text with {paths}; what stands in [brackets] is left out when one of its paths is empty. */
static bool expand(sv_layout *l, const char **p, bool inside)
{
    bool whole = true;
    while (**p != '\0' && !(inside && **p == ']')) {
        size_t plain = strcspn(*p, inside ? "{[]" : "{[");
        sv_put_n(&l->scratch, *p, plain);
        *p += plain;
        if (**p == '{') {
            size_t n = strcspn(*p, "}");
            const char *value = value_in(l, *p + 1, n - 1);
            whole = whole && *value != '\0';
            sv_put(&l->scratch, value);
            *p += (*p)[n] == '\0' ? n : n + 1;
        } else if (**p == '[') {
            size_t before = l->scratch.length;
            *p += 1;
            if (!expand(l, p, true) && l->scratch.data != NULL) {
                l->scratch.length = before;
                l->scratch.data[before] = '\0';
            }
            if (**p == ']') *p += 1;
        }
    }
    return whole;
}

const char *sv_layout_expand(sv_layout *l, const char *pattern)
{
    size_t n = strlen(pattern);
    if (strpbrk(pattern, "{[") == NULL) return pattern;
    if (pattern[0] == '{' && strcspn(pattern, "}") == n - 1) return value_in(l, pattern + 1, n - 2);
    sv_buf_reset(&l->scratch);
    expand(l, &pattern, false);
    if (l->scratch.failed != SV_OK) l->failed = true;
    return l->scratch.length == 0 ? "" : sv_trim(l->arena, l->scratch.data, l->scratch.length);
}

/* Words apart by strokes; one that ends in * stands for all that begin so. */
static bool word_among(const char *words, const char *word)
{
    size_t bytes = strlen(word);
    for (const char *p = words;; p++) {
        size_t n = strcspn(p, "|");
        if (n == bytes && memcmp(p, word, n) == 0) return true;
        if (n > 0 && p[n - 1] == '*' && strncmp(p, word, n - 1) == 0) return true;
        p += n;
        if (*p == '\0') return false;
    }
}

static bool holds_here(sv_layout *l, const char *condition)
{
    size_t n = strcspn(condition, "=");
    if (condition[n] == '=')
        return word_among(condition + n + 1, sv_layout_value(l, path_in(l, condition, n)));
    const sv_node *node = sv_layout_node(l, condition);
    if (node != NULL && (node->kind == SV_NODE_LIST || node->kind == SV_NODE_RECORD)) return node->count > 0;
    const char *value = sv_layout_value(l, condition);
    return *value != '\0' && strcmp(value, "false") != 0;
}

/* "line[].free=true" holds when it holds for one of the records. */
bool sv_layout_holds(sv_layout *l, const char *condition)
{
    const char *any = strstr(condition, "[].");
    if (any == NULL) return holds_here(l, condition);
    const sv_node *list = sv_node_at(l->root, path_in(l, condition, (size_t)(any - condition))),
                  *before = l->record;
    bool found = false;
    for (const sv_node *n = list == NULL ? NULL : list->first; n != NULL && !found; n = n->next) {
        l->record = n;
        found = holds_here(l, any + 2);
    }
    l->record = before;
    return found;
}

const char *sv_layout_place(sv_layout *l, const char *pattern)
{
    const char *open = strchr(pattern, '{');
    if (open == NULL) return "";
    const char *path = path_in(l, open + 1, strcspn(open + 1, "|}"));
    if (path[0] != '.' || l->record == NULL) return path;
    return sv_format(l->arena, "%s[%zu]%s", l->record_path, l->record_index, path);
}

/* ---- what may not stand on a paper ---------------------------------------------------------- */

static bool plain_ascii(const char *t)
{
    for (; *t != '\0'; t++)
        if ((uint8_t)*t >= 0x7F || ((uint8_t)*t < 0x20 && *t != '\n')) return false;
    return true;
}

static void find_refused(sv_layout *l, const sv_item *item, const char *text)
{
    if (l->quiet || plain_ascii(text)) return;
    for (const char *p = text, *end = text + strlen(text); p < end;) {
        uint32_t c = sv_utf8_next(&p, end);
        const char *why = sv_character_refused(c);
        if (why == NULL) continue;
        sv_find(l->findings, SV_F_CHARACTER_REFUSED, sv_layout_place(l, item->text),
                SV_ARGS(sv_format(l->arena, "U+%04X", c), why));
        return;
    }
}

static const char *letter_text(sv_layout *l, uint32_t c)
{
    char u[4];
    return sv_copy_n(l->arena, u, sv_utf8_put(u, c));
}

static void find_missing(sv_layout *l, const sv_item *item, uint32_t c)
{
    if (l->quiet || c == 0 || sv_character_refused(c) != NULL) return;
    const char *wanted = sv_fonts_wanted(l->fonts, l->arena, c);
    const char *place = sv_layout_place(l, item->text), *code = sv_format(l->arena, "U+%04X", c);
    if (*wanted != '\0')
        sv_find(l->findings, SV_F_FONT_MISSING, place, SV_ARGS(letter_text(l, c), code, wanted));
    else
        sv_find(l->findings, SV_F_GLYPH_MISSING, place, SV_ARGS(letter_text(l, c), code));
}

/* ---- lines into the box --------------------------------------------------------------------- */

static void place_line(sv_layout *l, const sv_item *item, const sv_text_line *line, const sv_text_block *b,
                       int32_t x, int32_t baseline)
{
    int32_t width = sv_at_size(line->width, b->size), free_space = item->w - width;
    sv_align align = line->rtl && item->align == SV_ALIGN_START ? SV_ALIGN_END : item->align;
    int32_t at = x + (item->w == 0 || align == SV_ALIGN_START ? 0
                      : align == SV_ALIGN_END                 ? free_space
                                                              : free_space / 2);
    for (uint32_t i = 0; i < line->pieces; i++) {
        sv_mark *m = sv_mark_add(l->pages, l->page, SV_MARK_TEXT);
        if (m == NULL) {
            l->failed = true;
            return;
        }
        m->x = at;
        m->y = baseline;
        m->size = b->size;
        m->text = line->piece[i];
        m->gray = item->style->gray;
        m->name = item->name;
        at += sv_at_size(line->piece[i]->width, b->size);
    }
}

void sv_layout_lines(sv_layout *l, const sv_item *item, const sv_text_block *b, int32_t x, int32_t y,
                     int32_t h)
{
    if (b->lines == 0) return;
    int32_t spare = h - b->height;
    if (item->valign == SV_ALIGN_MIDDLE && b->lines == 1)
        spare = h - b->ascent; /* capitals stand in the middle */
    int32_t top = y + (h == 0 || item->valign == SV_ALIGN_START ? 0
                       : item->valign == SV_ALIGN_END           ? h - b->height
                                                                : spare / 2);
    if (h != 0 && top + b->height > y + h) top = y + h - b->height;
    if (top < y && h != 0) top = y;
    for (uint32_t i = 0; i < b->lines; i++)
        place_line(l, item, &b->line[i], b, x, top + b->ascent + (int32_t)i * b->pitch);
}

static size_t caption_spans(sv_layout *l, const sv_item *item, sv_span out[6])
{
    const sv_caption *c = &item->caption;
    size_t n = 0;
    const char *between = item->stacked ? "\n" : " / ";
    sv_font_style own = item->style->font;
    if (item->english) out[n++] = (sv_span){own, c->en, strlen(c->en)};
    if (*c->number != '\0') {
        const char *number = sv_format(l->arena, "%s(%s)", n > 0 ? " " : "", c->number);
        out[n++] = (sv_span){SV_FONT_HEAVY, number, strlen(number)};
    }
    if (item->french) {
        const char *fr = sv_format(l->arena, "%s%s", n > 0 ? between : "", c->fr);
        out[n++] = (sv_span){own == SV_FONT_REGULAR ? SV_FONT_SLANTED : own, fr, strlen(fr)};
    }
    return n;
}

/* Captions and fixed words are fitted once for all papers of the press. */
static bool fit_kept(sv_layout *l, const sv_item *item, const sv_span *span, size_t n, int32_t h,
                     sv_text_block *b)
{
    sv_arena *texts = sv_fonts_texts(l->fonts);
    sv_text_block *block = SV_NEW(texts, sv_text_block);
    if (block == NULL || !sv_text_fit(l->fonts, texts, span, n, item->w, h, item->style, item->fit, block))
        return false;
    *item->kept = (struct sv_kept_block){sv_fonts_age(l->fonts), h, block};
    *b = *block;
    return true;
}

static bool fit(sv_layout *l, const sv_item *item, int32_t h, sv_text_block *b)
{
    const struct sv_kept_block *kept = item->kept;
    if (kept != NULL && kept->block != NULL && kept->age == sv_fonts_age(l->fonts) && kept->h == h)
        return *b = *kept->block, true;
    sv_span span[6];
    size_t n = 1;
    if (item->kind == SV_ITEM_CAPTION) {
        n = caption_spans(l, item, span);
    } else {
        const char *text = sv_layout_expand(l, item->text);
        if (*text == '\0') {
            *b = (sv_text_block){.rest = ""};
            return true;
        }
        if (item->text != text) find_refused(l, item, text);
        span[0] = (sv_span){item->style->font, text, strlen(text)};
    }
    bool done = kept != NULL
                    ? fit_kept(l, item, span, n, h, b)
                    : sv_text_fit(l->fonts, l->arena, span, n, item->w, h, item->style, item->fit, b);
    if (done) return true;
    l->failed = true;
    return false;
}

static void go_on_later(sv_layout *l, const sv_item *item, const char *rest)
{
    sv_overflow *o = SV_NEW(l->arena, sv_overflow);
    if (o == NULL || l->quiet) return;
    o->title = item->name;
    o->text = rest;
    *l->overflow_end = o;
    l->overflow_end = &o->next;
}

/* What a reader would call it. */
static const char *what_is(sv_layout *l, const sv_item *item)
{
    if (*item->name != '\0') return item->name;
    if (item->kind == SV_ITEM_CAPTION) return item->caption.en;
    return *item->text == '\0' ? l->form->name : item->text;
}

void sv_layout_words(sv_layout *l, const sv_item *item, int32_t x, int32_t y, int32_t h)
{
    sv_text_block b;
    if (!fit(l, item, h, &b)) return;
    find_missing(l, item, b.missing);
    if (b.too_small && !l->quiet)
        sv_find(l->findings, SV_F_TEXT_TOO_LONG, sv_layout_place(l, item->text), SV_ARGS(what_is(l, item)));
    if (*b.rest != '\0') go_on_later(l, item, b.rest);
    sv_layout_lines(l, item, &b, x, y, h);
}

int32_t sv_layout_needs(sv_layout *l, const sv_item *item, int32_t h)
{
    sv_text_block b;
    bool quiet = l->quiet;
    l->quiet = true;
    sv_item measured = *item;
    measured.kept = NULL;
    measured.fit &= ~(unsigned)SV_FIT_CONTINUE;
    int32_t need = 0;
    if (fit(l, &measured, h, &b)) need = b.too_small ? -1 : b.height;
    if (need < 0) {
        sv_style least = *item->style;
        if ((item->fit & SV_FIT_SHRINK) != 0) least.size = least.floor;
        measured.style = &least;
        need = fit(l, &measured, 0, &b) ? b.height : 0;
    }
    l->quiet = quiet;
    return need;
}
