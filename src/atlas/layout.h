/* layout.h - a template made ready to print: items in order, each with what stands before it. */
#ifndef SV_LAYOUT_H
#define SV_LAYOUT_H

#include "atlas/atlas.h"

/* Which text an item prints. */
typedef enum sv_slot {
    SV_SLOT_NAME,
    SV_SLOT_FIRM,
    SV_SLOT_STREET,
    SV_SLOT_DEPENDENT,
    SV_SLOT_TOWN,
    SV_SLOT_REGION,
    SV_SLOT_CODE,
    SV_SLOTS,
    SV_SLOT_LITERAL = SV_SLOTS
} sv_slot;

typedef struct sv_layout_item {
    uint8_t slot;
    uint8_t line; /* items of one line have the same number */
    uint8_t before_length;
    char before[7];      /* printed when something stands on the line already */
    const char *literal; /* of SV_SLOT_LITERAL */
    uint8_t literal_length;
} sv_layout_item;

#define SV_LAYOUT_MOST 14
typedef struct sv_layout_lines {
    uint8_t items;
    sv_layout_item item[SV_LAYOUT_MOST];
} sv_layout_lines;

struct sv_layout {
    sv_layout_lines whole;      /* as the table has it */
    sv_layout_lines regionless; /* without a region: a postcode left alone by it has joined the town line */
    uint8_t has;                /* SV_PART_ bits of what it prints */
};

/* Makes a template ready. `text` is the table's; for a Latin one (`behind`) name, firm and street lines come
 * before it unless it names them. False when it cannot be read. */
bool sv_layout_make(sv_arena *arena, const char *text, bool behind, bool firm_first, sv_side side,
                    const char *prefix, sv_layout *out);

#endif
