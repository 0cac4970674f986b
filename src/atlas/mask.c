/* mask.c - postcode masks: made ready once as one set of permitted characters for each place in the code. */
#include "atlas/mask.h"

#include <string.h>

#define DIGITS  ((uint64_t)0x3FF)
#define LETTERS ((uint64_t)0x3FFFFFF << 10)

static int value_of(char c)
{
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'A' && c <= 'Z') return c - 'A' + 10;
    return -1;
}

static uint64_t bit_of(char c)
{
    int v = value_of(c);
    return v < 0 ? 0 : (uint64_t)1 << v;
}

/* {ABC} or {1-7} or both mixed; moves *text behind the closing brace. 0: bad. */
static uint64_t read_set(const char **text)
{
    uint64_t set = 0;
    const char *p = *text + 1;
    for (; *p && *p != '}'; p++) {
        int from = value_of(*p), to = from;
        if (p[1] == '-' && p[2] && p[2] != '}') {
            to = value_of(p[2]);
            p += 2;
        }
        if (from < 0 || to < from) return 0;
        for (int v = from; v <= to; v++)
            set |= (uint64_t)1 << v;
    }
    if (*p != '}') return 0;
    *text = p + 1;
    return set;
}

/* One element that stands for a character of the code; moves *text on. 0: bad. */
static uint64_t read_element(const char **text, bool literal)
{
    char c = **text;
    if (c == '{' && !literal) return read_set(text);
    (*text)++;
    if (literal) return bit_of(c);
    if (c == '9') return DIGITS;
    if (c == 'A') return LETTERS;
    if (c == '#') return DIGITS | LETTERS;
    return bit_of(c);
}

bool sv_mask_make(const char *mask, sv_postcode_form *out)
{
    bool inside = false;
    char before = 0;
    size_t printed = 0;
    out->mask = mask;
    out->length = out->opening = 0;
    for (const char *p = mask; *p;) {
        if (*p == '(' || *p == ')') {
            inside = *p++ == '(';
            if (!inside) out->opening = out->length;
        } else if (*p == ' ' || *p == '-') {
            before = *p++;
        } else {
            uint64_t set = read_element(&p, inside);
            if (!set || out->length == SV_POSTCODE_MOST) return false;
            out->accept[out->length] = set;
            printed += before ? 2 : 1;
            out->before[out->length++] = before;
            before = 0;
        }
    }
    /* Letter groups are asked for where the first character may be any letter. */
    out->group = out->length && out->accept[0] == LETTERS;
    return out->length > 0 && !inside && printed < SV_POSTCODE_ROOM;
}

void sv_groups_make(const char *groups, uint8_t set[SV_GROUP_BYTES])
{
    memset(set, 0, SV_GROUP_BYTES);
    for (const char *p = groups; *p;) {
        size_t n = strcspn(p, " ");
        unsigned first = (unsigned)(p[0] - 'A'), second = n == 2 ? (unsigned)(p[1] - 'A') : 26;
        if (n <= 2 && first < 26 && second <= 26) {
            unsigned at = first * 27 + second;
            set[at / 8] = (uint8_t)(set[at / 8] | (1u << at % 8));
        }
        p += n + (p[n] == ' ');
    }
}
