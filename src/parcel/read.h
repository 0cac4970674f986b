/* read.h - the parts of the reader of parcels, private to this folder. */
#ifndef SV_READ_H
#define SV_READ_H

#include "parcel/building.h"

/* ---- references of a run ------------------------------------------------------------------------ */

/* The next references come from `file`. False when out of memory. */
SV_MUST_USE bool sv_references_file(sv_references *r, const char *file);
/* Notes a reference. *file is NULL when it is new, else where it stood first. False when out of memory. */
SV_MUST_USE bool sv_references_add(sv_references *r, const char *reference, size_t line, const char **file,
                                   size_t *first);

/* ---- profiles ----------------------------------------------------------------------------------- */

void sv_profile_clear(sv_profile *p);
/* Reads the text of a profile; what cannot be understood is a finding at `sender`. */
SV_MUST_USE sv_status sv_profile_read(const char *folder, const char *name, const char *text, sv_profile *out,
                                      sv_findings *findings, sv_error *err);
/* The profiles of a folder (NULL: none), the last files kept. */
typedef struct sv_profiles sv_profiles;
sv_profiles *sv_profiles_new(const char *folder);
void sv_profiles_free(sv_profiles *p);
/* A missing profile is a finding, and `out` then empty; so it is for an empty name, without a finding. */
SV_MUST_USE sv_status sv_profiles_find(sv_profiles *p, const char *name, sv_profile *out,
                                       sv_findings *findings, sv_error *err);

/* ---- the two forms ------------------------------------------------------------------------------ */

/* Both are opened over a file that was looked through whole where it can be read twice, so that a file that
 * is not of its form is refused before the first parcel. `next` gives NULL at the end, and a parcel without
 * its profile. */
typedef struct sv_orders sv_orders;
SV_MUST_USE sv_status sv_orders_open(const char *path, int format, sv_orders **out, sv_error *err);
SV_MUST_USE sv_status sv_orders_next(sv_orders *o, sv_arena *arena, const sv_parcel **out, sv_error *err);
void sv_orders_close(sv_orders *o);

typedef struct sv_parcel_xml sv_parcel_xml;
SV_MUST_USE sv_status sv_parcel_xml_open(const char *path, sv_parcel_xml **out, sv_error *err);
SV_MUST_USE sv_status sv_parcel_xml_next(sv_parcel_xml *x, sv_arena *arena, const sv_parcel **out,
                                         sv_error *err);
void sv_parcel_xml_close(sv_parcel_xml *x);

#endif
