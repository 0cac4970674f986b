/* selvedge/duty.h - the estimate of what is charged at the border, and by whom. An estimate, never a promise.
 *
 * The rules are the rows of data/duty/: each has a place, the days it holds, its source and how far it was
 * read. A row from memory gives no figure: the part that rests on it is unknown.
 */
#ifndef SELVEDGE_DUTY_H
#define SELVEDGE_DUTY_H

#include "selvedge/border.h"

/* Texts may be NULL or "" for unknown; amounts that are not known are unknown decimals. */
typedef struct sv_duty_line {
    const char *hs6;     /* 6 to 12 digits; "" unknown */
    const char *made_in; /* country where the goods were made */
    const char *wearer;  /* men women boys girls baby, "" unknown: children's clothing can bear less tax */
    sv_dec goods;        /* of the whole line, in the consignment's currency */
    sv_dec net_weight_g; /* of the whole line */
    int64_t quantity;    /* pieces or pairs; 0 counts as 1 */
    sv_dec duty_rate_pct, vat_rate_pct; /* both known on every line: arithmetic only */
} sv_duty_line;

typedef struct sv_consignment {
    const char *date;          /* ISO, the day whose rules count; "" : the world's today */
    sv_end from, to;           /* from may be empty */
    const char *situation;     /* sale gift return sample; "" is sale */
    const char *sender_status; /* private trader "" */
    const char *service;       /* "" is the post; a name with "courier" in it is a courier */
    const char *scheme;        /* scheme the seller collects under, "" for none */
    const char *currency;      /* ISO 4217; "" : the destination's */
    sv_dec freight, insurance; /* of the whole consignment */
    sv_dec fx_to_local; /* price of one unit of currency in the destination's; unknown: a dated table */
    const sv_duty_line *line;
    size_t lines;
} sv_consignment;

/* In the destination's currency, with its digits. What cannot be told is an unknown decimal. */
typedef struct sv_duty_part {
    sv_dec customs_value, duty, vat_base, vat, fees, total, low, high;
} sv_duty_part;

typedef struct sv_duty {
    const char *currency; /* the destination's */
    sv_duty_part whole;
    const sv_duty_part *line; /* one for each line of the consignment; they sum to the whole */
    bool known;               /* false: "charges likely, amount unknown" */
    bool lower_bound;         /* more may come on top of the figure */
    sv_dec low, high;         /* of total charges; high unknown when there is no upper bound */
    const char *collected_by; /* seller operator customs, "seller operator", or nobody */
    const char *incoterm;     /* that follows: DAP or DDP (Incoterms 2020) */
    const char *tax_name;     /* VAT, GST, ...; "none" */
    const char *why, *source, *as_of;
    const char *fx_note; /* which exchange rate, of which day; "" when none was needed */
} sv_duty;

/* Estimates the charges on a consignment by the rows that hold on its date. The arena owns the texts. What is
 * unsure becomes a finding with its source. Errors: SV_NO_MEMORY; SV_USAGE when the world was opened without
 * SV_OPEN_DUTY. Method: data/duty/methods.tsv; order: convert each amount and round it, relief, duty, tax,
 * fees. */
SV_MUST_USE sv_status sv_duty_estimate(const sv_world *world, sv_arena *arena, const sv_consignment *c,
                                       sv_duty *out, sv_findings *findings);

/* A destination or place of posting as the contracts write it: ISO 3166-1 in any case, XK, ISO 3166-2 (ES-CN,
 * US-CA), XI, EU (one destination; the members' taxes differ). place NULL: not known. */
sv_end sv_duty_end(const sv_world *world, sv_arena *arena, const char *code);
/* The answer in lines of English for the seller; the arena owns it. */
const char *sv_duty_words(sv_arena *arena, const sv_duty *duty, const sv_end *to);

/* What a destination charges on a parcel by post, in short: reliefs, rates of the tax, schemes, fees. */
typedef struct sv_duty_limit {
    const char *text; /* plain words; the arena or the world owns it */
    const char *source, *as_of;
    bool memory; /* its source was not read: it gives no figure */
} sv_duty_limit;
/* Fills `out` as far as `room` goes, in the order the rules are applied on `date` (ISO); gives how many. None
 * where the places are inside one customs and tax union, or where nothing is on file. */
size_t sv_duty_limits(const sv_world *world, sv_arena *arena, sv_end from, sv_end to, const char *date,
                      sv_duty_limit *out, size_t room);

/* What an examiner would doubt about the value of a piece. Amounts in `currency`, each of one piece. */
typedef struct sv_value_facts {
    const char *place; /* of the findings: "piece[2].unit_value" */
    const char *currency;
    sv_dec price;          /* what the buyer pays */
    sv_dec usual;          /* the seller's own usual price for such a piece; may be unknown */
    const char *material;  /* main fibre or material by its generic name; "" unknown */
    bool free;             /* an extra that was not paid for: still valued for customs */
    const char *situation; /* as in the consignment */
} sv_value_facts;
SV_MUST_USE sv_status sv_value_advise(const sv_world *world, sv_arena *arena, const sv_value_facts *facts,
                                      sv_findings *findings);

/* The note to the buyer, in `language` ("" : the destination's first language that the tables have, else
 * English). `contents`: one line a piece; `item_number` may be "". *used is the language taken. The arena
 * owns the text. */
SV_MUST_USE sv_status sv_buyer_note(const sv_world *world, sv_arena *arena, const sv_duty *duty,
                                    const sv_end *to, const char *const contents[], size_t lines,
                                    const char *item_number, const char *language, const char **text,
                                    const char **used);

#endif
