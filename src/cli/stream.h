/* stream.h - one question by options, or many by --table: the columns in, ours appended, in the same order.
 *
 * Contracts, section 1: every input column is kept, no row disappears; where an appended name stands in the
 * input, ours takes the name and the input's becomes given_NAME; a missing column is an empty cell. Memory
 * stays flat over the rows.
 */
#ifndef SV_STREAM_H
#define SV_STREAM_H

#include "base/rows.h"
#include "cli/cli.h"

typedef struct sv_answer {
    const char *
        *value; /* one for each appended name, "" at first; for "findings" it is written from `findings` */
    sv_findings findings;
    const char *text; /* --as text for a single question; NULL: the values as lines */
    bool bad;         /* the row counts for exit status 1 even without a stop among the findings */
} sv_answer;

typedef struct sv_stream {
    const char *const *reads;   /* names of columns, which are names of options too; ends with NULL */
    const char *const *appends; /* ends with NULL */
    /* Answers one row: cell[i] belongs to reads[i]. All memory from the arena, which is reset after the row.
     */
    sv_status (*answer)(void *state, sv_arena *arena, const char *const cell[], sv_answer *out,
                        sv_error *err);
    void *state;
} sv_stream;

/* Runs the job: over --table FILE, or over the options as a single row. Gives the exit status. */
int sv_stream_run(const sv_words *line, const sv_stream *job);

/* The parts, for a command that must see several rows at once: */
#define SV_MOST_NAMES 256
typedef struct sv_columns {
    const char *name[SV_MOST_NAMES]; /* printed names: the input's (given_NAME where taken), then ours */
    size_t inputs, all;
} sv_columns;
/* Where each read name stands in the rows (-1: missing). */
sv_status sv_columns_make(sv_columns *c, sv_arena *arena, const sv_rows *rows, const char *const *reads,
                          const char *const *appends, int at[], sv_error *err);
void sv_columns_head(const sv_columns *c, char as, sv_buf *out);
/* One row: the input's cells, then ours. `first`: no comma before it in JSON. */
void sv_columns_row(const sv_columns *c, char as, const char *const input[], const sv_answer *a, bool first,
                    sv_buf *out);
void sv_columns_foot(char as, bool any, sv_buf *out);
void sv_answer_clear(sv_answer *a, sv_arena *arena, const char *const *appends);
bool sv_answer_stops(const sv_answer *a);

#endif
