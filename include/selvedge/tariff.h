/* selvedge/tariff.h - facts -> HS 2022 heading and subheading, by the tables and the legal notes. */
#ifndef SELVEDGE_TARIFF_H
#define SELVEDGE_TARIFF_H

#include "selvedge/garment.h"

typedef enum sv_certainty { SV_OPEN, SV_LIKELY, SV_CERTAIN } sv_certainty;

/* One possible answer. */
typedef struct sv_candidate {
    const char *hs6;   /* six digits */
    const char *title; /* our own short English text for the subheading */
    const char *needs; /* what would have to be so, "" for the best one */
} sv_candidate;

/* One step of the reasoning, in the order it was taken. */
typedef struct sv_reason {
    const char *text; /* plain words, with the sums where there are any */
    const char *rule; /* "Section XI note 2(A)", "Chapter 61 note 4" */
    const char *source, *as_of;
} sv_reason;

typedef struct sv_heading {
    const char *hs6;     /* best single code, also when open; "" only when not even a chapter can be told */
    const char *heading; /* four digits */
    sv_certainty certainty;
    const sv_candidate *other; /* at most 4, best first */
    size_t others;
    const char *ask;      /* one plain question with its answers and the code each leads to; "" when none */
    const char *ask_fact; /* the fact it asks for, by name */
    const sv_reason *reason;
    size_t reasons;
    const char *why;            /* the reasons in one line */
    const char *edition;        /* "HS 2022" */
    const char *source, *as_of; /* oldest row it rests on */
} sv_heading;

/* `destination` may be "" (then the text of the notes comes first where practice differs); `date` is ISO and
 * picks the edition. `stated` is a code the seller already has, 6 to 12 digits, or "": agreement and
 * disagreement are findings at place "code". */
SV_MUST_USE sv_status sv_classify(const sv_world *world, sv_arena *arena, const sv_facts *facts,
                                  const char *destination, const char *date, const char *stated,
                                  sv_heading *out, sv_findings *findings);

/* Our own short text of a code of the edition in force on `date`; NULL when it is not in the list. */
const char *sv_hs_title(const sv_world *world, const char *code, const char *date);
const char *sv_certainty_word(sv_certainty c); /* open likely certain */

#endif
