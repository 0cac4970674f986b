/* split_labels.c - what a label says: "City: Ulm", "CEP 01304-001", "氏名：小林". An explicit label beats
 * every guess. */
#include <string.h>

#include "address/split.h"

typedef struct label {
    sp_class class;
    size_t words;
} label;

#define COLONLESS                                                                                            \
    (SP_BIT(SP_IS_LABEL_PHONE) | SP_BIT(SP_IS_LABEL_CODE) | SP_BIT(SP_IS_LABEL_TAX) |                        \
     SP_BIT(SP_IS_LABEL_EMAIL))
#define ALONE                                                                                                \
    (SP_BIT(SP_IS_LABEL_DROP) | SP_BIT(SP_IS_LABEL_ADDRESS) | SP_BIT(SP_IS_FROM) | SP_BIT(SP_IS_LABEL_NAME))

static sp_class first_class(uint64_t classes)
{
    sp_class c = 0;
    while (c < SP_CLASSES && !(classes >> c & 1))
        c++;
    return c;
}

static bool digits_follow(const sp_job *j, size_t i)
{
    if (i >= j->words || j->word[i].gap > SP_GAP_PAREN) return false;
    return j->word[i].digits > 0 && !(j->word[i].letters > 3);
}

static bool is_mail(const sp_job *j, size_t i)
{
    return i < j->words && memchr(sp_text(j, i), '@', j->word[i].end - j->word[i].at) != NULL;
}

static size_t figures_from(const sp_job *j, size_t i)
{
    size_t n = 0, to = sp_number_end(j, i);
    for (; i < to; i++)
        n += j->word[i].digits;
    return n;
}

/* Without a colon a label needs what it announces behind it: a telephone number, enough figures for a code or
 * a tax number. */
static bool value_follows(const sp_job *j, sp_class class, size_t i)
{
    if (i >= j->words || j->word[i].gap > SP_GAP_PAREN) return false;
    const sp_word *w = &j->word[i];
    switch (class) {
    case SP_IS_LABEL_EMAIL: return is_mail(j, i);
    case SP_IS_LABEL_TAX: return w->digits >= (memchr(sp_text(j, i), '/', w->end - w->at) ? 10 : 6);
    case SP_IS_LABEL_PHONE: return *sp_text(j, i) == '+' || figures_from(j, i) >= 6;
    default: return digits_follow(j, i) && (w->digits >= 4 || w->letters || figures_from(j, i) >= 5);
    }
}

static bool opens_line(const sp_job *j, size_t i)
{
    return j->word[i].gap == SP_GAP_LINE;
}

/* Is there a label at word i? */
static bool label_at(const sp_job *j, size_t i, label *out)
{
    const sp_word *w = &j->word[i];
    const uint64_t labels = SP_LABELS | SP_BIT(SP_IS_FROM);
    for (size_t k = 0; k < 3 && w->length[k]; k++) {
        size_t to = i + w->length[k];
        uint64_t classes = 0, others = 0;
        for (const sp_sense *s = w->sense[k]; s; s = s->next) {
            classes |= SP_BIT(s->class) & labels;
            others |= SP_BIT(s->class) & ~labels;
        }
        if (others & SP_BIT(SP_IS_CUSTOMER) && figures_from(j, to) > 6)
            classes = 0; /* a customer's number is no code */
        if (!classes) continue;
        const sp_word *last = &j->word[to - 1];
        bool ends = to == j->words || j->word[to].gap == SP_GAP_LINE;
        bool alone =
            opens_line(j, i) && (ends || (j->word[to].gap == SP_GAP_COMMA && sp_line_end(j, i) == to));
        bool east = w->east && opens_line(j, i) && !ends;
        bool dashed = opens_line(j, i) && !ends && j->word[to].gap == SP_GAP_DASH;
        uint64_t fit = classes;
        if (last->colon) {
            /* a colon makes any label one */
        } else if (alone) {
            fit = classes & ALONE & ~(SP_BIT(SP_IS_LABEL_NAME) * !w->east);
        } else if (dashed) {
            fit = classes & (COLONLESS | SP_BIT(SP_IS_LABEL_NAME) | SP_BIT(SP_IS_LABEL_ADDRESS));
        } else {
            fit = classes & COLONLESS;
            if (fit && !value_follows(j, first_class(fit), to)) fit = 0;
            if (!fit && east) fit = classes & (SP_BIT(SP_IS_LABEL_NAME) | SP_BIT(SP_IS_LABEL_ADDRESS));
        }
        if (!fit) continue;
        if (fit & SP_BIT(SP_IS_LABEL_ADDRESS) && fit & SP_BIT(SP_IS_LABEL_DROP))
            fit = SP_BIT(SP_IS_LABEL_DROP); /* "To:": a name may follow */
        out->class = first_class(fit);
        out->words = w->length[k];
        return true;
    }
    return false;
}

static size_t next_label(const sp_job *j, size_t i, size_t to)
{
    label l;
    for (; i < to; i++) {
        if (j->word[i].gap != SP_GAP_GLUED && label_at(j, i, &l)) return i;
    }
    return to;
}

static sp_column column_of(sp_class class)
{
    switch (class) {
    case SP_IS_LABEL_NAME: return SP_RECIPIENT;
    case SP_IS_LABEL_FIRM: return SP_FIRM;
    case SP_IS_LABEL_STREET: return SP_STREET;
    case SP_IS_LABEL_DEPENDENT: return SP_DEPENDENT;
    case SP_IS_LABEL_TOWN: return SP_TOWN;
    case SP_IS_LABEL_REGION: return SP_REGION;
    default: return SP_UNPLACED;
    }
}

static void give_fixed(sp_job *j, size_t from, size_t to, sp_column column)
{
    for (size_t i = from; i < to; i++)
        j->word[i].fixed = true;
    sp_give(j, from, to, column);
}

static void take_country(sp_job *j, size_t from, size_t to)
{
    const char *key;
    sv_alias a;
    size_t n = sp_span_key(j, from, to, &key);
    if (j->place || !sv_alias_find(j->atlas, key, n, &a) || !a.place) {
        sp_give(j, from, to, j->place ? SP_COUNTRY : SP_UNPLACED);
        return;
    }
    j->place = sv_atlas_place_of(a.place);
    sp_give(j, from, to, SP_COUNTRY);
}

/* What the label says of the words from .. to - 1; gives the first word that it says nothing of. */
static size_t take_value(sp_job *j, sp_class class, size_t from, size_t to, bool one_line)
{
    size_t piece = sp_piece_end(j, from);
    if (piece > to) piece = to;
    switch (class) {
    case SP_IS_LABEL_DROP: return from;
    case SP_IS_LABEL_ADDRESS:
        for (size_t i = from; i < to; i++)
            j->word[i].no_name = true;
        return from;
    case SP_IS_LABEL_COUNTRY: take_country(j, from, piece); return piece;
    case SP_IS_LABEL_CODE: return from; /* the search for the code finds it, with this help */
    case SP_IS_LABEL_PHONE: {
        size_t end = sp_number_end(j, from);
        if (end > to) end = to;
        give_fixed(j, from, end, SP_PHONE);
        return end;
    }
    case SP_IS_LABEL_EMAIL: return from;
    case SP_IS_LABEL_TAX: give_fixed(j, from, piece, SP_UNPLACED); return piece;
    case SP_IS_LABEL_NOTE:
    case SP_IS_FROM: give_fixed(j, from, one_line ? piece : to, SP_UNPLACED); return one_line ? piece : to;
    case SP_IS_LABEL_STREET:
        for (size_t i = from; i < (one_line ? piece : to); i++)
            j->word[i].no_name = true;
        give_fixed(j, from, one_line ? piece : to, SP_STREET);
        return one_line ? piece : to;
    case SP_IS_LABEL_NAME:
    case SP_IS_LABEL_FIRM:
        give_fixed(j, from, one_line ? piece : to, column_of(class));
        return one_line ? piece : to;
    default: give_fixed(j, from, piece, column_of(class)); return piece;
    }
}

/* Figures written on to a label in Han or Hangul ("电话13905550123"): a word of their own. */
static void part_labels(sp_job *j)
{
    for (size_t i = 0; i < j->words; i++) {
        sp_word *w = &j->word[i];
        if (!w->east || !w->digits || j->words == j->room) continue;
        const char *p = sp_text(j, i), *end = j->text + w->end;
        size_t n = 0;
        while (p + n < end && !(p[n] >= '0' && p[n] <= '9') && p[n] != '+')
            n++;
        char key[64];
        if (n == 0 || n > 24) continue;
        size_t length = sv_alias_key(key, sizeof key, p, n);
        const sp_sense *s = length != SIZE_MAX && length ? sp_senses(j->data, 0, key, length) : NULL;
        while (s && !(SP_BIT(s->class) & COLONLESS))
            s = s->next;
        if (!s) continue;
        size_t at = sp_split_at(j, w->at + (uint32_t)n);
        if (at < j->words && j->word[at].gap == SP_GAP_GLUED) j->word[at].gap = SP_GAP_BLANK;
    }
}

/* Words of a phrase that is no label ("caixa postal"): no label begins inside it. */
static size_t other_phrase(const sp_job *j, size_t i)
{
    const sp_word *w = &j->word[i];
    if (w->length[0] < 2) return 1;
    for (const sp_sense *s = w->sense[0]; s; s = s->next) {
        if (s->class == SP_IS_BOX || s->class == SP_IS_RESTANTE || s->class == SP_IS_TOWN)
            return w->length[0];
    }
    return 1;
}

void sp_labels(sp_job *j)
{
    part_labels(j);
    j->split = false;
    sp_look_up(j);
    for (size_t i = 1; i < j->words; i++) { /* "... India Attn: R. Gupta": a piece of its own */
        size_t n = sp_phrase(j, i, SP_BIT(SP_IS_ATTN));
        if (n && j->word[i + n - 1].colon && j->word[i].gap < SP_GAP_DASH) j->word[i].gap = SP_GAP_DASH;
    }
    bool one_line = j->lines == 1 || sp_line_end(j, 0) == j->words;
    for (size_t i = 0; i < j->words;) {
        label l;
        if (!sp_open(j, i) || !label_at(j, i, &l)) {
            i += other_phrase(j, i);
            continue;
        }
        size_t from = i + l.words;
        sp_give(j, i, from, SP_DROPPED);
        /* The value stands behind it on its line, or, behind an empty "Name:", nowhere. */
        if (from >= j->words || j->word[from].gap == SP_GAP_LINE) {
            i = from;
            continue;
        }
        size_t to = next_label(j, from + (l.class != SP_IS_LABEL_PHONE), sp_line_end(j, from - 1));
        if (to <= from) {
            i = from;
            continue;
        }
        i = take_value(j, l.class, from, to, one_line);
        if (i < from) i = from;
    }
}
