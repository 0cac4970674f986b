/* line.h - reading a command line against a command's table of options. */
#ifndef SV_LINE_H
#define SV_LINE_H

#include "cli/cli.h"

void sv_print_help(const sv_command *command, FILE *to);
/* Reads the words after the command's name and runs it; gives the exit status. */
int sv_line_run(const sv_command *command, int words, char **word);

#endif
