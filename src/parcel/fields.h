/* fields.h - what a parcel and a piece may state: one list of fields for the orders table and the parcel XML.
 */
#ifndef SV_FIELDS_H
#define SV_FIELDS_H

#include "selvedge/parcel.h"

/* How the text of a field is understood. */
typedef enum sv_field_kind {
    SV_FIELD_TEXT,   /* as it stands */
    SV_FIELD_WORD,   /* one of a few words; another is an unknown fact and a note */
    SV_FIELD_MUST,   /* one of a few words on which the declaration rests; another is a stop */
    SV_FIELD_AMOUNT, /* plain decimal, not negative */
    SV_FIELD_WEIGHT, /* number and unit, in grams when bare */
    SV_FIELD_LENGTH, /* the same in millimetres */
    SV_FIELD_COUNT,  /* whole number from 1 */
    SV_FIELD_DATE,   /* ISO */
    SV_FIELD_YES     /* yes or no */
} sv_field_kind;

typedef struct sv_field {
    const char *name;
    sv_field_kind kind;
    size_t offset;     /* of its text, number or flag in the record */
    const char *words; /* of a SV_FIELD_WORD or SV_FIELD_MUST, apart by blanks */
} sv_field;

#define SV_PARCEL_FIELDS 36
#define SV_PIECE_FIELDS  15
extern const sv_field sv_parcel_fields[SV_PARCEL_FIELDS];
extern const sv_field sv_piece_fields[SV_PIECE_FIELDS];

/* The index of a field, -1 when there is none of that name. */
int sv_parcel_field(const char *name);
int sv_piece_field(const char *name);

/* All texts "", all numbers unknown. */
void sv_parcel_clear(sv_parcel *parcel);
void sv_piece_clear(sv_piece *piece);

/* Reads `text` (not empty, trimmed) into the record. What cannot be understood is a finding at `place`;
 * `where` stands in its message ("orders.csv, line 7, column net_weight"). */
void sv_field_read(const sv_field *field, void *record, const char *text, const char *where,
                   const char *place, sv_findings *findings);

/* A weight or length with its unit, exactly: grams or millimetres. False when it is not one. Factors:
 * international yard and pound agreement of 1959, as in UN/ECE Recommendation 20: 1 lb = 453.59237 g, 1 in
 * = 25.4 mm. */
typedef enum sv_measure { SV_WEIGHT = 'w', SV_LENGTH = 'l' } sv_measure;
SV_MUST_USE bool sv_measure_read(const char *text, sv_measure what, sv_dec *out);

#endif
