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

/* Makes every paper the dossier calls for (contracts, section 4), in that order; the arena owns them. Papers
 * are not made where a stop blocks them: then only dossier.json. What does not fit or has no glyph is a
 * finding of the dossier. */
SV_MUST_USE sv_status sv_papers_make(sv_dossier *dossier, const sv_paper **out, sv_error *err);
/* Writes them to `folder`/REFERENCE, whole or not at all. */
SV_MUST_USE sv_status sv_papers_write(const sv_paper *papers, const char *folder, const char *reference,
                                      sv_error *err);

#endif
