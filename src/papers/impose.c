/* impose.c - several papers on one sheet: rows from the top, a new sheet when the next does not fit. */
#include "papers/page.h"

#define GUTTER    5000 /* between papers and at the edge, where there is room */
#define UNPRINTED 4000 /* what printers leave blank at the edge of a sheet (common practice) */
#define MARK      3000 /* length of a cut mark */

typedef struct table {
    sv_pages *out;
    sv_page *sheet;
    int32_t w, h;        /* of the stock */
    int32_t x, y, row_h; /* where the next paper goes, and how high its row is */
    int32_t gutter_x, gutter_y;
    bool cut_marks;
} table;

/* How far all that is drawn stays away from the edges of the paper, across and down. */
static void blank_edges(const sv_page *page, int32_t *across, int32_t *down)
{
    *across = page->w;
    *down = page->h;
    for (const sv_mark *m = page->first; m != NULL; m = m->next) {
        bool text = m->kind == SV_MARK_TEXT;
        int32_t right = m->x + (text ? sv_at_size(m->text->width, m->size) : m->w);
        int32_t top = m->y - (text ? sv_at_size(m->text->top, m->size) : 0);
        int32_t bottom = m->y + (text ? sv_at_size(m->text->bottom, m->size) : m->h);
        if (m->x < *across) *across = m->x;
        if (page->w - right < *across) *across = page->w - right;
        if (top < *down) *down = top;
        if (page->h - bottom < *down) *down = page->h - bottom;
    }
}

/* Printers leave the edge of the sheet blank: a paper without a blank edge of its own stands away from it, if
 * it can. */
static int32_t gutter(int32_t sheet, int32_t paper, int32_t blank)
{
    if (blank >= UNPRINTED) return 0;
    int32_t spare = (sheet - paper) / 2;
    return spare > GUTTER ? GUTTER : spare;
}

static bool new_sheet(table *t)
{
    t->sheet = sv_page_add(t->out, t->w, t->h);
    t->x = t->y = t->row_h = 0;
    return t->sheet != NULL;
}

/* Room for a paper of that size in this row, else in a new one, else on a new sheet. */
static bool make_room(table *t, int32_t w, int32_t h)
{
    if (t->sheet == NULL && !new_sheet(t)) return false;
    if (t->x > 0 && t->x + w + t->gutter_x > t->w) {
        t->y += t->row_h;
        t->x = t->row_h = 0;
    }
    if (t->y > 0 && t->y + h + t->gutter_y > t->h && !new_sheet(t)) return false;
    if (t->x == 0) t->x = t->gutter_x;
    if (t->y == 0) t->y = t->gutter_y;
    return true;
}

static bool rule(table *t, int32_t x, int32_t y, int32_t w, int32_t h)
{
    sv_mark *m = sv_mark_add(t->out, t->sheet, SV_MARK_RULE);
    if (m == NULL) return false;
    m->x = x;
    m->y = y;
    m->w = w;
    m->h = h;
    m->line = 100;
    return true;
}

/* Two short lines at each corner, outside the paper. */
static bool mark_corners(table *t, int32_t w, int32_t h)
{
    int32_t x[2] = {t->x, t->x + w}, y[2] = {t->y, t->y + h};
    for (int i = 0; i < 2; i++)
        for (int k = 0; k < 2; k++) {
            if (!rule(t, x[i], k == 0 ? y[k] - MARK - 500 : y[k] + 500, 0, MARK)) return false;
            if (!rule(t, i == 0 ? x[i] - MARK - 500 : x[i] + 500, y[k], MARK, 0)) return false;
        }
    return true;
}

static bool place(table *t, const sv_page *page, bool turned)
{
    int32_t w = turned ? page->h : page->w, h = turned ? page->w : page->h;
    if (!make_room(t, w, h)) return false;
    sv_mark *m = sv_mark_add(t->out, t->sheet, SV_MARK_PLACE);
    if (m == NULL) return false;
    m->x = t->x;
    m->y = t->y;
    m->w = w;
    m->h = h;
    m->page = page;
    m->turned = turned;
    bool whole = w == t->w && h == t->h;
    if (t->cut_marks && !whole && !mark_corners(t, w, h)) return false;
    for (const sv_page_label *l = page->label; l != NULL; l = l->next)
        sv_page_name(t->out, t->sheet, l->text);
    t->x += w + t->gutter_x;
    t->row_h = h + t->gutter_y > t->row_h ? h + t->gutter_y : t->row_h;
    return true;
}

/* How many stand side by side on a length of the sheet. */
static int32_t count_along(int32_t sheet, int32_t paper, int32_t blank)
{
    int32_t between = gutter(sheet, paper, blank);
    return paper > sheet ? 0 : (sheet - between) / (paper + between);
}

/* Chooses how the paper lies. False: it is larger than the sheet both ways. */
static bool choose(table *t, const sv_page *p, bool *turned)
{
    int32_t across, down;
    blank_edges(p, &across, &down);
    int32_t upright_count = count_along(t->w, p->w, across) * count_along(t->h, p->h, down);
    int32_t turned_count = count_along(t->w, p->h, down) * count_along(t->h, p->w, across);
    *turned = turned_count > upright_count;
    t->gutter_x = *turned ? gutter(t->w, p->h, down) : gutter(t->w, p->w, across);
    t->gutter_y = *turned ? gutter(t->h, p->w, across) : gutter(t->h, p->h, down);
    return upright_count + turned_count > 0;
}

sv_status sv_impose(const sv_pages *pages, int32_t w, int32_t h, bool cut_marks, sv_pages *out, sv_error *err)
{
    table t = {.out = out, .w = w, .h = h, .cut_marks = cut_marks};
    out->title = pages->title;
    out->language = pages->language;
    for (const sv_page *p = pages->first; p != NULL; p = p->next) {
        bool turned = false;
        if (!choose(&t, p, &turned))
            return sv_fail(err, SV_USAGE, "a paper of %d x %d mm does not fit on a sheet of %d x %d mm",
                           p->w / 1000, p->h / 1000, w / 1000, h / 1000);
        if (!place(&t, p, turned)) return sv_fail(err, SV_NO_MEMORY, "out of memory while laying out sheets");
    }
    return SV_OK;
}
