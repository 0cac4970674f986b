/* building.h - a parcel being read: fields arrive one by one, from cells or from elements. */
#ifndef SV_BUILDING_H
#define SV_BUILDING_H

#include "parcel/fields.h"

#define SV_MOST_PIECES 1000 /* of one parcel */

typedef struct sv_building {
    const char *file;   /* stands in messages */
    const char *holder; /* what a value stands in: "column" or "element" */
    sv_arena *arena;    /* of the parcel in hand */
    sv_parcel *parcel;
    sv_piece *piece; /* room kept from parcel to parcel, copied to the arena at the end */
    size_t pieces, room;
    bool too_many;
    const char *said[SV_PARCEL_FIELDS]; /* the text a field got, NULL before */
    size_t said_line[SV_PARCEL_FIELDS];
} sv_building;

/* Begins a parcel that is first named on `line`. Its reference is checked. */
SV_MUST_USE sv_status sv_building_begin(sv_building *b, sv_arena *arena, const char *reference, size_t line,
                                        sv_error *err);
/* A value of the parcel; the same again is fine, another one is a finding. Blank text is "not stated". */
void sv_building_parcel(sv_building *b, int field, const char *text, size_t line);
/* A new piece; NULL (and a finding, once) beyond SV_MOST_PIECES or out of memory. */
sv_piece *sv_building_piece(sv_building *b, size_t line);
void sv_building_piece_value(sv_building *b, sv_piece *piece, int field, const char *text, size_t line);
/* The parcel, complete. */
SV_MUST_USE sv_status sv_building_end(sv_building *b, const sv_parcel **out, sv_error *err);
void sv_building_free(sv_building *b);

/* True when nothing but blanks. */
bool sv_is_blank(const char *text);

#endif
