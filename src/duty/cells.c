/* cells.c - reading the cells of a row by the names of their columns. */
#include "duty/cells.h"

#include <string.h>

const char *duty_text(const duty_cells *c, const char *column)
{
    return sv_cell(c->t, c->row, sv_table_column(c->t, column));
}

sv_dec duty_number(const duty_cells *c, const char *column)
{
    sv_dec value = SV_DEC_UNKNOWN;
    const char *text = duty_text(c, column);
    if (*text && !sv_dec_read(text, &value)) return SV_DEC_UNKNOWN;
    return value;
}

bool duty_yes(const duty_cells *c, const char *column, const char *word)
{
    return strcmp(duty_text(c, column), word) == 0;
}

int duty_word(const duty_cells *c, const char *column, const char *const words[])
{
    for (int i = 0; words[i]; i++) {
        if (duty_yes(c, column, words[i])) return i;
    }
    return 0;
}

duty_round duty_rounding(const duty_cells *c, const char *column)
{
    duty_round how = {SV_DEC_UNKNOWN, ROUND_HALF_UP};
    const char *text = duty_text(c, column), *blank = strchr(text, ' ');
    if (!blank) return how;
    if (!sv_dec_read(sv_copy_n(c->arena, text, (size_t)(blank - text)), &how.step)) return how;
    if (strcmp(blank + 1, "down") == 0) how.how = ROUND_DOWN;
    if (strcmp(blank + 1, "half-down") == 0) how.how = ROUND_HALF_DOWN;
    return how;
}

/* A column that a table does not have gives "". */
duty_head duty_head_of(const duty_cells *c)
{
    const char *from = duty_text(c, "from");
    return (duty_head){.id = sv_cell(c->t, c->row, 0),
                       .place = duty_text(c, "place"),
                       .from = strcmp(from, "always") == 0 ? "" : from,
                       .to = duty_text(c, "to"),
                       .note = duty_text(c, "note"),
                       .source = duty_text(c, "source"),
                       .as_of = duty_text(c, "as_of"),
                       .memory = duty_yes(c, "confidence", "memory")};
}

duty_case duty_case_of(const duty_cells *c)
{
    duty_case when = {duty_text(c, "situation"), duty_text(c, "service"), duty_text(c, "scheme"),
                      duty_text(c, "sender"), duty_text(c, "posted_from")};
    const char **each[] = {&when.situation, &when.service, &when.scheme, &when.sender, &when.posted};
    for (size_t i = 0; i < sizeof each / sizeof *each; i++) {
        if (!**each[i]) *each[i] = "any";
    }
    return when;
}
