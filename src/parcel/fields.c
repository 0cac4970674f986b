/* fields.c - the fields of a parcel and of a piece, and how the text of each is understood. */
#include "parcel/fields.h"

#include <string.h>
#include <strings.h>

#include "base/banned.h"
#include "base/cells.h"

#define PARCEL(name, kind, member, words)                                                                    \
    {                                                                                                        \
        name, kind, offsetof(sv_parcel, member), words                                                       \
    }
#define PIECE(name, kind, member, words)                                                                     \
    {                                                                                                        \
        name, kind, offsetof(sv_piece, member), words                                                        \
    }

/* The columns of the orders table. The reference (`parcel`) is not among them: it says which parcel is meant.
 */
const sv_field sv_parcel_fields[SV_PARCEL_FIELDS] = {
    PARCEL("date", SV_FIELD_DATE, date, ""),
    PARCEL("sender", SV_FIELD_TEXT, sender, ""),
    PARCEL("category", SV_FIELD_MUST, category, "sale gift sample return documents other"),
    PARCEL("service", SV_FIELD_TEXT, service, ""),
    PARCEL("from", SV_FIELD_TEXT, from, ""),
    PARCEL("block", SV_FIELD_TEXT, block, ""),
    PARCEL("country", SV_FIELD_TEXT, addressee.country, ""),
    PARCEL("recipient", SV_FIELD_TEXT, addressee.recipient, ""),
    PARCEL("organisation", SV_FIELD_TEXT, addressee.organisation, ""),
    PARCEL("street_lines", SV_FIELD_TEXT, addressee.street_lines, ""),
    PARCEL("dependent_locality", SV_FIELD_TEXT, addressee.dependent_locality, ""),
    PARCEL("city", SV_FIELD_TEXT, addressee.city, ""),
    PARCEL("region", SV_FIELD_TEXT, addressee.region, ""),
    PARCEL("postcode", SV_FIELD_TEXT, addressee.postcode, ""),
    PARCEL("phone", SV_FIELD_TEXT, addressee.phone, ""),
    PARCEL("email", SV_FIELD_TEXT, addressee.email, ""),
    PARCEL("addressee_number", SV_FIELD_TEXT, addressee_number, ""),
    PARCEL("order", SV_FIELD_TEXT, order, ""),
    PARCEL("currency", SV_FIELD_TEXT, currency, ""),
    PARCEL("postage", SV_FIELD_AMOUNT, postage, ""),
    PARCEL("insurance", SV_FIELD_AMOUNT, insurance, ""),
    PARCEL("discount", SV_FIELD_AMOUNT, discount, ""),
    PARCEL("gross_weight", SV_FIELD_WEIGHT, gross_weight, ""),
    PARCEL("packing", SV_FIELD_TEXT, packing, ""),
    PARCEL("length", SV_FIELD_LENGTH, length, ""),
    PARCEL("width", SV_FIELD_LENGTH, width, ""),
    PARCEL("height", SV_FIELD_LENGTH, height, ""),
    PARCEL("item_number", SV_FIELD_TEXT, item_number, ""),
    PARCEL("scheme", SV_FIELD_TEXT, scheme, ""),
    PARCEL("scheme_number", SV_FIELD_TEXT, scheme_number, ""),
    PARCEL("invoice_number", SV_FIELD_TEXT, invoice_number, ""),
    PARCEL("licence", SV_FIELD_TEXT, licence, ""),
    PARCEL("certificate", SV_FIELD_TEXT, certificate, ""),
    PARCEL("comment", SV_FIELD_TEXT, comment, ""),
    PARCEL("note", SV_FIELD_TEXT, note, ""),
    PARCEL("non_delivery", SV_FIELD_WORD, non_delivery, "return return_after_# abandon"),
};

const sv_field sv_piece_fields[SV_PIECE_FIELDS] = {
    PIECE("text", SV_FIELD_TEXT, given.text, ""),
    PIECE("garment", SV_FIELD_TEXT, given.garment, ""),
    PIECE("gender", SV_FIELD_TEXT, given.gender,
          ""), /* its words, and the next ones', are the garment room's to judge */
    PIECE("construction", SV_FIELD_TEXT, given.construction, ""),
    PIECE("fibre", SV_FIELD_TEXT, given.fibre, ""),
    PIECE("features", SV_FIELD_TEXT, given.features, ""),
    PIECE("condition", SV_FIELD_TEXT, given.condition, ""),
    PIECE("presentation", SV_FIELD_TEXT, given.presentation, ""),
    PIECE("quantity", SV_FIELD_COUNT, quantity, ""),
    PIECE("unit", SV_FIELD_WORD, unit, "piece pair set"),
    PIECE("net_weight", SV_FIELD_WEIGHT, net_weight, ""),
    PIECE("unit_value", SV_FIELD_AMOUNT, unit_value, ""),
    PIECE("made_in", SV_FIELD_TEXT, made_in, ""),
    PIECE("code", SV_FIELD_TEXT, code, ""),
    PIECE("free", SV_FIELD_YES, free, ""),
};

static int find(const sv_field *fields, size_t count, const char *name)
{
    for (size_t i = 0; i < count; i++) {
        if (strcmp(fields[i].name, name) == 0) return (int)i;
    }
    return -1;
}

int sv_parcel_field(const char *name)
{
    return find(sv_parcel_fields, SV_PARCEL_FIELDS, name);
}

int sv_piece_field(const char *name)
{
    return find(sv_piece_fields, SV_PIECE_FIELDS, name);
}

/* ---- setting ------------------------------------------------------------------------------------ */

static void *member(const sv_field *field, void *record)
{
    return (char *)record + field->offset;
}

static void set_text(const sv_field *field, void *record, const char *text)
{
    memcpy(member(field, record), &text, sizeof text);
}

static void set_number(const sv_field *field, void *record, sv_dec value)
{
    memcpy(member(field, record), &value, sizeof value);
}

static bool holds_text(sv_field_kind kind)
{
    return kind == SV_FIELD_TEXT || kind == SV_FIELD_WORD || kind == SV_FIELD_MUST || kind == SV_FIELD_DATE;
}

static void clear(const sv_field *fields, size_t count, void *record)
{
    for (size_t i = 0; i < count; i++) {
        if (holds_text(fields[i].kind)) set_text(&fields[i], record, "");
    }
}

void sv_parcel_clear(sv_parcel *parcel)
{
    *parcel = (sv_parcel){.reference = "", .addressee = {.unplaced = ""}};
    clear(sv_parcel_fields, SV_PARCEL_FIELDS, parcel);
}

void sv_piece_clear(sv_piece *piece)
{
    *piece = (sv_piece){0};
    clear(sv_piece_fields, SV_PIECE_FIELDS, piece);
}

/* ---- understanding ------------------------------------------------------------------------------ */

/* Everything a finding about the cell in hand needs. */
typedef struct cell {
    const sv_field *field;
    void *record;
    const char *text, *where, *place;
    sv_findings *findings;
} cell;

static sv_finding *complain(const cell *c, sv_code code, const char *more)
{
    return sv_find(c->findings, code, c->place, SV_ARGS(c->where, c->text, more));
}

/* `#` in the list stands for a number of days. */
static bool word_fits(const char *word, size_t n, const char *text)
{
    const char *end = word + n;
    for (; word < end; word++) {
        if (*word != '#') {
            if (strncasecmp(word, text, 1) != 0) return false;
            text++;
            continue;
        }
        size_t digits = strspn(text, "0123456789");
        if (digits == 0 || digits > 3) return false;
        text += digits;
    }
    return !*text;
}

static const char *lower(sv_arena *arena, const char *text)
{
    char *copy = sv_alloc(arena, strlen(text) + 1);
    if (!copy) return "";
    for (size_t i = 0; text[i]; i++)
        copy[i] = text[i] >= 'A' && text[i] <= 'Z' ? (char)(text[i] + 32) : text[i];
    return copy;
}

static void read_word(const cell *c)
{
    for (const char *w = c->field->words; *w;) {
        size_t n = strcspn(w, " ");
        if (word_fits(w, n, c->text)) {
            set_text(c->field, c->record, lower(c->findings->arena, c->text));
            return;
        }
        w += n + (w[n] == ' ');
    }
    complain(c, c->field->kind == SV_FIELD_MUST ? SV_F_WORD_REFUSED : SV_F_WORD_UNKNOWN, c->field->words);
}

/* Sets a number that is understood, unless it is negative. */
static void keep_number(const cell *c, bool understood, sv_dec value, sv_code otherwise)
{
    if (!understood) {
        complain(c, otherwise, NULL);
    } else if (value.units < 0) {
        complain(c, SV_F_NUMBER_NEGATIVE, NULL);
    } else {
        set_number(c->field, c->record, value);
    }
}

static void read_amount(const cell *c)
{
    sv_dec value;
    bool understood = sv_dec_read(c->text, &value);
    keep_number(c, understood, value, SV_F_AMOUNT_UNREADABLE);
}

static void read_measure(const cell *c, sv_measure what)
{
    sv_dec value;
    bool understood = sv_measure_read(c->text, what, &value);
    keep_number(c, understood, value, what == SV_WEIGHT ? SV_F_WEIGHT_UNREADABLE : SV_F_LENGTH_UNREADABLE);
}

#define MOST_UNITS 1000000

static void read_count(const cell *c)
{
    sv_dec value;
    bool fits = sv_dec_read(c->text, &value) && sv_dec_cmp(value, sv_dec_round(value, 0, SV_DOWN)) == 0 &&
                sv_dec_cmp(value, sv_dec_int(1)) >= 0 && sv_dec_cmp(value, sv_dec_int(MOST_UNITS)) <= 0;
    if (!fits) {
        complain(c, SV_F_QUANTITY_WRONG, NULL);
        return;
    }
    set_number(c->field, c->record, sv_dec_round(value, 0, SV_DOWN));
}

static void read_yes(const cell *c)
{
    bool yes = strcasecmp(c->text, "yes") == 0;
    if (!yes && strcasecmp(c->text, "no") != 0) {
        complain(c, SV_F_WORD_UNKNOWN, "yes no");
        return;
    }
    memcpy(member(c->field, c->record), &yes, sizeof yes);
}

static void read_date(const cell *c)
{
    if (!sv_is_date(c->text)) {
        complain(c, SV_F_DATE_WRONG, NULL);
        return;
    }
    set_text(c->field, c->record, sv_copy(c->findings->arena, c->text));
}

void sv_field_read(const sv_field *field, void *record, const char *text, const char *where,
                   const char *place, sv_findings *findings)
{
    cell c = {field, record, text, where, place, findings};
    switch (field->kind) {
    case SV_FIELD_TEXT: set_text(field, record, sv_copy(findings->arena, text)); return;
    case SV_FIELD_WORD:
    case SV_FIELD_MUST: read_word(&c); return;
    case SV_FIELD_AMOUNT: read_amount(&c); return;
    case SV_FIELD_WEIGHT: read_measure(&c, SV_WEIGHT); return;
    case SV_FIELD_LENGTH: read_measure(&c, SV_LENGTH); return;
    case SV_FIELD_COUNT: read_count(&c); return;
    case SV_FIELD_DATE: read_date(&c); return;
    case SV_FIELD_YES: read_yes(&c); return;
    }
}
