/* selvedge/border.h - what may go, which form, which numbers: rules between two places on a date. */
#ifndef SELVEDGE_BORDER_H
#define SELVEDGE_BORDER_H

#include "selvedge/atlas.h"
#include "selvedge/tariff.h"

/* An end of the way: a place and, where its rules differ, the territory in it. */
typedef struct sv_end {
    const sv_place *place;         /* NULL: a whole union, or anywhere; `region` says which */
    const sv_territory *territory; /* may be NULL */
    const char *region; /* ISO 3166-2 code where a law of that region matters ("US-CA"), "EU" or "any" without
                           a place; NULL or "" when it is not known */
} sv_end;

/* Reads a code of the contracts: ISO 3166-1, XK, ISO 3166-2, a territory's id (DE-helgoland), EU, any. False
 * when it is none of them. */
bool sv_end_read(const sv_world *world, sv_arena *arena, const char *code, sv_end *out);
/* The end of an address: its place, the territory by postcode or name, the region where border laws of its
 * own hold there (California: "CA", "California" or its postcodes). `country` is an ISO code. */
sv_end sv_end_of_address(const sv_world *world, const char *country, const char *postcode, const char *region,
                         const char *city);

/* Must a customs declaration go with goods between these places at all? */
typedef struct sv_declaration {
    bool needed;
    bool doubtful; /* the row says that practice differs: declare */
    const char *why;
    const char *rule; /* id of the row it rests on */
    const char *source, *as_of;
} sv_declaration;
SV_MUST_USE sv_status sv_border_declaration(const sv_world *world, sv_arena *arena, sv_end from, sv_end to,
                                            const char *date, sv_declaration *out);

/* Which form: "none", "CN22" or "CN23", for goods of this value and weight by this service. */
typedef struct sv_form_choice {
    const char *form;
    const char *why;
    const char *source, *as_of;
} sv_form_choice;
SV_MUST_USE sv_status sv_border_form(const sv_world *world, sv_arena *arena, sv_end from,
                                     const sv_declaration *need, const char *service, const char *category,
                                     size_t lines, int64_t value_minor, const char *currency, int64_t gross_g,
                                     const char *date, sv_form_choice *out, sv_findings *findings);

/* May these goods go? */
typedef enum sv_verdict { SV_NO_RESTRICTION_KNOWN, SV_BORDER_CAUTION, SV_BORDER_PROHIBITED } sv_verdict;
typedef struct sv_goods {
    const char *item;         /* free text, may be "" */
    const sv_facts *facts;    /* may be NULL */
    const char *hs6;          /* may be "" */
    const char *condition;    /* as in the contracts */
    const char *situation;    /* sale gift return sample */
    const char *presentation; /* single bulk */
    sv_dec value;             /* of one unit, may be unknown */
    const char *currency;
    sv_dec net_weight_g;
    const char *documents;     /* apart by ; */
    const char *sender_status; /* private trader, "" unknown */
} sv_goods;
typedef struct sv_border_answer {
    sv_verdict verdict;
    const char *why, *remedy, *source, *as_of;           /* of the row that decided; as_of the oldest used */
    const char *document_licence, *document_certificate; /* what CN 23 fields 12, 13 get from `documents` */
} sv_border_answer;
/* Findings are added for every row that speaks; `place` is their place ("piece[2]"). */
SV_MUST_USE sv_status sv_border_goods(const sv_world *world, sv_arena *arena, sv_end from, sv_end to,
                                      const sv_goods *goods, const char *date, const char *place,
                                      sv_border_answer *out, sv_findings *findings);
const char *sv_verdict_word(sv_verdict v); /* ok caution prohibited */

/* ---- beside the goods ---------------------------------------------------------------------------------- */

/* A number the destination asks for. Texts are never NULL. */
typedef struct sv_asked {
    const char *who;                  /* addressee, seller, parcel */
    const char *kinds;                /* of sv_number_check, apart by blanks; "" where no form is known */
    const char *what, *place, *goods; /* its name; where it stands; for which goods */
    bool must;                        /* of everyone, not only of some */
    const char *source, *as_of;
} sv_asked;
/* Fills `out` as far as `room` goes; returns how many rows there are. */
size_t sv_border_asked(const sv_world *world, sv_end to, sv_asked *out, size_t room);
/* The addressee's number of a parcel against what the destination asks of the addressee: missing, or not of
 * its form. `number` may be "". Findings at "addressee_number". */
SV_MUST_USE sv_status sv_border_addressee_number(const sv_world *world, sv_arena *arena, sv_end to,
                                                 const char *number, sv_findings *findings);

/* Tax schemes of one parcel. Several schemes or numbers in it are a stop: a consignment has one. A number
 * that is not the sender's own is a marketplace's and serves its order alone. */
typedef struct sv_scheme_use {
    sv_end to;
    const char *scheme, *scheme_number; /* of the parcel; several apart by ; or , */
    const char *own;                    /* of the sender's profile: `IOSS IM...; VOEC ...` */
    const char *orders;                 /* numbers of the orders in it, apart by blanks */
} sv_scheme_use;
SV_MUST_USE sv_status sv_border_schemes(const sv_world *world, sv_arena *arena, const sv_scheme_use *use,
                                        sv_findings *findings);
/* May the scheme's number stand on the outside of the parcel? False by default, also for unknown schemes. */
bool sv_border_scheme_outside(const sv_world *world, const char *scheme);
/* Several parcels on one day to one buyer: adds the caution that they may be valued together. */
void sv_border_same_day(const sv_world *world, sv_end to, const char *place, sv_findings *findings);

/* What the sending country asks when goods leave. Texts are never NULL. */
typedef struct sv_leaving {
    bool over;                  /* the value is above the limit: an export declaration is due */
    const char *limit;          /* "1000 EUR", "" where none is known */
    const char *rule;           /* what holds for this value */
    const char *written;        /* what stands on the form for it, "" nothing */
    const char *permits;        /* goods that need an export permit, "" none named */
    const char *source, *as_of; /* "" when no customs border is crossed */
} sv_leaving;
/* `value_minor` -1: unknown, then both sides of the limit are told. */
SV_MUST_USE sv_status sv_border_leaving(const sv_world *world, sv_arena *arena, sv_end from, sv_end to,
                                        int64_t value_minor, const char *currency, sv_leaving *out,
                                        sv_findings *findings);

/* The border card of a destination: all that the tables say of it, in the order it is read. */
typedef struct sv_card_line {
    const char
        *section; /* used clothing, prohibited, caution, numbers, traders, leaving, changes, everywhere */
    const char *text;
    const char *source, *as_of;
    bool memory; /* its source was not read */
} sv_card_line;
typedef struct sv_card {
    const sv_card_line *line;
    size_t lines, from_memory;
    const char *oldest; /* as_of of the oldest row */
} sv_card;
/* `from` may be a place unknown (any): then nothing is told of leaving it. */
SV_MUST_USE sv_status sv_border_card(const sv_world *world, sv_arena *arena, sv_end from, sv_end to,
                                     sv_card *out);

/* Is an identifier well formed? kinds: contracts, number. */
typedef struct sv_number {
    bool valid;
    const char *normal;         /* stored form */
    const char *printed;        /* form for paper */
    const char *reason;         /* why not, or what it is */
    const char *use;            /* what it is for and where it belongs: data only, or on the paper */
    const char *source, *as_of; /* of the form or the check digit rule; "" when not valid */
} sv_number;
SV_MUST_USE sv_status sv_number_check(const sv_world *world, sv_arena *arena, const char *kind,
                                      const char *value, sv_number *out);

#endif
