/* split_infer.h - what the two halves of the search for a country share: split_infer.c and split_shape.c. */
#ifndef SV_SPLIT_INFER_H
#define SV_SPLIT_INFER_H

#include "address/split.h"

/* The place number with most votes, `but` (-1: none) left out; -1 when there are no places. */
int sp_leader(const sp_job *j, const int16_t *score, int but);
/* Words that a postcode may begin with, kept in the job. */
void sp_find_candidates(sp_job *j);
void sp_vote_shapes(const sp_job *j, int16_t *score);
void sp_vote_codes(const sp_job *j, int16_t *score);
void sp_vote_signs(const sp_job *j, int16_t *score);

#endif
