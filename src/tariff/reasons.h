/* reasons.h - the steps of the reasoning, in plain words with the note each rests on. */
#ifndef SV_REASONS_H
#define SV_REASONS_H

#include "tariff/tariff.h"

#define SV_REASONS_MAX 20
typedef struct sv_reasons {
    sv_reason reason[SV_REASONS_MAX];
    size_t count;
} sv_reasons;

void sv_reason_add(sv_reasons *r, const char *text, const char *rule, const char *source, const char *as_of);
/* What was understood, what follows, the rules passed over and the one that decides, the sums. */
void sv_reasons_path(sv_reasons *r, sv_arena *arena, const sv_world *world, const sv_tariff *t,
                     const sv_facts *facts, const sv_known *known, const sv_path *path,
                     const sv_decision *decision);
/* Copies them out; `why` in one line; the oldest date. */
void sv_reasons_close(const sv_reasons *r, sv_arena *arena, sv_heading *out);
/* What would have to be so for a leaf to be the answer: where its way leaves what is usual. */
const char *sv_needs(const sv_tariff *t, sv_arena *arena, const sv_known *known, const sv_path *path);
/* The same for a single fact. */
const char *sv_needs_one(const sv_tariff *t, sv_arena *arena, const sv_condition *step);

#endif
