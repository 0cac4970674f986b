/* layout.c - walks a form's sheets over a dossier: boxes, ticks, rows, and the sheets that follow. */
#include "papers/layout.h"

#include <string.h>

#include "papers/barcode.h"
#include "papers/fit.h"

#define MOST_SHEETS 400

static void draw_items(sv_layout *l, const sv_item *first, int32_t x, int32_t y, int32_t h);

/* ---- shapes --------------------------------------------------------------------------------- */

static sv_mark *new_mark(sv_layout *l, const sv_item *item, sv_mark_kind kind, int32_t x, int32_t y,
                         int32_t h)
{
    sv_mark *m = sv_mark_add(l->pages, l->page, kind);
    if (m == NULL) {
        l->failed = true;
        return NULL;
    }
    m->x = x;
    m->y = y;
    m->w = item->w;
    m->h = h;
    m->line = item->line;
    m->gray = item->gray;
    m->filled = item->filled;
    m->dashed = item->dashed;
    m->name = item->name;
    return m;
}

static void draw_tick(sv_layout *l, const sv_item *item, int32_t x, int32_t y)
{
    const char *value = sv_layout_value(l, item->path);
    bool ticked = *item->text == '\0'
                      ? *value != '\0' && strcmp(value, "false") != 0
                      : sv_layout_holds(l, sv_format(l->arena, "%s=%s", item->path, item->text));
    new_mark(l, item, SV_MARK_BOX, x, y, item->h);
    if (!ticked) return;
    int32_t in = item->w / 6;
    sv_mark *m = new_mark(l, item, SV_MARK_TICK, x + in, y + in, item->h - 2 * in);
    if (m == NULL) return;
    m->w = item->w - 2 * in;
    m->line = item->w / 8;
}

static void draw_barcode(sv_layout *l, const sv_item *item, int32_t x, int32_t y)
{
    const char *value = sv_layout_value(l, item->path);
    const uint8_t *module = NULL;
    size_t n = 0;
    if (*value == '\0') return;
    if (!sv_code128(l->arena, value, &module, &n)) {
        sv_find(l->findings, SV_F_BARCODE_IMPOSSIBLE, item->path, SV_ARGS(value));
        return;
    }
    int32_t width = (int32_t)n * item->pitch, quiet = SV_CODE128_QUIET * item->pitch;
    if (width + 2 * quiet > item->w) {
        sv_find(l->findings, SV_F_BARCODE_IMPOSSIBLE, item->path, SV_ARGS(value));
        return;
    }
    sv_mark *m = new_mark(l, item, SV_MARK_BARS, x + (item->w - width) / 2, y, item->h);
    if (m == NULL) return;
    m->w = width;
    m->module = module;
    m->modules = n;
    m->gray = 0;
}

/* ---- rows ----------------------------------------------------------------------------------- */

static int32_t row_height(sv_layout *l, const sv_item *repeat)
{
    int32_t h = repeat->pitch;
    for (const sv_item *c = repeat->first; c != NULL; c = c->next) {
        if (c->kind != SV_ITEM_TEXT || (c->fit & SV_FIT_WRAP) == 0) continue;
        int32_t room = repeat->pitch - c->y - (c->h < 0 ? -c->h : 0);
        int32_t need = c->y + sv_layout_needs(l, c, room) + (c->h < 0 ? -c->h : 0);
        h = need > h ? need : h;
    }
    return h;
}

/* Where there is no further sheet, a row may grow only as far as all the others still find their least
 * height; -1 where there is one, or not even that. */
static int32_t spare_height(const sv_layout *l, const sv_item *repeat, const sv_node *list, int32_t at,
                            int32_t end)
{
    int64_t spare = end - at - (int64_t)(list->count - l->drawn) * repeat->pitch;
    return l->last_sheet && spare >= 0 ? (int32_t)spare : -1;
}

static void draw_rows(sv_layout *l, const sv_item *item, int32_t x, int32_t y)
{
    const sv_node *list = sv_layout_node(l, item->path);
    int32_t at = y, end = y + item->h;
    unsigned rows = 0;
    const sv_node *n = list == NULL ? NULL : sv_node_item(list, l->drawn);
    for (; n != NULL && (item->rows == 0 || rows < item->rows); n = n->next, rows++) {
        l->record = n;
        l->record_path = item->path;
        l->record_index = l->drawn;
        int32_t h = row_height(l, item), spare = spare_height(l, item, list, at, end);
        if (spare >= 0 && h > item->pitch + spare) h = item->pitch + spare;
        if (at + h > end && (rows > 0 || h <= item->h)) break;
        if (at + h > end) h = end - at; /* one row that fills the sheet: its texts shrink */
        draw_items(l, item->first, x, at, h);
        at += h;
        l->drawn++;
    }
    l->record = NULL;
    l->row_end = at;
}

static bool rows_left(sv_layout *l, const sv_item *first)
{
    for (const sv_item *i = first; i != NULL; i = i->next) {
        if (i->kind == SV_ITEM_GROUP && rows_left(l, i->first)) return true;
        if (i->kind != SV_ITEM_REPEAT) continue;
        const sv_node *list = sv_layout_node(l, i->path);
        if (list != NULL && l->drawn < list->count) return true;
    }
    return false;
}

/* What follows the rows stands under the last of them, whole, on this sheet or on the next. */
static void draw_tail(sv_layout *l, const sv_item *item, int32_t x)
{
    int32_t y = l->row_end > item->y ? l->row_end : item->y;
    if (!l->tail_due || y + item->h > item->limit) return;
    draw_items(l, item->first, x, y, item->h);
    l->tail_due = false;
}

/* ---- texts of earlier sheets ---------------------------------------------------------------- */

static void draw_more(sv_layout *l, const sv_item *item, int32_t x, int32_t y)
{
    int32_t at = y, end = y + item->h;
    while (l->overflow != NULL && at < end) {
        sv_overflow *o = l->overflow;
        sv_item one = *item;
        const char *text = sv_format(l->arena, "%s: %s", o->title, o->text);
        sv_span span = {item->style->font, text, strlen(text)};
        sv_text_block b;
        one.fit = SV_FIT_WRAP | SV_FIT_CONTINUE | SV_FIT_WRAP_FIRST;
        one.kind = SV_ITEM_TEXT;
        one.text = text;
        if (!sv_text_fit(l->fonts, l->arena, &span, 1, item->w, end - at, item->style, one.fit, &b)) {
            l->failed = true;
            return;
        }
        one.text = "";
        bool quiet = l->quiet;
        l->quiet = true; /* found already where the text first stood */
        sv_layout_lines(l, &one, &b, x, at, end - at);
        l->quiet = quiet;
        if (*b.rest != '\0') {
            o->text = b.rest;
            return;
        }
        at += b.height + b.pitch / 2;
        l->overflow = o->next;
        if (l->overflow == NULL) l->overflow_end = &l->overflow;
    }
}

/* Where a value of the dossier stands. */
static void mark_field(sv_layout *l, const sv_item *item, const char *pattern, int32_t x, int32_t y,
                       int32_t h)
{
    const char *path = sv_layout_place(l, pattern);
    if (*path == '\0') return;
    sv_mark *m = new_mark(l, item, SV_MARK_FIELD, x, y, h);
    if (m != NULL) m->path = path;
}

/* ---- one sheet ------------------------------------------------------------------------------ */

static void draw_item(sv_layout *l, const sv_item *i, int32_t x, int32_t y, int32_t h)
{
    switch (i->kind) {
    case SV_ITEM_BOX: new_mark(l, i, SV_MARK_BOX, x, y, h); break;
    case SV_ITEM_RULE: new_mark(l, i, SV_MARK_RULE, x, y, h); break;
    case SV_ITEM_CAPTION:
    case SV_ITEM_TEXT:
        if (l->pages->fields) mark_field(l, i, i->text, x, y, h);
        sv_layout_words(l, i, x, y, h);
        break;
    case SV_ITEM_TICK:
        if (l->pages->fields) mark_field(l, i, sv_format(l->arena, "{%s}", i->path), x, y, h);
        draw_tick(l, i, x, y);
        break;
    case SV_ITEM_BARCODE: draw_barcode(l, i, x, y); break;
    case SV_ITEM_INPUT: new_mark(l, i, SV_MARK_INPUT, x, y, h); break;
    case SV_ITEM_GROUP: draw_items(l, i->first, x, y, h); break;
    case SV_ITEM_REPEAT: draw_rows(l, i, x, y); break;
    case SV_ITEM_TAIL: break;
    case SV_ITEM_MORE: draw_more(l, i, x, y); break;
    }
}

/* A height of 0 or less in a row is measured from the end of the row: 0 fills it, -1 leaves 1 mm. */
static void draw_items(sv_layout *l, const sv_item *first, int32_t x, int32_t y, int32_t h)
{
    for (const sv_item *i = first; i != NULL && !l->failed; i = i->next) {
        if (*i->when != '\0' && !sv_layout_holds(l, i->when)) continue;
        if (*i->unless != '\0' && sv_layout_holds(l, i->unless)) continue;
        bool level = i->kind == SV_ITEM_RULE && i->w != 0;
        int32_t height = i->h > 0 || level || h == 0 ? i->h : h - i->y + i->h;
        int32_t top = y + i->y;
        if (i->kind == SV_ITEM_TAIL) {
            if (!rows_left(l, first)) draw_tail(l, i, x + i->x);
        } else {
            draw_item(l, i, x + i->x, top, height);
        }
    }
}

static bool has_tail(const sv_item *first)
{
    for (const sv_item *i = first; i != NULL; i = i->next)
        if (i->kind == SV_ITEM_TAIL) return true;
    return false;
}

/* What the rows of a sheet and of those that continue it have reached. */
static void start_chain(sv_layout *l, const sv_sheet *sheet)
{
    l->drawn = 0;
    l->overflow = NULL;
    l->overflow_end = &l->overflow;
    l->tail_due = has_tail(sheet->first);
}

static const sv_sheet *sheet_after(sv_layout *l, const sv_sheet *sheet, const sv_sheet *chain)
{
    bool more = rows_left(l, sheet->first) || l->overflow != NULL || l->tail_due;
    if (more && sheet->continued != NULL) return sheet->continued;
    if (more) sv_find(l->findings, SV_F_PAPER_FULL, "", SV_ARGS(l->form->name));
    if (chain->then != NULL) start_chain(l, chain->then);
    return chain->then;
}

static sv_status lay_sheets(sv_layout *l, sv_error *err)
{
    const sv_sheet *sheet = l->form->sheets, *chain = sheet;
    l->sheet = 0;
    start_chain(l, sheet);
    while (sheet != NULL && !l->failed) {
        if (++l->sheet > MOST_SHEETS)
            return sv_fail(err, SV_LIMIT, "%s: more than %d sheets", l->form->name, MOST_SHEETS);
        l->page = sv_page_add(l->pages, sheet->w, sheet->h);
        l->row_end = 0;
        l->last_sheet = sheet->continued == NULL;
        if (l->page == NULL) break;
        draw_items(l, sheet->first, 0, 0, 0);
        const sv_sheet *next = sheet_after(l, sheet, chain);
        if (next == chain->then) chain = next;
        sheet = next;
    }
    if (l->failed || l->page == NULL)
        return sv_fail(err, SV_NO_MEMORY, "out of memory while laying out %s", l->form->name);
    return SV_OK;
}

/* Takes away the pages after `last`, leaving `count`. */
static void drop_pages(sv_pages *pages, sv_page *last, size_t count)
{
    pages->last = last;
    pages->count = count;
    if (last == NULL)
        pages->first = NULL;
    else
        last->next = NULL;
}

/* The sheets that always follow each other. */
static size_t least_sheets(const sv_form *form)
{
    size_t n = 0;
    for (const sv_sheet *s = form->sheets; s != NULL && n < MOST_SHEETS; s = s->then)
        n++;
    return n;
}

/* "Sheet 1 of 3" needs the count before the last sheet is known: a second pass, only where there are several.
 */
sv_status sv_form_lay_out(const sv_world *world, sv_fonts *fonts, const sv_form *form, const sv_node *dossier,
                          sv_pages *pages, sv_findings *findings, sv_error *err)
{
    sv_layout l = {.world = world,
                   .fonts = fonts,
                   .arena = pages->arena,
                   .form = form,
                   .root = dossier,
                   .pages = pages,
                   .findings = findings};
    sv_buf_init(&l.scratch, 0);
    sv_findings first_pass = sv_findings_in(pages->arena);
    l.findings = &first_pass;
    l.sheets = least_sheets(form);
    sv_layout_make_lists(&l);
    if (pages->title == NULL) pages->title = sv_layout_expand(&l, form->title);
    pages->language = form->language;
    sv_page *last = pages->last;
    size_t before = pages->count;
    sv_status status = lay_sheets(&l, err);
    if (status == SV_OK && l.sheet != l.sheets) {
        drop_pages(pages, last, before);
        l.sheets = l.sheet;
        first_pass = sv_findings_in(pages->arena);
        status = lay_sheets(&l, err);
    }
    sv_findings_move(findings, &first_pass, "");
    sv_buf_free(&l.scratch);
    return status;
}
