/* form.h - a form template, read: what stands where, in micrometres, and which part of the dossier fills it.
 *
 * The language of forms/NAME.xml is described in docs/forms.md and bound by forms/form.xsd. */
#ifndef SV_PAPERS_FORM_H
#define SV_PAPERS_FORM_H

#include "papers/page.h"

typedef enum sv_align { SV_ALIGN_START, SV_ALIGN_MIDDLE, SV_ALIGN_END } sv_align;

/* How a text gets into its box, in this order; what is left out is not tried. */
typedef enum sv_fit {
    SV_FIT_WRAP = 1,
    SV_FIT_SHRINK = 2,
    SV_FIT_CONTINUE = 4,
    SV_FIT_WRAP_FIRST = 8,
    SV_FIT_LEVEL =
        16 /* from the top of the box, with room for accents: texts beside each other stand level */
} sv_fit;

typedef struct sv_style {
    const char *name;
    sv_font_style font;
    int32_t size, floor; /* hundredths of a point */
    int32_t leading;     /* percent of the size */
    uint8_t gray;
    struct sv_style *next;
} sv_style;

/* One row of the table papers/captions. */
typedef struct sv_caption {
    const char *key, *en, *fr, *number; /* number on this form, "" when none */
} sv_caption;

typedef enum sv_item_kind {
    SV_ITEM_BOX,
    SV_ITEM_RULE,
    SV_ITEM_CAPTION,
    SV_ITEM_TEXT, /* fixed text or a field */
    SV_ITEM_TICK,
    SV_ITEM_BARCODE,
    SV_ITEM_INPUT,
    SV_ITEM_GROUP,  /* children, moved together, under one condition */
    SV_ITEM_REPEAT, /* children once for each record of a list */
    SV_ITEM_TAIL,   /* children after the last row of the repeat */
    SV_ITEM_MORE    /* where texts go on that did not fit on an earlier sheet */
} sv_item_kind;

typedef struct sv_item {
    sv_item_kind kind;
    int line_number; /* in the template */
    int32_t x, y, w, h;
    int32_t line, pitch; /* stroke; module of a barcode or least height of a row */
    int32_t limit;       /* of a tail: the lowest line of the sheet it may reach */
    uint8_t gray;
    bool filled, dashed, french, english, stacked, no_number;
    unsigned rows; /* most rows on a sheet, 0: as many as there is room for */
    unsigned fit;
    sv_align align, valign;
    const sv_style *style;
    sv_caption caption;
    const char *name, *text, *path, *when, *unless;
    struct sv_item *first, *next;
    struct sv_kept_block
        *kept; /* words that are the same on every paper, as they were fitted last; else NULL */
} sv_item;

typedef struct sv_sheet {
    const char *name;
    int32_t w, h;
    const char *next_name, *then_name;
    struct sv_sheet *continued; /* the sheet for what does not fit on this one, NULL: none */
    struct sv_sheet *then;      /* the sheet that always follows this one and its continuations, NULL: none */
    sv_item *first;
    struct sv_sheet *next;
} sv_sheet;

/* Belongs to the press, as the form does. */
struct sv_kept_block {
    uint64_t age;
    int32_t h;
    struct sv_text_block *block;
};

typedef struct sv_form {
    const char *name, *title, *language, *numbers, *statements;
    sv_style *styles;
    sv_sheet *sheets;
} sv_form;

/* The template of that name: built in ("cn23"), kept by the press once read, or the file at `path` when it is
 * not NULL, checked against forms/form.xsd. A bad template gives SV_BAD_FORMAT with file:line and the reason.
 */
SV_MUST_USE sv_status sv_form_of(sv_press *press, const char *name, const char *path, const sv_form **out,
                                 sv_error *err);

/* Reads a template from memory. `checked`: validate it against the schema. */
SV_MUST_USE sv_status sv_form_read(const sv_world *world, sv_arena *arena, const char *file, const char *text,
                                   size_t bytes, bool checked, sv_form **out, sv_error *err);

/* Names the first path of the template that the table papers/paths does not have: SV_BAD_FORMAT with
 * file:line. */
SV_MUST_USE sv_status sv_form_check_paths(const sv_world *world, sv_arena *arena, const char *file,
                                          const sv_form *form, sv_error *err);

#endif
