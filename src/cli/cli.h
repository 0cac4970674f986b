/* cli.h - what the commands share: the command line read by tables, the world opened, answers printed.
 *
 * A command is one file cmd_NAME.c with one sv_command; main.c lists them. Results go to standard output,
 * talk to standard error. Exit status: contracts, section 1 (enum below).
 */
#ifndef SV_CLI_H
#define SV_CLI_H

#include <stdio.h>

#include "base/buf.h"
#include "base/world.h"
#include "selvedge/parcel.h"

enum { SV_EXIT_DONE = 0, SV_EXIT_STOP = 1, SV_EXIT_USAGE = 2, SV_EXIT_FORMAT = 3, SV_EXIT_SYSTEM = 4 };

typedef struct sv_option {
    const char *name;  /* without the two hyphens; NULL ends the list */
    const char *value; /* what stands after it, in capitals; NULL: a flag */
    const char *help;
} sv_option;

/* The options by which a piece is told, shared by the commands that ask about one (contracts, section 1). */
#define SV_PIECE_OPTIONS                                                                                     \
    {"garment", "WORD", "what it is: jumper, jeans, ankle boots"},                                           \
        {"gender", "WORD", "men women boys girls baby unisex none"},                                         \
        {"construction", "WORDS", "knit woven felt leather fur plastic ... and coated, laminated, bonded"},  \
        {"fibre", "LABEL", "the label: \"shell 60 cotton, 40 polyester; lining 100 viscose\""},              \
        {"features", "WORDS", "what else is seen, apart by ; : \"full zip; hood; lined\""},                  \
        {"condition", "WORD", "new used used-unsold-stock refurbished"},                                     \
    {                                                                                                        \
        "presentation", "WORD", "single bulk"                                                                \
    }

typedef struct sv_words sv_words;
typedef struct sv_command {
    const char *name;
    const char *summary;      /* one line, for the list of commands */
    const char *usage;        /* "selvedge address [OPTIONS]", lines apart by line feeds */
    const char *about;        /* a paragraph: what it answers, on which rules */
    const char *example;      /* one or more lines that work as they stand */
    const sv_option *options; /* beside those every command has: --as --table --csv --tsv --data --help */
    int (*run)(const sv_words *line);
} sv_command;

#define SV_MOST_OPTIONS 48
struct sv_words {
    const sv_command *command;
    const char
        *given[SV_MOST_OPTIONS]; /* value by option, in the order own options then common ones; NULL absent */
    const char **file;
    size_t files;
};

/* The value of an option, "" when it was not given ("yes" for a flag). */
const char *sv_opt(const sv_words *line, const char *name);
bool sv_has(const sv_words *line, const char *name);
/* How answers are asked for: 't' text, 'v' tsv, 'j' json, 'x' xml. */
char sv_as(const sv_words *line);
/* Today, ISO, in the time zone of the machine. */
const char *sv_today(char out[11]);
/* Opens the rooms named (SV_OPEN_...), with the user's data folder; on failure prints why and gives NULL and
 * the exit status. */
sv_world *sv_line_world(const sv_words *line, unsigned rooms, int *exit_status);
/* Prints "selvedge: text" to standard error and gives the exit status for the failure. */
int sv_line_fail(const sv_error *err);
int sv_line_usage(const sv_words *line, const char *format, ...) SV_PRINTF(2, 3);
int sv_exit_of(sv_status status);

/* Findings as a reader takes them in: severity word, message, place, remedy, source and date. Colour only
 * when `colour`. */
void sv_print_findings(sv_buf *out, const sv_findings *findings, bool colour);
bool sv_colour(void); /* standard output is a terminal and NO_COLOR is not set */
void sv_put_wrapped(sv_buf *out, const char *text, int indent, int width); /* words filled into lines */
/* Writes the buffer to standard output and empties it; false when the system refused. */
bool sv_flush(sv_buf *out);

/* The closing caution of every answer that rests on a rule: what it rests on, the oldest date, who decides.
 */
void sv_print_caution(sv_buf *out, const char *source, const char *as_of);

#endif
