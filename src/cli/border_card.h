/* border_card.h - the card of a destination, for the command border. */
#ifndef SV_BORDER_CARD_H
#define SV_BORDER_CARD_H

#include "cli/cli.h"
#include "selvedge/border.h"

/* Prints the card; gives the exit status. `code` is how the user named the place. */
int sv_print_border_card(const sv_words *line, const sv_world *world, sv_end from, sv_end to,
                         const char *code);

#endif
