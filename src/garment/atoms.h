/* atoms.h - the numbers, fibres and part words of a label, and which number belongs to which fibre. */
#ifndef SV_GARMENT_ATOMS_H
#define SV_GARMENT_ATOMS_H

#include "garment/label.h"

typedef enum sv_atom_kind {
    SV_ATOM_NUMBER,
    SV_ATOM_FIBRE,
    SV_ATOM_PART,
    SV_ATOM_PURE,
    SV_ATOM_BLEND
} sv_atom_kind;

typedef struct sv_atom {
    uint8_t kind;
    bool bare;          /* a number without a percent sign */
    uint16_t value;     /* fibre or part */
    uint16_t gap;       /* all that stands between the atom before and this one */
    uint16_t gap_after; /* between it and the next word, atom or not */
    int32_t milli;
    uint32_t item;
} sv_atom;

typedef struct sv_atoms {
    sv_atom *atom;
    size_t count, room;
} sv_atoms;

typedef struct sv_bound {
    uint16_t fibre;
    int32_t milli; /* -1: no percentage */
    uint32_t item;
} sv_bound;
#define SV_BOUND_MAX 48

/* The atoms from `from` up to `to` of one part. */
typedef struct sv_segment {
    const sv_wordbook *lex;
    const sv_atoms *a;
    size_t from, to;
    bool column;
    bool number_after; /* how the label as a whole puts them */
    int unknown_fibre; /* index of the fibre that nobody knows */
    sv_label *label;   /* range, pure and the first unknown word are noted there */
    bool blend;
} sv_segment;

/* The atoms of a text, in its order; `column` as of sv_label_read. */
SV_MUST_USE sv_status sv_atoms_of(const sv_wordbook *lex, sv_arena *arena, const sv_items *items, bool column,
                                  sv_atoms *a);
/* Above 0: the numbers stand after their fibres; below: before them; 0: it cannot be told. */
int sv_atoms_style(const sv_atoms *a, size_t from, size_t to, const sv_items *items);
/* Fibres with their percentages, in the order given; how many. */
size_t sv_atoms_bind(sv_segment *segment, sv_bound *out, const sv_items *items);
/* Where the last statement before `end` begins: "60% cotton 40% polyester, 100% nylon (lining)" gives the
 * nylon. */
size_t sv_atoms_last_statement(const sv_atoms *a, size_t from, size_t end);

#endif
