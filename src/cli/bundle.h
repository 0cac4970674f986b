/* bundle.h - the papers of many parcels in one PDF to print, in the order of packing. */
#ifndef SV_BUNDLE_H
#define SV_BUNDLE_H

#include "cli/cli.h"

/* A bundle is cut after so many parcels, so that memory stays flat and a jam in the printer costs little. */
#define SV_BUNDLE_PARCELS 200

typedef struct sv_bundle sv_bundle;

/* `stock` names a row of the table papers/stock, NULL: each paper on its own size. NULL when out of memory.
 */
sv_bundle *sv_bundle_new(const char *folder, const char *stock);
/* Adds the papers of a dossier that is not stopped; writes bundle-001.pdf, bundle-002.pdf, ... as they fill.
 */
sv_status sv_bundle_add(sv_bundle *b, const sv_dossier *d, sv_error *err);
/* Writes what is left. */
sv_status sv_bundle_finish(sv_bundle *b, sv_error *err);
size_t sv_bundle_count(const sv_bundle *b); /* files written */
void sv_bundle_free(sv_bundle *b);

#endif
