/* layout.h - a form and a dossier to the display list. */
#ifndef SV_PAPERS_LAYOUT_H
#define SV_PAPERS_LAYOUT_H

#include "base/node.h"
#include "papers/fit.h"

/* Lays out every sheet the dossier needs. `pages->arena` owns all of it. A character that no font has, a
 * character that may not stand on a paper, and a text below its least size are findings, whose place is the
 * path of the value. */
SV_MUST_USE sv_status sv_form_lay_out(const sv_world *world, sv_fonts *fonts, const sv_form *form,
                                      const sv_node *dossier, sv_pages *pages, sv_findings *findings,
                                      sv_error *err);

/* ---- shared by layout.c and layout_text.c --------------------------------------------------- */

/* A text that goes on on a later sheet. */
typedef struct sv_overflow {
    const char *title, *text;
    struct sv_overflow *next;
} sv_overflow;

typedef struct sv_layout {
    sv_fonts *fonts;
    sv_arena *arena;
    const sv_world *world;
    const sv_form *form;
    const sv_node *data_sheet;
    const sv_node *border_card;   /* what the tables say of the destination */
    const sv_node *statements;    /* what the invoice must say, from the table papers/statements */
    const sv_node *root, *record; /* record: of the repeat that is being drawn, else NULL */
    const char *record_path;
    size_t record_index;
    sv_pages *pages;
    sv_page *page;
    sv_findings *findings;
    sv_buf scratch;
    size_t sheet, sheets; /* number of this sheet; of all, 0 while it is not known */
    size_t drawn;         /* records of the repeat that stand already */
    int32_t row_end;      /* where the last row of the repeat ended on this sheet */
    bool tail_due;
    bool quiet;      /* measuring: no findings */
    bool last_sheet; /* none continues this one */
    bool failed;
    sv_overflow *overflow, **overflow_end;
} sv_layout;

/* The template's text with the paths filled in; valid as long as the arena. */
const char *sv_layout_expand(sv_layout *l, const char *pattern);
bool sv_layout_holds(sv_layout *l, const char *condition);
const char *sv_layout_value(sv_layout *l, const char *path);
const sv_node *sv_layout_node(sv_layout *l, const char *path);
/* The list of statements whose condition holds for this dossier. */
const sv_node *sv_layout_statements(sv_layout *l);
/* Makes the lists that are no part of the dossier, where the form repeats over them. */
void sv_layout_make_lists(sv_layout *l);
/* Place of a finding about what this pattern shows. */
const char *sv_layout_place(sv_layout *l, const char *pattern);
/* Draws a caption, text or field with the box moved to x, y; h is its height here. */
void sv_layout_words(sv_layout *l, const sv_item *item, int32_t x, int32_t y, int32_t h);
/* Draws lines that are fitted already. */
void sv_layout_lines(sv_layout *l, const sv_item *item, const sv_text_block *block, int32_t x, int32_t y,
                     int32_t h);
/* Height a text item needs at the least allowed size of its style; 0 when it is empty. */
int32_t sv_layout_needs(sv_layout *l, const sv_item *item, int32_t h);

#endif
