/* data_sheet.c - what to enter with the postal operator before posting, in the order of the CN 23.
 *
 * In most places the paper counts only if the same data went ahead of the parcel: UPU Convention, electronic
 * advance data. The number before a field is that of the CN 23 (UPU, 2018 layout), so that the sheet can be
 * held beside it.
 */
#include <stdio.h>
#include <string.h>

#include "base/banned.h"
#include "papers/ubl.h"

typedef struct sheet {
    const sv_node *dossier;
    sv_buf *out;
    const char *currency;
} sheet;

/* ---- one fact a line ---------------------------------------------------------------------------- */

static void put_line(const sheet *s, const char *before, const char *field, const char *unit,
                     const char *value)
{
    if (!*value) return;
    sv_put(s->out, before);
    sv_put(s->out, field);
    if (*unit) sv_put_format(s->out, " (%s)", unit);
    sv_put_char(s->out, '\t');
    sv_put_tsv(s->out, value);
    sv_put_char(s->out, '\n');
}

static void fact(const sheet *s, const char *field, const char *path)
{
    put_line(s, "", field, "", sv_text_at(s->dossier, path));
}

static void money(const sheet *s, const char *field, const char *path)
{
    put_line(s, "", field, s->currency, sv_text_at(s->dossier, path));
}

/* The texts of a list in one value, apart by ", ". */
static void joined(const sheet *s, const char *before, const char *field, const sv_node *list)
{
    sv_buf all;
    sv_buf_init(&all, 1 << 16);
    for (const sv_node *n = list ? list->first : NULL; n; n = n->next) {
        if (all.length) sv_put(&all, ", ");
        sv_put(&all, n->text);
    }
    if (all.length) put_line(s, before, field, "", all.data);
    sv_buf_free(&all);
}

/* ---- the boxes ---------------------------------------------------------------------------------- */

/* The order of the CN 23: name, business, street, postcode, town, country; then telephone and e-mail. */
static void party(const sheet *s, const char *role, const char *record)
{
    static const struct {
        const char *field, *path;
    } parts[] = {{"name", "recipient"},       {"business", "organisation"},
                 {"street", "street"},        {"district", "dependent_locality"},
                 {"postcode", "postcode"},    {"town", "city"},
                 {"region", "region"},        {"country", "country_name"},
                 {"country code", "country"}, {"telephone", "phone"},
                 {"e-mail", "email"}};
    const sv_node *who = sv_node_at(s->dossier, record);
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        const sv_node *n = who ? sv_node_at(who, parts[i].path) : NULL;
        if (!n) continue;
        if (n->kind == SV_NODE_LIST) {
            joined(s, role, parts[i].field, n);
        } else {
            put_line(s, role, parts[i].field, "", n->text);
        }
    }
}

static void content(const sheet *s, const sv_node *line)
{
    char before[48];
    snprintf(before, sizeof before, "line %.20s: ", sv_text_at(line, "number"));
    put_line(s, before, "1 description", "", sv_text_at(line, "description"));
    put_line(s, before, "1 description, 40 characters", "", sv_text_at(line, "description_short"));
    put_line(s, before, "2 quantity", "", sv_text_at(line, "quantity"));
    put_line(s, before, "2 unit", "", sv_text_at(line, "unit"));
    put_line(s, before, "3 net weight", "kg", sv_text_at(line, "net_kg"));
    put_line(s, before, "5 value", s->currency, sv_text_at(line, "value"));
    put_line(s, before, "7 HS tariff number", "", sv_text_at(line, "code"));
    put_line(s, before, "8 country of origin", "", sv_text_at(line, "made_in_name"));
    put_line(s, before, "8 country of origin code", "", sv_text_at(line, "made_in"));
}

static void all_content(const sheet *s)
{
    const sv_node *lines = sv_node_at(s->dossier, "line");
    for (const sv_node *line = lines ? lines->first : NULL; line; line = line->next)
        content(s, line);
}

static void totals(const sheet *s)
{
    put_line(s, "", "4 total gross weight", "kg", sv_text_at(s->dossier, "totals.gross_kg"));
    put_line(s, "", "total net weight", "kg", sv_text_at(s->dossier, "totals.net_kg"));
    money(s, "6 total value", "totals.goods_value");
    money(s, "9 postal charges", "totals.postage");
    money(s, "9 insurance", "totals.insurance");
}

static void references(const sheet *s)
{
    fact(s, "10 category of item", "category");
    fact(s, "10 category code", "category_code");
    fact(s, "date of posting", "date");
    fact(s, "11 comments", "references.comment");
    fact(s, "12 licence", "references.licence");
    fact(s, "13 certificate", "references.certificate");
    fact(s, "14 invoice", "references.invoice");
    fact(s, "15 signed by", "sender.signature");
}

/* What the paper has no box for, and the operator's entry often has. */
static void beside(const sheet *s)
{
    fact(s, "scheme", "references.scheme");
    fact(s, "scheme number", "references.scheme_number");
    fact(s, "if it cannot be delivered", "references.non_delivery");
    fact(s, "service", "service");
    fact(s, "packing", "package.packing");
    put_line(s, "", "length", "mm", sv_text_at(s->dossier, "package.length_mm"));
    put_line(s, "", "width", "mm", sv_text_at(s->dossier, "package.width_mm"));
    put_line(s, "", "height", "mm", sv_text_at(s->dossier, "package.height_mm"));
    fact(s, "order", "references.order");
    const sv_node *cautions = sv_node_at(s->dossier, "cautions");
    for (const sv_node *n = cautions ? cautions->first : NULL; n; n = n->next)
        put_line(s, "", "note", "", n->text);
}

sv_status sv_data_sheet_write(const sv_node *dossier, sv_buf *out, sv_error *err)
{
    sheet s = {dossier, out, sv_text_at(dossier, "currency")};
    fact(&s, "reference", "reference");
    fact(&s, "form", "form");
    party(&s, "sender ", "sender");
    fact(&s, "sender's customs reference", "references.sender_reference");
    fact(&s, "item number", "item_number");
    party(&s, "addressee ", "addressee");
    fact(&s, "importer's reference", "references.importer_reference");
    all_content(&s);
    totals(&s);
    references(&s);
    beside(&s);
    return out->failed ? sv_fail(err, out->failed, "the data sheet could not be made") : SV_OK;
}
