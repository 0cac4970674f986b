/* fit.h - a text into a box: lines, size, and what is left over. Nothing is ever cut. */
#ifndef SV_PAPERS_FIT_H
#define SV_PAPERS_FIT_H

#include "papers/form.h"

/* A stretch of one font style. */
typedef struct sv_span {
    sv_font_style font;
    const char *text;
    size_t bytes;
} sv_span;

typedef struct sv_text_line {
    const sv_shaped *const *piece; /* from left to right */
    uint32_t pieces;
    int64_t width, top, bottom; /* millionths of an em; ink above and below the baseline */
    bool rtl;
} sv_text_line;

typedef struct sv_text_block {
    int32_t size;                  /* hundredths of a point */
    int32_t ascent, pitch, height; /* micrometres: top to first baseline, between baselines, all */
    const sv_text_line *line;
    uint32_t lines;
    const char *rest; /* what goes on elsewhere (SV_FIT_CONTINUE); "" when all is here */
    bool too_small;   /* had to go below the floor of its style */
    uint32_t missing; /* a character that no installed font has; 0 none */
} sv_text_block;

/* Lays the spans, one text, into w by h micrometres. With h = 0 the height is what is needed at full size.
 * False only when out of memory. */
SV_MUST_USE bool sv_text_fit(sv_fonts *fonts, sv_arena *arena, const sv_span *span, size_t spans, int32_t w,
                             int32_t h, const sv_style *style, unsigned fit, sv_text_block *out);

#endif
