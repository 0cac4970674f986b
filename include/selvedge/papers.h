/* selvedge/papers.h - the dossier on paper: PDF from form templates, UBL XML, data sheet, JSON. */
#ifndef SELVEDGE_PAPERS_H
#define SELVEDGE_PAPERS_H

#include "selvedge/parcel.h"

/* One file made in memory. */
typedef struct sv_paper {
    const char *name; /* "customs-declaration.pdf" */
    const void *bytes;
    size_t length;
    struct sv_paper *next;
} sv_paper;

typedef struct sv_papers_options {
    const char *template_file; /* replaces the built-in customs form; NULL: none does */
    bool fillable;             /* places to sign and date become fields of the PDF */
    bool card;                 /* border-card.pdf as well: all that is known of the destination's border */
} sv_papers_options;

/* Makes every paper the dossier calls for (contracts, section 4), in that order; the arena owns them. A
 * stopped dossier gives dossier.json alone. What does not fit or has no glyph becomes a finding of the
 * dossier and may stop it. `options` may be NULL. */
SV_MUST_USE sv_status sv_papers_make(sv_dossier *dossier, const sv_papers_options *options,
                                     const sv_paper **out, sv_error *err);
/* Writes them to `folder`/REFERENCE, each whole or not at all; papers of an earlier run that are no longer
 * called for are removed. Folders 0700, files 0600. */
SV_MUST_USE sv_status sv_papers_write(const sv_paper *papers, const char *folder, const char *reference,
                                      sv_error *err);
/* Once at the end of a run: waits until the disk has all of it. */
SV_MUST_USE sv_status sv_papers_settle(const char *folder, sv_error *err);
/* The name of a reference's folder: letters, digits, . _ - stay, other bytes become %XX. */
const char *sv_folder_name(sv_arena *arena, const char *reference);

/* ---- one paper from a form template --------------------------------------------------------- */

struct sv_node; /* the written form of the dossier, docs/dossier.md */
struct sv_buf;
struct sv_attachment; /* a file carried inside a PDF, src/papers/page.h */

typedef struct sv_form_options {
    const char *template_file; /* the user's own template in place of the built-in one; NULL: built in */
    const struct sv_attachment *attachments; /* NULL: none */
    bool fillable;                           /* places to sign and date become text fields of the PDF */
} sv_form_options;

/* Draws the form `name` ("cn23", "cn22", "invoice", "content-list", "address-label", ...: forms/NAME.xml)
 * over the dossier's written form and appends the PDF to `out`. `options` may be NULL. Working memory is the
 * arena's. What does not fit, has no glyph or may not stand on paper is a finding whose place is the path of
 * the value. Errors: SV_USAGE no such form; SV_BAD_FORMAT a bad template, with file:line; SV_SYSTEM no font,
 * naming the package; SV_NO_MEMORY. Same dossier, same bytes. */
SV_MUST_USE sv_status sv_form_pdf(sv_press *press, sv_arena *arena, const char *name,
                                  const struct sv_node *dossier, const sv_form_options *options,
                                  struct sv_buf *out, sv_findings *findings, sv_error *err);
/* The same as an SVG drawing of one sheet (from 0), with an invisible rectangle of class "field" over each
 * value that names it (data-name) and its path in the dossier (data-path); `*sheets`, when not NULL, gets how
 * many there are. */
SV_MUST_USE sv_status sv_form_svg(sv_press *press, sv_arena *arena, const char *name,
                                  const struct sv_node *dossier, const sv_form_options *options, size_t sheet,
                                  size_t *sheets, struct sv_buf *out, sv_findings *findings, sv_error *err);

/* One paper of a bundle. */
typedef struct sv_bundle_item {
    const char *form; /* name of the template */
    const struct sv_node *dossier;
    const char *label;         /* entry in the outline; NULL: none */
    const char *template_file; /* the user's own template; NULL: built in */
} sv_bundle_item;

typedef struct sv_bundle_options {
    const char *title; /* of the PDF */
    const char
        *stock; /* name in the table papers/stock: several papers to a sheet; NULL: each its own size */
    bool cut_marks;
} sv_bundle_options;

/* Several papers, of one parcel or of many, in the order given, as one PDF with an outline. Errors as
 * sv_form_pdf; SV_USAGE also for an unknown stock, or a paper that is larger than it. The caller cuts a long
 * run into bundles. */
SV_MUST_USE sv_status sv_bundle_pdf(sv_press *press, sv_arena *arena, const sv_bundle_item *item,
                                    size_t items, const sv_bundle_options *options, struct sv_buf *out,
                                    sv_findings *findings, sv_error *err);

#endif
