/* selvedge/duty.h - the estimate of what is charged at the border, and by whom. An estimate, never a promise.
 */
#ifndef SELVEDGE_DUTY_H
#define SELVEDGE_DUTY_H

#include "selvedge/border.h"

typedef struct sv_duty_line {
    const char *hs6, *made_in;
    sv_dec goods; /* in the consignment's currency */
    sv_dec net_weight_g;
    int64_t quantity;
    sv_dec duty_rate_pct, vat_rate_pct; /* both known: arithmetic only */
} sv_duty_line;
typedef struct sv_consignment {
    const char *date;
    sv_end from, to;
    const char *situation;     /* sale gift return sample */
    const char *sender_status; /* private trader "" */
    const char *service;
    const char *scheme; /* scheme the seller collects under, "" for none */
    const char *currency;
    sv_dec freight, insurance;
    sv_dec fx_to_local; /* price of one unit of currency in the destination's; unknown: a dated table */
    const sv_duty_line *line;
    size_t lines;
} sv_consignment;
typedef struct sv_duty_part {
    sv_dec customs_value, duty, vat_base, vat, fees, total;
} sv_duty_part;
typedef struct sv_duty {
    const char *currency; /* the destination's */
    sv_duty_part whole;
    const sv_duty_part *line; /* one for each line of the consignment */
    bool known;               /* false: "charges likely, amount unknown" */
    sv_dec low, high;         /* of total charges */
    const char *collected_by; /* seller operator customs buyer nobody ... */
    const char *incoterm;
    const char *why, *source, *as_of;
    const char *fx_note; /* which exchange rate, of which day */
} sv_duty;
SV_MUST_USE sv_status sv_duty_estimate(const sv_world *world, sv_arena *arena, const sv_consignment *c,
                                       sv_duty *out, sv_findings *findings);

#endif
