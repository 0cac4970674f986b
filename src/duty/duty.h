/* duty.h - private to the duty room: the rows as read, and the job of one consignment. */
#ifndef SV_DUTY_ROOM_H
#define SV_DUTY_ROOM_H

#include "base/world.h"
#include "selvedge/codes.h"
#include "selvedge/duty.h"

/* ---- rows ---- */

/* What every row says of itself. `memory`: it gives no figure. */
typedef struct duty_head {
    const char *id, *place, *from, *to, *note, *source, *as_of;
    bool memory;
} duty_head;

/* To which consignments a row speaks; "any" for all. `posted` is a list of countries (EU: its members). */
typedef struct duty_case {
    const char *situation, *service, *scheme, *sender, *posted;
} duty_case;

typedef struct duty_round {
    sv_dec step; /* unknown: the minor unit of the currency */
    enum { ROUND_HALF_UP, ROUND_HALF_DOWN, ROUND_DOWN } how;
} duty_round;

typedef struct duty_method {
    duty_head head;
    const char *money;
    bool value_cif, gift_cif, base_cif, inside,
        whole; /* whole: rounded over the consignment, not line by line */
    sv_dec uplift, low_share;
    duty_round duty_on, duty_to, tax_on, tax_to;
    sv_dec part,
        rest; /* the tax in two parts, each rounded: `part` hundredths, then rest/part of the first */
} duty_method;

typedef struct duty_rate {
    duty_head head;
    const char *goods, *origin, *edition;
    sv_dec low, pct, high, each;
    const char *unit, *money;
    enum { RATE_PLUS, RATE_LEAST, RATE_MOST } rule;
} duty_rate;

typedef struct duty_relief {
    duty_head head;
    duty_case when;
    bool duty, tax;
    sv_dec limit; /* unknown: always free */
    const char *money;
    enum { BY_GOODS, BY_CIF, BY_TAX, BY_ITEM } basis;
    bool charged_at; /* at the limit itself all is charged */
    enum { ABOVE_FULL, ABOVE_EXCESS, ABOVE_ARTICLES } above;
    const char *only, *except;
    sv_dec weight;
} duty_relief;

typedef struct duty_regime {
    duty_head head;
    duty_case when;
    const char *goods;
    sv_dec over, up_to;
    const char *money;
    bool by_cif;
    enum { REGIME_RATE, REGIME_ADD, REGIME_ITEMS, REGIME_PARCEL, REGIME_BANDS } kind;
    sv_dec low, pct, high, amount, least, per_kg, less;
    const char *bands;
    enum { TAX_USUAL, TAX_INCLUDED, TAX_NONE } tax;
    bool open;
} duty_regime;

typedef struct duty_tax {
    duty_head head;
    const char *goods, *wearer, *name;
    sv_dec low, pct, high;
} duty_tax;

typedef struct duty_fee {
    duty_head head;
    const char *service;
    sv_dec over, up_to;
    const char *limit_money;
    bool by_cif, taxed, in_base;
    enum { PER_PARCEL, PER_ITEMS, PER_KG, PER_VALUE } per;
    sv_dec amount, pct;
    const char *money;
    enum { PAID_BY_ADDRESSEE, PAID_BY_OPERATOR, PAID_UNCONFIRMED } payer;
} duty_fee;

typedef struct duty_scheme {
    duty_head head;
    const char *name, *words;
    sv_dec limit, floor;
    const char *money, *floor_money;
    enum { SCHEME_GOODS, SCHEME_CIF, SCHEME_ITEM } basis;
    bool required, all; /* all: duty is collected at the sale too */
    const char *number, *where;
} duty_scheme;

typedef struct duty_gate {
    duty_head head;
    duty_case when;
    const char *goods, *money, *remedy;
    enum { GATE_VALUE, GATE_PIECES, GATE_WEIGHT } kind;
    sv_dec limit;
    bool by_cif;
} duty_gate;

typedef struct duty_collect {
    duty_head head;
    const char *service, *by, *incoterm;
} duty_collect;

typedef struct duty_fx {
    duty_head head; /* place: the currency; from: the day */
    sv_dec per_euro;
} duty_fx;

/* A list of rows of one kind, in the order of the table. */
#define DUTY_LIST(type)                                                                                      \
    struct {                                                                                                 \
        type *row;                                                                                           \
        size_t n;                                                                                            \
    }
typedef struct duty_room {
    DUTY_LIST(duty_method) methods;
    DUTY_LIST(duty_rate) rates; /* in the order of place, then goods */
    DUTY_LIST(duty_relief) reliefs;
    DUTY_LIST(duty_regime) regimes;
    DUTY_LIST(duty_tax) taxes;
    DUTY_LIST(duty_fee) fees;
    DUTY_LIST(duty_scheme) schemes;
    DUTY_LIST(duty_gate) gates;
    DUTY_LIST(duty_head) doubts;
    DUTY_LIST(duty_collect) collects;
    DUTY_LIST(duty_fx) fx;
    const sv_table *alias, *materials, *words;
} duty_room;

sv_status sv_duty_open(sv_world *world, sv_error *err);
static inline const duty_room *duty_room_of(const sv_world *world)
{
    return world->room[SV_ROOM_DUTY];
}

/* ---- the job ---- */

typedef enum duty_scenario { LOWEST, USUAL, HIGHEST } duty_scenario;

/* Places whose rows count, nearest first: territory, country, alias, union. */
#define DUTY_KEYS 6
typedef struct duty_chain {
    const char *key[DUTY_KEYS];
    size_t n;
} duty_chain;

/* The amounts of a line in the destination's currency. */
typedef struct duty_amounts {
    sv_dec goods, freight, insurance;
} duty_amounts;

#define DUTY_USED 24
typedef struct duty_job {
    const sv_world *world;
    const duty_room *room;
    sv_arena *arena;
    const sv_consignment *c;
    sv_findings *findings;
    const char *date, *money, *given_money, *situation, *service; /* service: post or courier */
    int exponent;
    duty_chain duty_places, tax_places;
    const duty_method *method;
    bool value_cif;            /* of this consignment */
    const duty_scheme *scheme; /* under which the tax is collected at the sale; NULL */
    sv_dec fx;                 /* given currency to local */
    const char *fx_note;
    bool fx_table, fx_memory, fx_old; /* a rate of ours was used somewhere; it is from memory */
    bool near, child_said;            /* said already: a limit is near, children's clothing bears less */
    duty_amounts *amount;             /* by line */
    size_t n;
    const duty_head *used[DUTY_USED]; /* rows the answer rests on, in the order met */
    const char *said[DUTY_USED];
    size_t uses;
    const char *tax_name;
    bool same_customs, same_tax; /* sender and addressee are inside one union */
} duty_job;

/* One run of the computation. */
typedef struct duty_run {
    duty_scenario scenario;
    sv_duty_part *line, whole;
    bool open; /* more may come on top */
    bool note; /* this run speaks: it records rows and findings */
    enum { WAY_USUAL, WAY_INCLUDED, WAY_NONE } tax_way;
} duty_run;

/* What of each line is charged, for duty or for tax. */
typedef enum duty_freedom { CHARGED, PARTLY, FREE, UNTOLD } duty_freedom;
typedef struct duty_charge {
    duty_freedom *freedom;     /* by line */
    duty_amounts *amount;      /* what is charged of it */
    bool part;                 /* a relief took a part out, whatever went free after it */
    const duty_relief *by_tax; /* a relief measured on the tax itself; NULL */
} duty_charge;

/* Like goods whose duty is worked out together. */
typedef struct duty_group {
    const char *code, *made_in;
    sv_dec value, given_pct, weight_g;
    int64_t quantity;
} duty_group;
typedef struct duty_found {
    sv_dec duty; /* unknown: not on file, or from memory */
    bool open;   /* a lower bound only */
    bool no_rate, no_weight, range;
    const duty_rate *rate;
} duty_found;

/* end.c: an end without a place that is the whole union (`region` "EU") gets a place of its own. */
sv_end duty_whole_union(sv_end end);

/* when.c: does a row speak? */
bool duty_on(const duty_head *head, const char *date);
bool duty_in_chain(const duty_chain *chain, const duty_head *head);
bool duty_case_fits(const duty_job *job, const duty_case *when);
bool duty_listed(const char *list, const sv_place *place); /* in a list of countries */
bool duty_code_in(const char *list, const char *code);     /* a list of first digits; "*" any */
bool duty_has_union(const char *unions, const char *word);
void duty_places_of(duty_job *job);

/* money.c */
bool duty_year_old(const char *day, const char *date); /* more than twelve months before */
void duty_exchange(duty_job *job);
sv_dec duty_minor(const duty_job *job, sv_dec amount); /* to the minor unit, half up */
sv_dec duty_rounded(const duty_job *job, sv_dec amount, duty_round how);
sv_dec duty_local(duty_job *job, sv_dec amount, const char *money); /* a rule's amount, converted */
sv_dec duty_percent(sv_dec amount, sv_dec pct);
sv_dec duty_most(sv_dec a, sv_dec b);
/* Shares `total` by weights, each to the minor unit, the rest to the largest; shares sum to `total`. */
void duty_spread(const duty_job *job, sv_dec total, const sv_dec weight[], sv_dec share[], size_t n);
sv_dec duty_value(const duty_amounts *a, bool cif);
sv_dec duty_whole_value(const duty_job *job, bool cif);
/* The consignment against a limit in its own currency: -1, 0, 1; -2 when it cannot be told. */
int duty_against(duty_job *job, sv_dec limit, const char *money, bool cif, sv_dec share);

/* relief.c, articles.c */
void duty_relieve(duty_job *job, duty_run *run, bool tax, duty_charge *out);
void duty_articles(duty_job *job, sv_dec limit, duty_charge *out);

/* tariff.c, regime.c, tax.c, fee.c: the parts of one run */
duty_found duty_tariff(duty_job *job, duty_scenario scenario, const duty_group *g);
void duty_duties(duty_job *job, duty_run *run, const duty_charge *charge);
void duty_by_given(duty_job *job, duty_run *run,
                   const duty_charge *charge); /* by the rates given, nothing else */
void duty_taxes(duty_job *job, duty_run *run, const duty_charge *charge, const sv_dec in_base[]);
void duty_fees(duty_job *job, duty_run *run, bool in_base, sv_dec out[]);
size_t duty_count_items(const duty_job *job, const duty_charge *charge, duty_scenario scenario);

/* scheme.c, gate.c, say.c */
void duty_scheme_pick(duty_job *job);
void duty_gates(duty_job *job);
void duty_use(duty_job *job, const duty_run *run, const duty_head *head, const char *said);
void duty_find(duty_job *job, const duty_head *head, sv_code code, const char *const args[]);
void duty_say(duty_job *job, const duty_run run[3], bool arithmetic, sv_duty *out);

#endif
