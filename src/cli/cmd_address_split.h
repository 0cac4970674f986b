/* cmd_address_split.h - the part of `selvedge address` that takes a whole address as it came. */
#ifndef SV_CMD_ADDRESS_SPLIT_H
#define SV_CMD_ADDRESS_SPLIT_H

#include "cli/cli.h"

/* Line breaks as they are typed on a command line, \n, made ones. */
const char *sv_typed_lines(sv_arena *arena, const char *text);
int sv_run_address_split(const sv_words *words); /* gives the exit status */

#endif
