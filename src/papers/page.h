/* page.h - the display list: what stands on each page, before any pen. One layout, two pens (PDF, SVG).
 *
 * Lengths are integer micrometres from the top left corner, sizes of type hundredths of a point. Marks stand
 * in reading order. */
#ifndef SV_PAPERS_PAGE_H
#define SV_PAPERS_PAGE_H

#include "papers/font.h"

typedef enum sv_mark_kind {
    SV_MARK_BOX,   /* a rectangle: outlined when line > 0, filled when `filled` */
    SV_MARK_RULE,  /* a straight line from x, y to x + w, y + h */
    SV_MARK_TEXT,  /* `text` with its baseline starting at x, y */
    SV_MARK_BARS,  /* modules of a barcode in the rectangle */
    SV_MARK_TICK,  /* the cross of a ticked box */
    SV_MARK_INPUT, /* a place to fill in on screen */
    SV_MARK_FIELD, /* where a value stands: `name`, and its `path` in the dossier; only when `fields` was
                      asked for */
    SV_MARK_PLACE  /* a whole page, moved to x, y and perhaps turned a quarter clockwise */
} sv_mark_kind;

typedef struct sv_mark {
    sv_mark_kind kind;
    int32_t x, y, w, h;
    int32_t line; /* width of the stroke */
    uint8_t gray; /* 0 black to 255 white */
    bool filled, dashed, turned;
    const struct sv_page *page; /* SV_MARK_PLACE */
    int32_t size;
    const sv_shaped *text;
    const uint8_t *module; /* SV_MARK_BARS: 1 dark, 0 light */
    size_t modules;
    const char *name; /* of the field or caption it belongs to: the accessible name */
    const char *path; /* SV_MARK_FIELD: in the dossier */
    struct sv_mark *next;
} sv_mark;

/* An entry of the outline that leads to the page. */
typedef struct sv_page_label {
    const char *text;
    struct sv_page_label *next;
} sv_page_label;

typedef struct sv_page {
    int32_t w, h;
    sv_page_label *label;
    sv_mark *first, *last;
    struct sv_page *next;
} sv_page;

typedef struct sv_pages {
    sv_arena *arena;
    const char *title, *language;
    sv_page *first, *last;
    size_t count;
    bool fields; /* wanted: where the values stand, for input boxes over the drawing */
} sv_pages;

sv_page *sv_page_add(sv_pages *pages, int32_t w, int32_t h);             /* NULL when out of memory */
sv_mark *sv_mark_add(sv_pages *pages, sv_page *page, sv_mark_kind kind); /* the same */

void sv_page_name(sv_pages *pages, sv_page *page, const char *label); /* adds to its outline entries */

/* Lays the pages several to a sheet of the stock (micrometres), in their order, with marks to cut along. A
 * page that is larger than the sheet both ways gives SV_USAGE. */
SV_MUST_USE sv_status sv_impose(const sv_pages *pages, int32_t w, int32_t h, bool cut_marks, sv_pages *out,
                                sv_error *err);

/* A file carried inside the PDF. */
typedef struct sv_attachment {
    const char *name, *mime, *description;
    const void *bytes;
    size_t length;
    struct sv_attachment *next;
} sv_attachment;

/* Writes all pages as one PDF. Same pages, same bytes: no date, no identifier. `fillable`: the places to fill
 * in become text fields of the PDF. */
SV_MUST_USE sv_status sv_pdf_write(sv_fonts *fonts, const sv_pages *pages, const sv_attachment *attachments,
                                   bool fillable, sv_buf *out, sv_error *err);
/* Writes one page as an SVG drawing with real text. */
SV_MUST_USE sv_status sv_svg_write(const sv_page *page, const char *title, const char *language, sv_buf *out);

/* Content stream of one page, in points from the bottom left. The uses grow with what the page needs. */
typedef struct sv_faces_used {
    sv_arena *arena;
    sv_face_use *use;
    size_t count, room;
} sv_faces_used;
SV_MUST_USE bool sv_pdf_content(const sv_page *page, sv_faces_used *faces, sv_buf *out);

#endif
