/* layout.c - reads the templates of data/atlas/formats.tsv once, so that laying out only walks a list. */
#include "atlas/layout.h"

#include <string.h>

typedef struct reader {
    sv_arena *arena;
    sv_layout_lines *out;
    uint8_t line;
    char before[8];
    uint8_t before_length;
} reader;

static const char slot_letters[] = "NOADCSZ";

static int slot_of(char letter)
{
    const char *p = letter ? strchr(slot_letters, letter) : NULL;
    return p ? (int)(p - slot_letters) : -1;
}

static bool is_capital(char c)
{
    return c >= 'A' && c <= 'Z';
}

static bool add_item(reader *r, int slot, const char *literal, size_t length)
{
    sv_layout_lines *o = r->out;
    if (o->items == SV_LAYOUT_MOST || length > 255) return false;
    sv_layout_item *i = &o->item[o->items++];
    *i = (sv_layout_item){.slot = (uint8_t)slot, .line = r->line};
    bool first = o->items == 1 || o->item[o->items - 2].line != r->line;
    if (first && !literal && r->before_length) { /* a sign that opens a line belongs to its part: 〒 */
        literal = r->before;
        length = r->before_length;
    } else {
        i->before_length = r->before_length;
        memcpy(i->before, r->before, r->before_length);
    }
    if (literal) {
        i->literal = sv_copy_n(r->arena, literal, length);
        i->literal_length = (uint8_t)length;
    }
    r->before_length = 0;
    return true;
}

static bool add_before(reader *r, const char *text, size_t n)
{
    if (r->before_length + n > sizeof r->out->item[0].before) return false;
    memcpy(r->before + r->before_length, text, n);
    r->before_length = (uint8_t)(r->before_length + n);
    return true;
}

/* A run of capitals: one letter alone is a part, several are printed as they stand. */
static bool read_word(reader *r, const char **text)
{
    const char *p = *text;
    size_t n = 0;
    while (is_capital(p[n]))
        n++;
    *text = p + n;
    int slot = n == 1 ? slot_of(*p) : -1;
    return slot >= 0 ? add_item(r, slot, NULL, 0) : add_item(r, SV_SLOT_LITERAL, p, n);
}

static bool read_lines(reader *r, const char *text)
{
    while (*text) {
        if (is_capital(*text)) {
            if (!read_word(r, &text)) return false;
            continue;
        }
        if (*text == '|') {
            r->line++;
            r->before_length = 0;
        } else if (*text != '+' && !add_before(r, text, 1)) {
            return false;
        }
        text++;
    }
    r->line++;
    return true;
}

static bool names(const char *text, char part)
{
    for (const char *p = text; *p; p++) {
        bool alone = !is_capital(p[1]) && (p == text || !is_capital(p[-1]));
        if (*p == part && alone) return true;
    }
    return false;
}

static bool read_line(reader *r, char part)
{
    char text[2] = {part, 0};
    return read_lines(r, text);
}

/* The line that holds `slot`, or -1. */
static int line_of(const sv_layout_lines *l, int slot)
{
    for (uint8_t i = 0; i < l->items; i++) {
        if (l->item[i].slot == slot) return l->item[i].line;
    }
    return -1;
}

static size_t on_line(const sv_layout_lines *l, int line)
{
    size_t n = 0;
    for (uint8_t i = 0; i < l->items; i++)
        n += l->item[i].line == line;
    return n;
}

static void take_out(sv_layout_lines *l, int slot)
{
    uint8_t n = 0;
    for (uint8_t i = 0; i < l->items; i++) {
        if (l->item[i].slot != slot) l->item[n++] = l->item[i];
    }
    l->items = n;
}

static void put_in(sv_layout_lines *l, uint8_t at, sv_layout_item item)
{
    memmove(&l->item[at + 1], &l->item[at], (size_t)(l->items - at) * sizeof item);
    l->item[at] = item;
    l->items++;
}

/* Where postcode and region share a line of their own, the code without the region goes to the town line, on
 * its side of the town: a postcode stands alone only where the template puts it alone. */
static void make_regionless(const sv_layout_lines *whole, sv_side side, sv_layout_lines *out)
{
    *out = *whole;
    int region = line_of(whole, SV_SLOT_REGION), code = line_of(whole, SV_SLOT_CODE);
    int town = line_of(whole, SV_SLOT_TOWN);
    take_out(out, SV_SLOT_REGION);
    if (region < 0 || region != code || town < 0 || town == region || on_line(whole, region) != 2) return;
    take_out(out, SV_SLOT_CODE);
    uint8_t at = 0;
    while (out->item[at].slot != SV_SLOT_TOWN)
        at++;
    sv_layout_item z = {.slot = SV_SLOT_CODE, .line = (uint8_t)town, .before_length = 1, .before = " "};
    if (side == SV_SIDE_LEFT) {
        out->item[at].before_length = 1;
        out->item[at].before[0] = ' ';
        put_in(out, at, z);
    } else {
        put_in(out, (uint8_t)(at + 1), z);
    }
}

/* The dependent locality stands on a line of its own above the town line, unless the template names it. */
static bool read_town_lines(reader *r, const char *text)
{
    if (names(text, 'D')) return read_lines(r, text);
    const char *town = text;
    while (*town) { /* forward to the line that holds the town */
        const char *end = strchr(town, '|');
        size_t n = end ? (size_t)(end - town) : strlen(town);
        char line[64];
        if (n >= sizeof line) return false;
        memcpy(line, town, n);
        line[n] = 0;
        if (names(line, 'C') || !end) return read_line(r, 'D') && read_lines(r, town);
        if (!read_lines(r, line)) return false;
        town = end + 1;
    }
    return read_line(r, 'D');
}

/* The prefix printed on mail from abroad goes before the code. */
static bool put_prefix(sv_arena *arena, sv_layout_lines *l, const char *prefix)
{
    if (!*prefix) return true;
    for (uint8_t i = 0; i < l->items; i++) {
        if (l->item[i].slot != SV_SLOT_CODE) continue;
        l->item[i].literal = sv_copy(arena, prefix);
        l->item[i].literal_length = (uint8_t)strlen(prefix);
        return strlen(prefix) < 8;
    }
    return true;
}

bool sv_layout_make(sv_arena *arena, const char *text, bool behind, bool firm_first, sv_side side,
                    const char *prefix, sv_layout *out)
{
    static const uint8_t part[] = {SV_PART_NAME, SV_PART_FIRM,   SV_PART_STREET, SV_PART_DEPENDENT,
                                   SV_PART_TOWN, SV_PART_REGION, SV_PART_CODE,   0};
    *out = (sv_layout){.has = 0};
    reader r = {.arena = arena, .out = &out->whole};
    bool good = true;
    if (behind) {
        good = read_line(&r, firm_first ? 'O' : 'N') && read_line(&r, firm_first ? 'N' : 'O');
        if (good && !names(text, 'A')) good = read_line(&r, 'A');
        good = good && read_town_lines(&r, text);
    } else {
        good = read_lines(&r, text);
    }
    good = good && put_prefix(arena, &out->whole, prefix);
    for (uint8_t i = 0; i < out->whole.items; i++)
        out->has |= part[out->whole.item[i].slot];
    make_regionless(&out->whole, side, &out->regionless);
    return good && put_prefix(arena, &out->regionless, prefix);
}
