/* pdf_content.c - the marks of a page as a PDF content stream. */
#include "papers/page.h"
#include "text/text.h"

#define HEAVY 34000        /* width of the outline of heavy letters, millionths of an em */
#define SLANT "1 0 .21 1 " /* twelve degrees */

typedef struct pen {
    sv_buf *out;
    sv_faces_used *faces;
    int32_t page_h;
    int32_t line; /* current state, to write only what changes */
    int gray_stroke, gray_fill, dashed;
    size_t face;
    int32_t size;
    int32_t spread; /* size for which the spread of heavy letters is set, 0: none */
    bool heavy, failed;
} pen;

/* ---- numbers -------------------------------------------------------------------------------- */

static void put_hundredths(sv_buf *b, int64_t v)
{
    char t[24];
    int i = 24;
    bool minus = v < 0;
    uint64_t u = minus ? (uint64_t)-v : (uint64_t)v;
    uint64_t frac = u % 100;
    u /= 100;
    t[--i] = ' ';
    if (frac != 0) {
        if (frac % 10 != 0) t[--i] = (char)('0' + frac % 10);
        t[--i] = (char)('0' + frac / 10);
        t[--i] = '.';
    }
    do
        t[--i] = (char)('0' + u % 10);
    while ((u /= 10) != 0);
    if (minus) t[--i] = '-';
    sv_put_n(b, t + i, (size_t)(24 - i));
}

/* Micrometres to hundredths of a point: 72 points are 25.4 mm. */
static int64_t points(int64_t um)
{
    int64_t n = um * 36;
    return (n >= 0 ? n + 63 : n - 63) / 127;
}

static void put_x(pen *p, int64_t um)
{
    put_hundredths(p->out, points(um));
}

static void put_y(pen *p, int64_t um)
{
    put_hundredths(p->out, points(p->page_h) - points(um));
}

/* ---- state ---------------------------------------------------------------------------------- */

static void set_line(pen *p, const sv_mark *m)
{
    if (p->line != m->line) {
        put_hundredths(p->out, points(m->line));
        sv_put(p->out, "w\n");
        p->line = m->line;
    }
    if (p->gray_stroke != m->gray) {
        put_hundredths(p->out, m->gray * 100 / 255);
        sv_put(p->out, "G\n");
        p->gray_stroke = m->gray;
    }
    if (p->dashed != (int)m->dashed) {
        sv_put(p->out, m->dashed ? "[2 2]0 d\n" : "[]0 d\n");
        p->dashed = m->dashed;
    }
}

static void set_fill(pen *p, int gray)
{
    if (p->gray_fill == gray) return;
    put_hundredths(p->out, gray * 100 / 255);
    sv_put(p->out, "g\n");
    p->gray_fill = gray;
}

/* ---- shapes --------------------------------------------------------------------------------- */

static void put_rectangle(pen *p, int64_t x, int64_t y, int64_t w, int64_t h)
{
    put_x(p, x);
    put_y(p, y + h);
    put_x(p, w);
    put_x(p, h);
    sv_put(p->out, "re\n");
}

static void draw_box(pen *p, const sv_mark *m)
{
    if (m->filled)
        set_fill(p, m->gray);
    else
        set_line(p, m);
    put_rectangle(p, m->x, m->y, m->w, m->h);
    sv_put(p->out, m->filled ? "f\n" : "S\n");
}

static void put_line(pen *p, int32_t x0, int32_t y0, int32_t x1, int32_t y1)
{
    put_x(p, x0);
    put_y(p, y0);
    sv_put(p->out, "m ");
    put_x(p, x1);
    put_y(p, y1);
    sv_put(p->out, "l ");
}

static void draw_rule(pen *p, const sv_mark *m)
{
    set_line(p, m);
    put_line(p, m->x, m->y, m->x + m->w, m->y + m->h);
    sv_put(p->out, "S\n");
}

static void draw_tick(pen *p, const sv_mark *m)
{
    set_line(p, m);
    put_line(p, m->x, m->y, m->x + m->w, m->y + m->h);
    put_line(p, m->x + m->w, m->y, m->x, m->y + m->h);
    sv_put(p->out, "S\n");
}

static void draw_bars(pen *p, const sv_mark *m)
{
    set_fill(p, m->gray);
    int64_t n = (int64_t)m->modules;
    for (size_t i = 0; i < m->modules;) {
        size_t end = i;
        while (end < m->modules && m->module[end])
            end++;
        if (end > i) {
            int64_t from = m->x + (int64_t)i * m->w / n, to = m->x + (int64_t)end * m->w / n;
            put_rectangle(p, from, m->y, to - from, m->h);
        }
        i = end + 1;
    }
    sv_put(p->out, "f\n");
}

/* ---- text ----------------------------------------------------------------------------------- */

static sv_face_use *use_of(pen *p, sv_face *face)
{
    sv_faces_used *f = p->faces;
    for (size_t i = 0; i < f->count; i++)
        if (f->use[i].face == face) return &f->use[i];
    if (f->count == f->room) {
        size_t room = f->room == 0 ? 8 : f->room * 2;
        sv_face_use *more = SV_NEW_ARRAY(f->arena, room, sv_face_use);
        if (more == NULL) return NULL;
        for (size_t i = 0; i < f->count; i++)
            more[i] = f->use[i];
        f->use = more;
        f->room = room;
    }
    if (!sv_face_use_begin(f->arena, face, &f->use[f->count])) return NULL;
    return &f->use[f->count++];
}

static void put_spelling(sv_buf *b, const char *text, uint32_t bytes)
{
    sv_put(b, "/Span<</ActualText<FEFF");
    for (const char *t = text, *end = text + bytes; t < end;) {
        uint32_t c = sv_utf8_next(&t, end);
        if (c < 0x10000)
            sv_put_format(b, "%04X", c);
        else
            sv_put_format(b, "%04X%04X", 0xD7C0 + (c >> 10), 0xDC00 + (c & 0x3FF));
    }
    sv_put(b, ">>>BDC\n");
}

/* What the glyph stands for here. Beside a spelt run nothing of its own is needed. */
static uint32_t code_of(sv_face_use *use, const sv_glyph_run *run, const sv_glyph *g, const char *text)
{
    if (g->carrier) return sv_face_use_carrier(use, text + g->from, g->to - g->from);
    return sv_face_use_glyph(use, g->id, run->spell ? NULL : text + g->from, g->to - g->from);
}

static void put_placed(pen *p, sv_face_use *use, const sv_glyph_run *run, const sv_mark *m, int64_t x)
{
    int64_t upem = sv_face_upem(run->face), at = 0;
    for (uint32_t i = 0; i < run->count; i++) {
        const sv_glyph *g = &run->glyph[i];
        sv_put(p->out, m->text->slanted ? SLANT : "1 0 0 1 ");
        put_hundredths(p->out, points(m->x) + (x * m->size / 1000000) + (at + g->dx) * m->size / upem);
        put_hundredths(p->out, points(p->page_h) - points(m->y) + (int64_t)g->dy * m->size / upem);
        sv_put(p->out, "Tm(");
        sv_put_code(p->out, code_of(use, run, g, m->text->text));
        sv_put(p->out, ")Tj\n");
        at += g->advance;
    }
}

static void put_in_line(pen *p, sv_face_use *use, const sv_glyph_run *run, const sv_mark *m, int64_t x)
{
    int64_t upem = sv_face_upem(run->face);
    if (m->text->slanted) sv_put(p->out, SLANT);
    put_hundredths(p->out, points(m->x) + x * m->size / 1000000);
    put_hundredths(p->out, points(p->page_h) - points(m->y));
    if (run->codes != NULL) {
        sv_face_use_plain(use, run->glyph, run->count);
        sv_put(p->out, m->text->slanted ? "Tm(" : "Td(");
        sv_put_n(p->out, run->codes, run->code_bytes);
        sv_put(p->out, ")Tj\n");
        return;
    }
    sv_put(p->out, m->text->slanted ? "Tm[(" : "Td[(");
    for (uint32_t i = 0; i < run->count; i++) {
        const sv_glyph *g = &run->glyph[i];
        sv_put_code(p->out, code_of(use, run, g, m->text->text));
        int64_t natural = g->carrier ? 0 : sv_face_advance(run->face, g->id);
        if (i + 1 < run->count && natural != g->advance) {
            sv_put_char(p->out, ')');
            sv_put_int(p->out, (natural - g->advance) * 1000 / upem);
            sv_put_char(p->out, '(');
        }
    }
    sv_put(p->out, ")]TJ\n");
}

static void set_heavy(pen *p, const sv_mark *m, const sv_glyph_run *run)
{
    int32_t spread = run->spread ? m->size : 0;
    if (m->text->heavy) {
        sv_mark stroke = {.line = sv_at_size(HEAVY, m->size), .gray = m->gray};
        set_line(p, &stroke);
    }
    if (p->spread != spread) {
        put_hundredths(p->out, (int64_t)spread * SV_HEAVY_SPREAD / 1000000);
        sv_put(p->out, "Tc\n");
    }
    if (p->heavy != m->text->heavy) sv_put(p->out, m->text->heavy ? "2 Tr\n" : "0 Tr\n");
    p->spread = spread;
    p->heavy = m->text->heavy;
}

static void draw_run(pen *p, const sv_mark *m, const sv_glyph_run *run, int64_t x)
{
    sv_face_use *use = use_of(p, run->face);
    if (use == NULL) {
        p->failed = true;
        return;
    }
    size_t face = (size_t)(use - p->faces->use);
    if (run->spell) put_spelling(p->out, m->text->text + run->from, run->to - run->from);
    set_heavy(p, m, run);
    sv_put(p->out, "BT ");
    if (p->face != face || p->size != m->size) {
        sv_put_format(p->out, "/F%zu ", face + 1);
        put_hundredths(p->out, m->size);
        sv_put(p->out, "Tf ");
        p->face = face;
        p->size = m->size;
    }
    if (run->placed)
        put_placed(p, use, run, m, x);
    else
        put_in_line(p, use, run, m, x);
    sv_put(p->out, run->spell ? "ET EMC\n" : "ET\n");
}

static void draw_text(pen *p, const sv_mark *m)
{
    if (m->text == NULL) return;
    set_fill(p, m->gray);
    int64_t x = 0;
    for (uint32_t i = 0; i < m->text->runs; i++) {
        if (m->text->run[i].count > 0) draw_run(p, m, &m->text->run[i], x);
        x += m->text->run[i].width;
    }
}

static void draw_marks(pen *p, const sv_page *page);

/* A page inside a page: its own origin and its own state. */
static void draw_placed(pen *p, const sv_mark *m)
{
    int64_t x = points(m->x), y = points(p->page_h) - points(m->y + m->h);
    sv_put(p->out, m->turned ? "q 0 -1 1 0 " : "q 1 0 0 1 ");
    put_hundredths(p->out, x);
    put_hundredths(p->out, m->turned ? y + points(m->h) : y);
    sv_put(p->out, "cm\n");
    pen inner = {.out = p->out, .faces = p->faces, .page_h = m->page->h, .line = -1, .face = (size_t)-1};
    draw_marks(&inner, m->page);
    p->failed = p->failed || inner.failed;
    sv_put(p->out, "Q\n");
}

static void draw_marks(pen *p, const sv_page *page)
{
    for (const sv_mark *m = page->first; m != NULL; m = m->next) {
        switch (m->kind) {
        case SV_MARK_BOX: draw_box(p, m); break;
        case SV_MARK_RULE: draw_rule(p, m); break;
        case SV_MARK_TEXT: draw_text(p, m); break;
        case SV_MARK_BARS: draw_bars(p, m); break;
        case SV_MARK_TICK: draw_tick(p, m); break;
        case SV_MARK_INPUT:
        case SV_MARK_FIELD: break;
        case SV_MARK_PLACE: draw_placed(p, m); break;
        }
    }
}

bool sv_pdf_content(const sv_page *page, sv_faces_used *faces, sv_buf *out)
{
    pen p = {.out = out, .faces = faces, .page_h = page->h, .line = -1, .face = (size_t)-1};
    draw_marks(&p, page);
    return !p.failed && out->failed == SV_OK;
}
