/* rows.h - reads a CSV (RFC 4180) or TSV file record by record, without holding it whole.
 *
 * TSV: a double quote is an ordinary character; \t, \n and \\ in a cell are turned back. CSV: quoted cells
 * may hold commas, quotes (doubled) and line breaks. A byte order mark and CR before LF are taken off. A
 * record with fewer cells than the first line has empty ones; with more, or a stray quote, or bytes that are
 * not UTF-8, it is SV_BAD_FORMAT with file:line:column.
 */
#ifndef SV_ROWS_H
#define SV_ROWS_H

#include "selvedge/base.h"

typedef struct sv_rows sv_rows;

#define SV_LONGEST_RECORD ((size_t)4 << 20)

/* format: 0 by the first line (a tab makes it TSV, else a comma CSV, else TSV), 'c', 't'. "-" is standard
 * input. */
SV_MUST_USE sv_status sv_rows_open(const char *path, int format, sv_rows **out, sv_error *err);
/* The same over a text in memory, which must stay. `name` is used in messages. */
SV_MUST_USE sv_status sv_rows_over(const char *name, const char *text, size_t bytes, int format,
                                   sv_rows **out, sv_error *err);
void sv_rows_close(sv_rows *rows);

size_t sv_rows_columns(const sv_rows *rows);
const char *sv_rows_column(const sv_rows *rows, size_t index);
int sv_rows_find(const sv_rows *rows, const char *name); /* -1 when there is none */
const char *sv_rows_name(const sv_rows *rows);           /* of the file, for messages */
/* The next record: as many cells as there are columns, in the arena. *cells is NULL at the end. *line: where
 * it began. */
SV_MUST_USE sv_status sv_rows_next(sv_rows *rows, sv_arena *arena, const char *const **cells, size_t *line,
                                   sv_error *err);

#endif
