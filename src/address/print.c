/* print.c - walks a layout and writes the block. */
#include <string.h>

#include "address/lay_out.h"

static size_t room_for(const sv_layout_lines *l, const sv_part part[SV_SLOTS], size_t country)
{
    size_t n = country + 2;
    for (uint8_t i = 0; i < l->items; i++) {
        const sv_layout_item *item = &l->item[i];
        n += (size_t)item->before_length + item->literal_length + 1;
        if (item->slot < SV_SLOTS) n += part[item->slot].length;
    }
    return n;
}

static char *put(char *out, const char *text, size_t n)
{
    memcpy(out, text, n);
    return out + n;
}

static size_t print_into(char *start, const sv_layout_lines *l, const sv_part part[SV_SLOTS],
                         const char *country)
{
    char *out = start;
    int line = -1;
    for (uint8_t i = 0; i < l->items; i++) {
        const sv_layout_item *item = &l->item[i];
        bool literal = item->slot == SV_SLOT_LITERAL;
        if (!literal && !part[item->slot].length) continue;
        if (item->line == line)
            out = put(out, item->before, item->before_length);
        else if (out > start)
            *out++ = '\n';
        line = item->line;
        out = put(out, item->literal ? item->literal : "", item->literal_length);
        if (!literal) out = put(out, part[item->slot].text, part[item->slot].length);
    }
    if (out > start && *country) *out++ = '\n';
    out = put(out, country, strlen(country));
    *out = 0;
    return (size_t)(out - start);
}

const char *sv_print_block(sv_arena *arena, const sv_layout *layout, const sv_part part[SV_SLOTS],
                           const char *country)
{
    const sv_layout_lines *l = part[SV_SLOT_REGION].length ? &layout->whole : &layout->regionless;
    char small[1024];
    size_t room = room_for(l, part, strlen(country));
    if (room <= sizeof small) return sv_copy_n(arena, small, print_into(small, l, part, country));
    char *large = sv_alloc(arena, room);
    if (!large) return "";
    print_into(large, l, part, country);
    return large;
}
