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

/* Makes every paper the dossier calls for (contracts, section 4), in that order; the arena owns them. A
 * stopped dossier gives dossier.json alone. What does not fit or has no glyph becomes a finding of the
 * dossier and may stop it. `template_file` replaces the built-in customs form; NULL: none does. */
SV_MUST_USE sv_status sv_papers_make(sv_dossier *dossier, const char *template_file, const sv_paper **out,
                                     sv_error *err);
/* Writes them to `folder`/REFERENCE, each whole or not at all; papers of an earlier run that are no longer
 * called for are removed. Folders 0700, files 0600. */
SV_MUST_USE sv_status sv_papers_write(const sv_paper *papers, const char *folder, const char *reference,
                                      sv_error *err);
/* Once at the end of a run: waits until the disk has all of it. */
SV_MUST_USE sv_status sv_papers_settle(const char *folder, sv_error *err);
/* The name of a reference's folder: letters, digits, . _ - stay, other bytes become %XX. */
const char *sv_folder_name(sv_arena *arena, const char *reference);

#endif
