/* selvedge/parcel.h - the parcel (only what the seller states), the dossier (all that was derived),
 * prepare(). */
#ifndef SELVEDGE_PARCEL_H
#define SELVEDGE_PARCEL_H

#include "selvedge/address.h"
#include "selvedge/border.h"
#include "selvedge/duty.h"
#include "selvedge/garment.h"
#include "selvedge/tariff.h"

/* ---- opening the world ---- */

typedef struct sv_world_options {
    const char
        *data_dir; /* the user's own tables; NULL: $XDG_DATA_HOME/selvedge/data is NOT read by the library */
    const char *today; /* ISO date, for the age of data; NULL: ages are not judged */
    unsigned rooms;    /* SV_OPEN_... together; 0 is all */
} sv_world_options;
enum {
    SV_OPEN_ATLAS = 1,
    SV_OPEN_ADDRESS = 2,
    SV_OPEN_LEXICON = 4,
    SV_OPEN_TARIFF = 8,
    SV_OPEN_BORDER = 16,
    SV_OPEN_DUTY = 32,
    SV_OPEN_PAPERS = 64
};
SV_MUST_USE sv_status sv_world_open(const sv_world_options *options, sv_world **out, sv_error *err);
void sv_world_close(sv_world *world);

/* ---- what the seller states ---- */

/* Text is never NULL: "" is "not stated". Amounts are exact; a weight is in grams and a length in mm whatever
 * its unit was. What could not be understood stands in `findings`. */
typedef struct sv_piece {
    size_t row; /* line of the file it came from, 0 when none */
    sv_garment_given given;
    sv_dec quantity;   /* unknown: 1 */
    const char *unit;  /* piece pair set, "" */
    sv_dec net_weight; /* of all units */
    sv_dec unit_value; /* what the buyer pays for one, before discount */
    const char *made_in;
    const char *code;
    bool free; /* an extra that was not paid for */
} sv_piece;

typedef struct sv_profile {
    const char *name;                           /* of the file */
    sv_address address;                         /* recipient = the sender's name */
    const char *status;                         /* private trader "" */
    const char *vat_registered, *margin_scheme; /* yes no "" */
    const char *eori, *schemes, *currency, *signature, *operator_name;
} sv_profile;

typedef struct sv_parcel {
    const char *reference;
    size_t row;
    const char *date, *sender, *category, *service, *from;
    const char *block; /* the addressee as one block, or: */
    sv_address addressee;
    const char *addressee_number;
    const char *order, *currency;
    sv_dec postage, insurance, discount, gross_weight, length, width, height;
    const char *packing, *item_number, *scheme, *scheme_number, *invoice_number, *licence, *certificate,
        *comment, *note, *non_delivery;
    sv_profile profile; /* of `sender` */
    const sv_piece *piece;
    size_t pieces;
    bool another_that_day; /* an earlier parcel of this run goes to the same addressee on the same day */
    sv_findings findings;  /* of reading it */
} sv_parcel;

/* The references of a run, so that two parcels of the same name are noticed across its files. */
typedef struct sv_references sv_references;
sv_references *sv_references_new(void); /* NULL when out of memory; caller frees */
void sv_references_free(sv_references *references);

typedef struct sv_reading {
    const char *profiles;      /* folder of sender profiles, NULL: none; must stay until close */
    int format;                /* 0 by the first line, 'c' CSV, 't' TSV, 'x' XML */
    sv_references *references; /* of the run; NULL: two equal references are noticed within this file only */
} sv_reading;
/* One parcel after the other, in the order of their first row; `next` gives NULL at the end. Memory of a
 * parcel is that of the arena given to sv_parcels_next, so that a caller who resets it after each parcel
 * needs no more for a long file than for a short one. In a table the rows of a parcel stand one below the
 * other; a reference that comes again later, as in XML a second parcel of the same reference, is the finding
 * `reference-twice`.
 *
 * A file that is not of its form (a stray quote, a missing column, XML against the schema or with a document
 * type) is refused by sv_parcels_open, before the first parcel, where it can be read twice; a pipe by
 * sv_parcels_next. SV_BAD_FORMAT and SV_LIMIT carry file:line. */
typedef struct sv_parcels sv_parcels;
SV_MUST_USE sv_status sv_parcels_open(const sv_world *world, const char *path, const sv_reading *how,
                                      sv_parcels **out, sv_error *err);
SV_MUST_USE sv_status sv_parcels_next(sv_parcels *parcels, sv_arena *arena, const sv_parcel **out,
                                      sv_error *err);
void sv_parcels_close(sv_parcels *parcels);

/* The name of the folder that a parcel's papers go into: letters, digits, `.`, `_` and `-` stay, other bytes
 * (and a dot at the start) become %XX, so that two references never share a folder and none leaves it. */
const char *sv_reference_folder(sv_arena *arena, const char *reference);

/* ---- what is derived ---- */

typedef struct sv_line {
    const sv_piece *piece;
    size_t number; /* from 1 */
    sv_facts facts;
    sv_heading heading;
    sv_border_answer border;
    const char *description, *description_short;
    const char *code; /* as printed: the seller's own where longer, else six digits; "" when open */
    int64_t quantity;
    const char *unit_code; /* UN/ECE Rec 20: H87 piece, PR pair, SET set */
    int64_t net_g;
    int64_t unit_paid; /* minor units; the price of one before discount */
    int64_t value;     /* customs value of the line, minor units, discount spread */
    int64_t paid;      /* what the buyer paid for it: 0 for a free extra */
    const char *made_in, *made_in_name;
} sv_line;

typedef struct sv_dossier {
    sv_arena *arena;
    const sv_world *world;
    sv_press *press;
    const sv_parcel *parcel;
    const char *reference, *date, *category, *service, *currency;
    int exponent;
    sv_address addressee;
    sv_laid_address sender_laid, addressee_laid;
    sv_end from, to;
    sv_declaration declaration;
    sv_form_choice form;
    sv_leaving leaving; /* what the sending country asks */
    sv_line *line;
    size_t lines;
    int64_t goods_paid;                   /* what the buyer paid for the goods */
    int64_t goods_value;                  /* customs value of all lines */
    int64_t discount, postage, insurance; /* minor units; -1 unknown */
    int64_t invoice_total;                /* goods_paid + postage + insurance as far as known */
    int64_t net_g, gross_g;               /* gross -1 unknown */
    sv_number item_number;
    const char *scheme, *scheme_number;
    sv_duty duty;
    const char *incoterm;
    const char *buyer_note,
        *buyer_note_language;    /* text to send to the buyer; "" when nothing is charged there */
    const char *override_reason; /* "" when none */
    bool stopped;                /* a stop stands that no reason lifts */
    sv_findings findings;
    struct sv_node *tree; /* the written form, made last */
} sv_dossier;

typedef struct sv_prepare_options {
    const char *date; /* used where the parcel has none */
    const char *override_reason;
} sv_prepare_options;
/* The judges, in order. Never prints; a fault of the input is a finding. */
SV_MUST_USE sv_status sv_prepare(const sv_world *world, sv_press *press, sv_arena *arena,
                                 const sv_parcel *parcel, const sv_prepare_options *options, sv_dossier **out,
                                 sv_error *err);

/* "45.00" of minor units and an ISO 4217 exponent. */
const char *sv_amount_text(sv_arena *arena, int64_t minor, int exponent);

#endif
