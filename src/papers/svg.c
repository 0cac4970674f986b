/* svg.c - the SVG pen: one page in millimetres, with real text that can be selected, searched and read aloud.
 */
#include "papers/page.h"

#include <string.h>

static void put_mm(sv_buf *b, int64_t um)
{
    bool minus = um < 0;
    uint64_t u = minus ? (uint64_t)-um : (uint64_t)um;
    sv_put_format(b, "%s%llu", minus ? "-" : "", (unsigned long long)(u / 1000));
    if (u % 1000 != 0) sv_put_format(b, ".%03llu", (unsigned long long)(u % 1000));
}

static void put_attribute(sv_buf *b, const char *name, int64_t um)
{
    sv_put_format(b, " %s=\"", name);
    put_mm(b, um);
    sv_put_char(b, '"');
}

static void put_gray(sv_buf *b, const char *name, uint8_t gray)
{
    sv_put_format(b, " %s=\"#%02x%02x%02x\"", name, gray, gray, gray);
}

static void put_stroke(sv_buf *b, const sv_mark *m)
{
    put_gray(b, "stroke", m->gray);
    put_attribute(b, "stroke-width", m->line);
    if (m->dashed) sv_put(b, " stroke-dasharray=\".7 .7\"");
}

static void draw_box(sv_buf *b, const sv_mark *m)
{
    sv_put(b, "<rect");
    put_attribute(b, "x", m->x);
    put_attribute(b, "y", m->y);
    put_attribute(b, "width", m->w);
    put_attribute(b, "height", m->h);
    if (m->filled) {
        put_gray(b, "fill", m->gray);
    } else {
        sv_put(b, " fill=\"none\"");
        put_stroke(b, m);
    }
    sv_put(b, "/>\n");
}

static void draw_line(sv_buf *b, const sv_mark *m, bool falling)
{
    sv_put(b, "<line");
    put_attribute(b, "x1", falling ? m->x : m->x + m->w);
    put_attribute(b, "y1", m->y);
    put_attribute(b, "x2", falling ? m->x + m->w : m->x);
    put_attribute(b, "y2", m->y + m->h);
    put_stroke(b, m);
    sv_put(b, "/>\n");
}

static void draw_bars(sv_buf *b, const sv_mark *m)
{
    sv_put(b, "<path fill=\"#000\" d=\"");
    for (size_t i = 0; i < m->modules;) {
        size_t end = i;
        while (end < m->modules && m->module[end])
            end++;
        if (end > i) {
            int64_t n = (int64_t)m->modules, from = m->x + (int64_t)i * m->w / n,
                    to = m->x + (int64_t)end * m->w / n;
            sv_put_char(b, 'M');
            put_mm(b, from);
            sv_put_char(b, ' ');
            put_mm(b, m->y);
            sv_put_char(b, 'h');
            put_mm(b, to - from);
            sv_put_char(b, 'v');
            put_mm(b, m->h);
            sv_put_char(b, 'h');
            put_mm(b, from - to);
            sv_put_char(b, 'z');
        }
        i = end + 1;
    }
    sv_put(b, "\"/>\n");
}

static sv_font_style style_of(const sv_shaped *s)
{
    return s->runs == 0 ? SV_FONT_REGULAR : sv_face_style(s->run[0].face);
}

/* The width is that of the layout, whatever font the reader has. */
static void draw_text(sv_buf *b, const sv_mark *m)
{
    if (m->text == NULL || m->text->bytes == 0) return;
    sv_put(b, "<text");
    put_attribute(b, "x", m->text->rtl ? m->x + sv_at_size(m->text->width, m->size) : m->x);
    put_attribute(b, "y", m->y);
    put_attribute(b, "font-size", sv_at_size(1000000, m->size));
    put_attribute(b, "textLength", sv_at_size(m->text->width, m->size));
    sv_put(b, " lengthAdjust=\"spacingAndGlyphs\"");
    if (m->text->heavy || style_of(m->text) == SV_FONT_BOLD) sv_put(b, " font-weight=\"bold\"");
    if (m->text->slanted) sv_put(b, " font-style=\"italic\"");
    if (m->text->rtl) sv_put(b, " direction=\"rtl\"");
    if (m->gray != 0) put_gray(b, "fill", m->gray);
    sv_put_char(b, '>');
    sv_put_xml(b, m->text->text);
    sv_put(b, "</text>\n");
}

/* Nothing to see: the desk lays its input boxes over these. */
static void draw_place(sv_buf *b, const sv_mark *m)
{
    sv_put_format(b, "<rect class=\"%s\" fill=\"none\" data-name=\"",
                  m->kind == SV_MARK_FIELD ? "field" : "input");
    sv_put_xml(b, m->name);
    if (m->path != NULL) {
        sv_put(b, "\" data-path=\"");
        sv_put_xml(b, m->path);
    }
    sv_put_char(b, '"');
    put_attribute(b, "x", m->x);
    put_attribute(b, "y", m->y);
    put_attribute(b, "width", m->w);
    put_attribute(b, "height", m->h);
    sv_put(b, "/>\n");
}

static void draw_mark(sv_buf *b, const sv_mark *m)
{
    switch (m->kind) {
    case SV_MARK_BOX: draw_box(b, m); break;
    case SV_MARK_RULE: draw_line(b, m, true); break;
    case SV_MARK_TEXT: draw_text(b, m); break;
    case SV_MARK_BARS: draw_bars(b, m); break;
    case SV_MARK_TICK:
        draw_line(b, m, true);
        draw_line(b, m, false);
        break;
    case SV_MARK_INPUT:
    case SV_MARK_FIELD: draw_place(b, m); break;
    case SV_MARK_PLACE: break; /* sheets of several papers are for printing */
    }
}

sv_status sv_svg_write(const sv_page *page, const char *title, const char *language, sv_buf *out)
{
    sv_put(out, "<svg xmlns=\"http://www.w3.org/2000/svg\" role=\"img\" lang=\"");
    sv_put_xml(out, language);
    sv_put(out, "\" width=\"");
    put_mm(out, page->w);
    sv_put(out, "mm\" height=\"");
    put_mm(out, page->h);
    sv_put(out, "mm\" viewBox=\"0 0 ");
    put_mm(out, page->w);
    sv_put_char(out, ' ');
    put_mm(out, page->h);
    sv_put(out, "\">\n<title>");
    sv_put_xml(out, title);
    sv_put(out,
           "</title>\n<g font-family=\"Liberation Sans, Arimo, Helvetica, Arial, Noto Sans, sans-serif\">\n");
    for (const sv_mark *m = page->first; m != NULL; m = m->next)
        draw_mark(out, m);
    sv_put(out, "</g>\n</svg>\n");
    return out->failed;
}
