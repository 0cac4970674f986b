/* border_card.h - the card of a destination, for the command border. */
#ifndef SV_BORDER_CARD_H
#define SV_BORDER_CARD_H

#include "cli/cli.h"
#include "selvedge/border.h"

/* Prints the card; gives the exit status. `code` is how the user named the place. */
int sv_print_border_card(const sv_words *line, const sv_world *world, sv_end from, sv_end to,
                         const char *code);

/* Which customs form a parcel between these places takes, in a sentence of the arena; "" when it cannot be
 * told. */
const char *sv_form_words(const sv_world *world, sv_arena *arena, sv_end from, sv_end to);

#endif
