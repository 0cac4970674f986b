/* barcode.h - Code 128 (ISO/IEC 15417), as dark and light modules. */
#ifndef SV_PAPERS_BARCODE_H
#define SV_PAPERS_BARCODE_H

#include "selvedge/base.h"

/* The modules of `text` without quiet zones; 1 is dark. False: cannot be encoded, or out of memory. */
SV_MUST_USE bool sv_code128(sv_arena *arena, const char *text, const uint8_t **modules, size_t *count);

/* Light modules that must stand free on each side. */
#define SV_CODE128_QUIET 10

#endif
