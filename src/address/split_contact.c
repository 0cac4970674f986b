/* split_contact.c - e-mail addresses and telephone numbers. */
#include <string.h>

#include "address/split.h"

/* "name@host.tld" */
static bool is_email(const char *p, size_t n)
{
    const char *at = memchr(p, '@', n);
    if (!at || at == p) return false;
    size_t right = n - (size_t)(at - p) - 1;
    const char *dot = memchr(at + 1, '.', right);
    return dot && dot > at + 1 && dot + 1 < p + n;
}

/* Only figures and the signs of a telephone number. */
static bool phone_like(const sp_job *j, const sp_word *w)
{
    if (!w->digits || w->letters) return false;
    for (const char *p = j->text + w->at; p < j->text + w->end; p++) {
        if ((unsigned char)*p < 0x80 && !((*p >= '0' && *p <= '9') || strchr("+-./()\"#", *p))) return false;
        if (*p == '#' || *p == '"') return false;
    }
    return true;
}

/* Words of one number: in one piece, or with the area code in brackets. */
static size_t run_end(const sp_job *j, size_t i)
{
    size_t to = i;
    while (to < j->words && sp_open(j, to) && phone_like(j, &j->word[to])) {
        uint8_t gap = j->word[to].gap;
        if (to > i && gap != SP_GAP_BLANK && gap != SP_GAP_GLUED && gap != SP_GAP_PAREN &&
            gap != SP_GAP_DASH && gap != SP_GAP_SLASH)
            break;
        to++;
    }
    return to;
}

static size_t digits_in(const sp_job *j, size_t from, size_t to)
{
    size_t n = 0;
    for (; from < to; from++)
        n += j->word[from].digits;
    return n;
}

/* Blank-parted groups of one to three figures belong together; stop when the number is long enough. */
size_t sp_number_end(const sp_job *j, size_t i)
{
    size_t end = run_end(j, i), to = i;
    while (to < end && digits_in(j, i, to + 1) <= 15)
        to++;
    return to;
}

static bool with_plus(const sp_job *j, size_t i)
{
    return *sp_text(j, i) == '+';
}

static bool with_zeros(const sp_job *j, size_t i, size_t to)
{
    const char *p = sp_text(j, i);
    return p[0] == '0' && p[1] == '0' && p[2] >= '1' && p[2] <= '9' && digits_in(j, i, to) >= 10;
}

void sp_contacts(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        sp_word *w = &j->word[i];
        if (w->column != SP_OPEN) continue;
        if (is_email(sp_text(j, i), w->end - w->at)) {
            w->column = SP_EMAIL;
            continue;
        }
        if (!with_plus(j, i) && !(w->digits && *sp_text(j, i) == '0')) continue;
        size_t to = sp_number_end(j, i);
        size_t digits = digits_in(j, i, to);
        if (to > i && ((with_plus(j, i) && digits >= 6) || with_zeros(j, i, to))) {
            sp_give(j, i, to, SP_PHONE);
            i = to - 1;
        }
    }
}

/* In the East a name and the number of its telephone stand in one run with the address, parted by blanks
 * alone: one word of ten to thirteen figures that begins as telephone numbers do within the country. */
static bool among_east(const sp_job *j, size_t from, size_t to)
{
    char first = *sp_text(j, from);
    if (to != from + 1 || j->word[from].digits < 10 || j->word[from].digits > 13) return false;
    if (first != '0' && first != '1') return false;
    bool before = from > 0 && j->word[from - 1].east && !sp_breaks(&j->word[from]),
         after = to < j->words && j->word[to].east && j->word[to].gap == SP_GAP_BLANK;
    const uint64_t numbered = SP_BIT(SP_IS_BOX) | SP_BIT(SP_IS_LOCKER) | SP_BIT(SP_IS_CUSTOMER);
    return (before && !(j->word[from - 1].mask & numbered)) ||
           (after && (before || from == 0 || sp_breaks(&j->word[from])));
}

/* A mobile number without label: long, or in a piece of its own. */
static bool is_phone(const sp_job *j, size_t from, size_t to)
{
    size_t digits = digits_in(j, from, to);
    if (digits < 7 || digits > 15) return false;
    bool opens = sp_breaks(&j->word[from]) || !sp_open(j, from - 1),
         closes = to == j->words || sp_breaks(&j->word[to]) || !sp_open(j, to);
    if (from == 0) opens = true;
    if ((opens && closes) || among_east(j, from, to)) return true;
    return digits >= 8 && closes && !(j->word[from - 1].mask & SP_BIT(SP_IS_BOX));
}

void sp_late_phones(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        if (!sp_open(j, i) || !phone_like(j, &j->word[i])) continue;
        size_t to = sp_number_end(j, i);
        if (to == i) continue;
        /* Where numbers begin with 0 one that does not is a customer's number at a parcel locker. */
        bool zero = j->place && j->data->habit[sp_number(j->place->place.code)].phone_zero;
        bool customer = zero && to == i + 1 && *sp_text(j, i) != '0' && sp_piece_end(j, i) == to &&
                        sp_breaks(&j->word[i]) && digits_in(j, i, to) <= 10;
        if (is_phone(j, i, to)) sp_give(j, i, to, customer ? SP_STREET : SP_PHONE);
        i = to - 1;
    }
}
