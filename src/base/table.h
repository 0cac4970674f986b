/* table.h - data tables: TSV text to rows of cells.
 *
 * The file: first line the column names, second line `#type` and a type for each column, then rows; other
 * lines that start with `#` are comments. One table a file, `data/ROOM/NAME.tsv`, known as "ROOM/NAME".
 * Built-in tables stand in the binary as src/gen/mktable.c made them ready, and are used where they lie; a
 * user's file of the same name in the data folder overrides ours row by row: the same key replaces, a key
 * with `-` before it removes, a new key is added. The user's file may leave out columns (they are then empty)
 * and the type line; `source` and `as_of` must be there and filled.
 *
 * Types: key (part of the row's key; unique together), text, text! (must be filled), int, dec, date, source
 * (must be filled; `memory` when nothing was read), as_of (date, must be filled, not after today), country
 * (two capitals, or `EU`, `any`), words(a|b|c) (one of these or empty), words!(a|b|c).
 */
#ifndef SV_TABLE_H
#define SV_TABLE_H

#include "base/buf.h"

typedef struct sv_table {
    const char *name; /* "atlas/places" */
    int columns;
    const char *const *column; /* names */
    const char *const *type;   /* types, "" where none was given */
    size_t rows;
    const char *text;            /* of all cells, each ended by a zero; \t \n \\ already turned back */
    size_t bytes;                /* of text; the first is a zero, which is the empty cell */
    const uint32_t *cell;        /* rows * columns: where in text it begins; read it by sv_cell */
    const uint8_t *users;        /* 1 where the row is the user's own; NULL when none is */
    const uint32_t *by_key;      /* row numbers in the order of their keys */
    const char *oldest, *newest; /* as_of of its rows, "" when it has none */
    size_t from_memory;          /* rows whose source is `memory` */
    int keys;                    /* how many columns make the key (the first `keys` with type key) */
} sv_table;

#define SV_NO_ROW ((size_t)-1)

int sv_table_column(const sv_table *t, const char *name); /* -1 when there is none */
static inline const char *sv_cell(const sv_table *t, size_t row, int column)
{
    return column < 0 ? "" : t->text + t->cell[row * (size_t)t->columns + (size_t)column];
}
/* The row whose first key column is `key` (the first of them where the key has more columns). */
size_t sv_table_find(const sv_table *t, const char *key);
/* For a run of rows with the same first key column: rows by_key[first] .. by_key[first + n - 1]. */
size_t sv_table_run(const sv_table *t, const char *key, size_t *first);

/* Reads one table. `name` is used in messages. With `strict` every cell is checked against its type. On a bad
 * cell: SV_BAD_FORMAT and file:line:column in `err`. Memory is the arena's. */
sv_status sv_table_read(sv_arena *arena, const char *name, const char *file, const char *text, size_t bytes,
                        bool strict, sv_table *out, sv_error *err);
/* A table made ready: puts it as one block without pointers (in the byte order of this machine; at a multiple
 * of 8) and takes such a block for a table, which lies in it from then on. Equal cells stand in it once. */
sv_status sv_table_store(const sv_table *t, sv_buf *out);
sv_status sv_table_map(sv_arena *arena, const char *name, const void *block, size_t bytes, sv_table *out,
                       sv_error *err);
/* Fills oldest, newest and from_memory. */
void sv_table_date(sv_table *t);
/* Lays the user's rows over ours; `mine` is consumed. */
sv_status sv_table_override(sv_arena *arena, sv_table *ours, const sv_table *mine, const char *file,
                            sv_error *err);

#endif
