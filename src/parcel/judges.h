/* judges.h - the judges of a parcel, each adding its part to the dossier. prepare.c holds their order.
 *
 * A judge reads the parcel and what earlier judges derived, asks its room, and writes the answer down. It
 * does no I/O and keeps no state. What it has to say it says as findings of the dossier.
 */
#ifndef SV_JUDGES_H
#define SV_JUDGES_H

#include "selvedge/parcel.h"

typedef sv_status (*sv_judge)(sv_dossier *d, sv_error *err);

sv_status sv_judge_frame(sv_dossier *d, sv_error *err);     /* date, category, currency, both ends */
sv_status sv_judge_addresses(sv_dossier *d, sv_error *err); /* sender and addressee, read and laid out */
sv_status sv_judge_declaration_need(sv_dossier *d, sv_error *err); /* must one go with these goods at all */
sv_status sv_judge_pieces(sv_dossier *d, sv_error *err);           /* facts and content line of each piece */
sv_status sv_judge_values(sv_dossier *d, sv_error *err);   /* money: discount spread, extras, totals */
sv_status sv_judge_weights(sv_dossier *d, sv_error *err);  /* net, gross, service limits */
sv_status sv_judge_headings(sv_dossier *d, sv_error *err); /* HS code of each line */
sv_status sv_judge_form(sv_dossier *d, sv_error *err);     /* none, CN 22 or CN 23 */
sv_status sv_judge_goods(sv_dossier *d, sv_error *err);    /* what may not go */
sv_status sv_judge_numbers(sv_dossier *d, sv_error *err);  /* item, scheme, tax and customs numbers */
sv_status sv_judge_duty(sv_dossier *d, sv_error *err);     /* what the border will cost */
sv_status sv_judge_whole(sv_dossier *d,
                         sv_error *err); /* what only the whole shows: UPU's causes of return */
sv_status sv_judge_stops(sv_dossier *d, sv_error *err);   /* which stops a recorded reason lifts */
sv_status sv_dossier_write(sv_dossier *d, sv_error *err); /* the tree */

/* "piece[2].made_in": pieces count from 1, as the lines of the form do. */
const char *sv_piece_place(sv_dossier *d, size_t index, const char *field);
/* Minor units of an amount; -1 when unknown; a finding at `place` when it has more digits than the currency.
 */
int64_t sv_minor(sv_dossier *d, sv_dec amount, const char *place);
/* Shares `total` among parts by weight, each rounded down, the rest to the largest part (first of equals);
 * the shares sum to `total` exactly. All weights zero: all to the first. */
void sv_spread(int64_t total, const int64_t weight[], int64_t share[], size_t n);

#endif
