/* peer_cairo.c - the fixed page by pango and cairo. */
#include <cairo-pdf.h>
#include <pango/pangocairo.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#define MM (72 / 25.4)

typedef struct mark {
    double x, y, w, h, line, size;
    char text[200];
} mark;
static mark marks[400];
static size_t count;

static double number(const char *tag, const char *name)
{
    char key[32];
    snprintf(key, sizeof key, " %s=\"", name);
    const char *at = strstr(tag, key);
    return at ? strtod(at + strlen(key), NULL) : 0;
}

static void read_page(const char *path)
{
    FILE *f = fopen(path, "r");
    char line[1024];
    while (f && fgets(line, sizeof line, f) && count < 400) {
        mark *m = &marks[count];
        bool text = strncmp(line, "<text ", 6) == 0;
        if (!text && strncmp(line, "<rule ", 6) != 0) continue;
        *m = (mark){number(line, "x") * MM,
                    number(line, "y") * MM,
                    number(line, "w") * MM,
                    number(line, "h") * MM,
                    number(line, "line") * MM,
                    0,
                    ""};
        if (text) {
            const char *style = strstr(line, " style=\"s"), *from = strchr(line, '>'),
                       *to = strstr(line, "</text>");
            m->size = strtod(style + 9, NULL);
            m->y += 0.716 * m->size;
            snprintf(m->text, sizeof m->text, "%.*s", (int)(to - from - 1), from + 1);
        }
        count++;
    }
    if (f) fclose(f);
}

static size_t bytes;

static cairo_status_t add(void *closure, const unsigned char *data, unsigned n)
{
    (void)closure;
    (void)data;
    bytes += n;
    return CAIRO_STATUS_SUCCESS;
}

static void draw_text(cairo_t *c, PangoLayout *layout, PangoFontDescription *font, const mark *m, int no)
{
    char own[256];
    const char *at = strstr(m->text, "{reference}"), *text = m->text;
    if (at) {
        snprintf(own, sizeof own, "%.*s%d%s", (int)(at - text), text, no, at + 11);
        text = own;
    }
    pango_font_description_set_absolute_size(font, m->size * PANGO_SCALE);
    pango_layout_set_font_description(layout, font);
    pango_layout_set_text(layout, text, -1);
    cairo_move_to(c, m->x, m->y);
    pango_cairo_show_layout_line(c, pango_layout_get_line_readonly(layout, 0));
}

static void make(int no)
{
    bytes = 0;
    cairo_surface_t *s = cairo_pdf_surface_create_for_stream(add, NULL, 210 * MM, 148 * MM);
    cairo_t *c = cairo_create(s);
    PangoLayout *layout = pango_cairo_create_layout(c);
    PangoFontDescription *font = pango_font_description_from_string("Liberation Sans");
    for (size_t i = 0; i < count; i++) {
        const mark *m = &marks[i];
        if (m->size > 0) {
            draw_text(c, layout, font, m, no);
            continue;
        }
        cairo_set_line_width(c, m->line);
        cairo_move_to(c, m->x, m->y);
        cairo_line_to(c, m->x + m->w, m->y + m->h);
        cairo_stroke(c);
    }
    pango_font_description_free(font);
    g_object_unref(layout);
    cairo_destroy(c);
    cairo_surface_destroy(s);
}

int main(int argc, char **argv)
{
    struct timespec a, b;
    if (argc < 2) return 2;
    read_page(argv[1]);
    make(0);
    clock_gettime(CLOCK_MONOTONIC, &a);
    for (int i = 0; i < 200; i++)
        make(i);
    clock_gettime(CLOCK_MONOTONIC, &b);
    double seconds = (double)(b.tv_sec - a.tv_sec) + (double)(b.tv_nsec - a.tv_nsec) / 1e9;
    printf("%-12s %.0f a second  %zu bytes\n", "pango/cairo", 200 / seconds, bytes);
    return 0;
}
