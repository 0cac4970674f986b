/* buf.h - the growing output buffer, with a limit and a sticky failure: after the first failure adding does
 * nothing, and the state is asked for once, at the end. One escaper for each format; raw is sv_put. */
#ifndef SV_BUF_H
#define SV_BUF_H

#include "selvedge/base.h"

typedef struct sv_buf {
    char *data; /* always terminated once something was added; NULL before */
    size_t length, capacity, limit;
    sv_status failed; /* SV_OK, SV_NO_MEMORY or SV_LIMIT */
} sv_buf;

#define SV_BUF_LIMIT ((size_t)256 << 20)

void sv_buf_init(sv_buf *b, size_t limit); /* 0: SV_BUF_LIMIT */
void sv_buf_free(sv_buf *b);
void sv_buf_reset(sv_buf *b); /* empties it, keeps the memory, clears the failure */

void sv_put(sv_buf *b, const char *text);
void sv_put_n(sv_buf *b, const void *bytes, size_t n);
void sv_put_char(sv_buf *b, char c);
void sv_put_format(sv_buf *b, const char *format, ...) SV_PRINTF(2, 3);
void sv_put_int(sv_buf *b, int64_t value);

void sv_put_xml(sv_buf *b, const char *text); /* text and attribute values; control characters are left out */
void sv_put_json(sv_buf *b, const char *text); /* with its quotes */
void sv_put_tsv(sv_buf *b, const char *text);  /* contracts: \t \n \\ and blanks for other controls */
void sv_put_csv(sv_buf *b, const char *text);  /* RFC 4180, quoted where needed */
void sv_put_html(sv_buf *b, const char *text);

/* The text as a copy in the arena. */
const char *sv_buf_copy(const sv_buf *b, sv_arena *arena);

#endif
