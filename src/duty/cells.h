/* cells.h - reading the cells of a row by the names of their columns. */
#ifndef SV_DUTY_CELLS_H
#define SV_DUTY_CELLS_H

#include "duty/duty.h"

typedef struct duty_cells {
    const sv_table *t;
    size_t row;
    sv_arena *arena;
} duty_cells;

const char *duty_text(const duty_cells *c, const char *column);
sv_dec duty_number(const duty_cells *c, const char *column);
bool duty_yes(const duty_cells *c, const char *column, const char *word);
/* Which of the words (ended by NULL) the cell is; 0 when it is none. */
int duty_word(const duty_cells *c, const char *column, const char *const words[]);
/* "1000 down", "0.01 half-down"; empty is the minor unit, half up. */
duty_round duty_rounding(const duty_cells *c, const char *column);
duty_head duty_head_of(const duty_cells *c);
duty_case duty_case_of(const duty_cells *c);

#endif
