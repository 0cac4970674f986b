/* border_charges.h - what the buyer of one piece will be asked to pay, for the command border. */
#ifndef SV_BORDER_CHARGES_H
#define SV_BORDER_CHARGES_H

#include "cli/cli.h"
#include "selvedge/duty.h"

/* One piece on its way: its facts, its code as far as the seller gave it, the words of the question. */
typedef struct sv_piece_asked {
    sv_end from, to;
    const sv_goods *goods; /* with its facts */
    const char *code;      /* of the seller, 6 digits or more; "" : the facts tell it */
    const char *date;      /* ISO, never empty */
} sv_piece_asked;

/* Classifies the piece and estimates the charges on it alone, by post and without its postage. *text is what
 * to print, in the arena; `out` says what it rests on and is NULL where nothing was reckoned. What is unsure
 * is added to `findings`. The world must have the rooms tariff and duty open. */
SV_MUST_USE sv_status sv_border_charges(const sv_world *world, sv_arena *arena, const sv_piece_asked *asked,
                                        const char **text, const sv_duty **out, sv_findings *findings);

#endif
