/* split_street.c - how much words look like a street line; lines that go to it whatever stands in them. */
#include <string.h>

#include "address/split.h"

bool sp_has_digit(const sp_job *j, size_t from, size_t to)
{
    for (; from < to; from++) {
        if (j->word[from].digits) return true;
    }
    return false;
}

static bool number_near(const sp_job *j, size_t i, size_t from, size_t to)
{
    if (j->word[i].digits) return true;
    if (i + 1 < to && (j->word[i + 1].digits || j->word[i + 1].letters == 1)) return true;
    return i > from && j->word[i - 1].digits;
}

int sp_street(const sp_job *j, size_t from, size_t to)
{
    const uint64_t strong = SP_BIT(SP_IS_BOX) | SP_BIT(SP_IS_RESTANTE) | SP_BIT(SP_IS_LOCKER) |
                            SP_BIT(SP_IS_CUSTOMER) | SP_BIT(SP_IS_RURAL) | SP_BIT(SP_IS_MILITARY_GB) |
                            SP_BIT(SP_IS_NEAR);
    int score = 0;
    bool digit = sp_has_digit(j, from, to), letters = false;
    for (size_t i = from; i < to; i++) {
        const sp_word *w = &j->word[i];
        letters |= w->letters > 1;
        if (w->mask & SP_BIT(SP_IS_END)) score += 4;
        if (w->first & SP_BIT(SP_IS_FRONT))
            score += i == from || (i == from + 1 && j->word[from].digits) ? 4 : digit ? 2 : 1;
        if (w->mask & SP_BIT(SP_IS_BACK) && i > from) score += i + 1 == to || digit ? 4 : 2;
        if (w->mask & SP_BIT(SP_IS_WEAK)) score += digit ? 2 : to - from > 1 ? 1 : 0;
        if (w->mask & SP_BIT(SP_IS_UNIT)) score += number_near(j, i, from, to) ? 3 : 0;
        if (w->first & strong) score += digit ? 5 : 2;
        if (w->first & (SP_BIT(SP_IS_CARE) | SP_BIT(SP_IS_ATTN) | SP_BIT(SP_IS_KIN)) && i == from) score += 6;
    }
    if (digit) score += letters ? 2 : 1;
    return score;
}

/* Lines that are a street line by how they open: care-of, attention, son-of, box, locker, poste restante. */
static bool opens_fixed(const sp_job *j, size_t i, size_t to)
{
    uint64_t first = j->word[i].first;
    bool digit = sp_has_digit(j, i, to);
    if (first & (SP_BIT(SP_IS_ATTN) | SP_BIT(SP_IS_RESTANTE) | SP_BIT(SP_IS_MILITARY_GB))) return true;
    if (first & (SP_BIT(SP_IS_CARE) | SP_BIT(SP_IS_KIN))) return to - i > 1;
    if (first & SP_BIT(SP_IS_BOX)) return digit || sp_phrase(j, i, SP_BIT(SP_IS_BOX)) == to - i;
    if (first & (SP_BIT(SP_IS_LOCKER) | SP_BIT(SP_IS_CUSTOMER) | SP_BIT(SP_IS_RURAL))) return digit;
    return false;
}

/* The end of the number behind a box word, so that a code or town on the same line is not taken along: one
 * long number, or groups of up to three figures ("Postfach 12 04 33"), a letter or a sign of number before
 * it. */
static size_t box_end(const sp_job *j, size_t i, size_t to)
{
    size_t end = i + sp_phrase(j, i, SP_BIT(SP_IS_BOX));
    bool number = false;
    for (; end < to && sp_open(j, end) && !sp_breaks(&j->word[end]); end++) {
        const sp_word *w = &j->word[end];
        if (!w->digits && (w->letters > 3 || (number && w->letters > 1))) break;
        if (number && w->digits > 3) break;
        number |= w->digits > 0;
    }
    return end;
}

void sp_fixed_lines(sp_job *j)
{
    for (size_t i = 0, to; i < j->words; i = to) {
        to = sp_piece_end(j, i);
        size_t from = i;
        while (from < to && !sp_open(j, from))
            from++;
        size_t end = from;
        while (end < to && sp_open(j, end))
            end++;
        if (from == end) continue;
        if (opens_fixed(j, from, end)) {
            if (j->word[from].first & SP_BIT(SP_IS_BOX) && !(j->word[from].first & SP_BIT(SP_IS_CARE)))
                end = box_end(j, from, end);
            sp_give(j, from, end, SP_STREET);
            continue;
        }
        for (size_t k = from + 1; k < end; k++) { /* "Ana Lopes Apartado 55" */
            if (!(j->word[k].first & SP_BIT(SP_IS_BOX)) || !sp_has_digit(j, k, end) || j->word[k - 1].digits)
                continue;
            size_t box = box_end(j, k, end);
            if (!sp_has_digit(j, k, box)) continue;
            sp_give(j, k, box, SP_STREET);
            break;
        }
    }
}
