/* ubl_pen.h - writes XML elements so that none is ever empty: an element is begun only when a value is
 * written inside it (OASIS UBL 2.3, rules IND5 and IND9). */
#ifndef SV_UBL_PEN_H
#define SV_UBL_PEN_H

#include "base/buf.h"

#define SV_PEN_DEEPEST 32

typedef struct sv_pen {
    sv_buf *out;
    const char *open[SV_PEN_DEEPEST]; /* elements begun, outermost first */
    int depth, written;               /* of which the first `written` stand in the output */
} sv_pen;

/* Names must stay until the element is ended. */
void sv_pen_begin(sv_pen *pen, const char *element);
void sv_pen_end(sv_pen *pen);
/* An element that holds text; nothing when the text is blank. */
void sv_pen_text(sv_pen *pen, const char *element, const char *text);
/* With an attribute; a blank value leaves the attribute out. */
void sv_pen_with(sv_pen *pen, const char *element, const char *attribute, const char *value,
                 const char *text);
void sv_pen_with2(sv_pen *pen, const char *element, const char *attribute, const char *value,
                  const char *attribute2, const char *value2, const char *text);

#endif
