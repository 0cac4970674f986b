/* ubl_pen.c - elements without emptiness. */
#include "papers/ubl_pen.h"

#include <string.h>

#include "base/banned.h"

static void indent(sv_pen *pen, int depth)
{
    static const char blanks[] = "                                                                ";
    sv_put_n(pen->out, blanks, (size_t)depth * 2);
}

void sv_pen_begin(sv_pen *pen, const char *element)
{
    if (pen->depth < SV_PEN_DEEPEST) pen->open[pen->depth] = element;
    pen->depth++;
}

/* The elements that wait for a first value. */
static void write_waiting(sv_pen *pen)
{
    for (; pen->written < pen->depth && pen->written < SV_PEN_DEEPEST; pen->written++) {
        indent(pen, pen->written);
        sv_put_char(pen->out, '<');
        sv_put(pen->out, pen->open[pen->written]);
        sv_put(pen->out, ">\n");
    }
}

/* The name behind `</` is the element's without its attributes. */
static void put_end(sv_pen *pen, const char *element)
{
    sv_put(pen->out, "</");
    sv_put_n(pen->out, element, strcspn(element, " "));
    sv_put(pen->out, ">\n");
}

void sv_pen_end(sv_pen *pen)
{
    pen->depth--;
    if (pen->written <= pen->depth) return;
    pen->written = pen->depth;
    indent(pen, pen->depth);
    put_end(pen, pen->open[pen->depth]);
}

/* Blanks and control characters, which the escaper leaves out, do not make a value. */
static bool is_blank(const char *text)
{
    for (; *text; text++) {
        if ((unsigned char)*text > ' ' && *text != 0x7F) return false;
    }
    return true;
}

static void put_attribute(sv_pen *pen, const char *name, const char *value)
{
    if (!name || is_blank(value)) return;
    sv_put_char(pen->out, ' ');
    sv_put(pen->out, name);
    sv_put(pen->out, "=\"");
    sv_put_xml(pen->out, value);
    sv_put_char(pen->out, '"');
}

void sv_pen_with2(sv_pen *pen, const char *element, const char *attribute, const char *value,
                  const char *attribute2, const char *value2, const char *text)
{
    if (is_blank(text)) return;
    write_waiting(pen);
    indent(pen, pen->depth);
    sv_put_char(pen->out, '<');
    sv_put(pen->out, element);
    put_attribute(pen, attribute, value);
    put_attribute(pen, attribute2, value2);
    sv_put_char(pen->out, '>');
    sv_put_xml(pen->out, text);
    put_end(pen, element);
}

void sv_pen_with(sv_pen *pen, const char *element, const char *attribute, const char *value, const char *text)
{
    sv_pen_with2(pen, element, attribute, value, NULL, "", text);
}

void sv_pen_text(sv_pen *pen, const char *element, const char *text)
{
    sv_pen_with2(pen, element, NULL, "", NULL, "", text);
}
