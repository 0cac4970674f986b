/* label.h - the fibres of a care label, of a column or of a free text, by part. */
#ifndef SV_GARMENT_LABEL_H
#define SV_GARMENT_LABEL_H

#include "garment/items.h"

typedef struct sv_label_fibre {
    uint16_t fibre; /* index in the lexicon */
    int32_t milli;  /* percent in thousandths, -1: not given */
    bool rest;      /* worked out: what the others leave of 100 */
} sv_label_fibre;

#define SV_LABEL_FIBRES 16
#define SV_LABEL_PARTS  16
typedef struct sv_label_part {
    sv_part part;
    sv_label_fibre fibre[SV_LABEL_FIBRES]; /* in the order given */
    size_t count;
    bool blend; /* further fibres are said to be there, but not named */
} sv_label_part;

typedef struct sv_label {
    sv_label_part part[SV_LABEL_PARTS];
    size_t parts;
    bool range;          /* a range was read as its middle */
    bool pure;           /* all, pure */
    const char *unknown; /* the word after a percentage that is no fibre we know; NULL: none */
    int32_t unknown_milli;
    bool percentages; /* at least one percentage belongs to a fibre */
} sv_label;

/* `column`: the text is said to be fibres, so that bare numbers are percentages; else only numbers with a
 * percent sign, and bare ones that add up to 100, count. Items taken are marked used. */
SV_MUST_USE sv_status sv_label_read(const sv_wordbook *lex, sv_arena *arena, sv_items *items, bool column,
                                    sv_label *out);

#endif
