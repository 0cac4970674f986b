/* utf8.h - walking and checking UTF-8. */
#ifndef SV_UTF8_H
#define SV_UTF8_H

#include "selvedge/base.h"

/* Valid UTF-8? On false, *at is the offset of the first bad byte. */
bool sv_utf8_valid(const char *text, size_t bytes, size_t *at);
/* Decodes one code point and moves on; U+FFFD for a bad byte. */
uint32_t sv_utf8_next(const char **text, const char *end);
size_t sv_utf8_put(char out[4], uint32_t code_point); /* writes 1 to 4 bytes, no end mark; gives how many */
size_t sv_utf8_length(const char *text);              /* code points */

#endif
