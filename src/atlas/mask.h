/* mask.h - making postcode forms ready. */
#ifndef SV_MASK_H
#define SV_MASK_H

#include "atlas/atlas.h"

/* Reads `mask` into the form; false when it is not one. */
bool sv_mask_make(const char *mask, sv_postcode_form *out);
/* The set of letter groups (one or two letters, apart by blanks) a code may begin with. */
#define SV_GROUP_BYTES ((26 * 27 + 7) / 8)
void sv_groups_make(const char *groups, uint8_t set[SV_GROUP_BYTES]);

#endif
