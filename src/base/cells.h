/* cells.h - the types of a table's columns. */
#ifndef SV_CELLS_H
#define SV_CELLS_H

#include <stdbool.h>

bool sv_cell_type_known(const char *type);
/* NULL when the cell is as its type asks, else what is wrong, in words. */
const char *sv_cell_wrong(const char *type, const char *cell);
/* A day of the calendar, ISO: 2026-11-25. */
bool sv_is_date(const char *text);

#endif
