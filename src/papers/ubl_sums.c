/* ubl_sums.c - do the figures of an invoice hang together?
 *
 * The definitions of MonetaryTotal, InvoiceLine and TaxTotal in UBL 2.3 say what each amount is the total of.
 * Where practice differs (a rounding already in the total, allowances of a line already in its price) each
 * usual reading is admitted; a figure that no reading gives is a fault. Amounts in another currency than the
 * figure they belong to are not compared.
 */
#include "papers/ubl_judge.h"

#include <string.h>

#include "base/banned.h"
#include "selvedge/atlas.h"

/* A sum in one currency. `ok` is false once a part was missing, unreadable, or in another currency. */
typedef struct total {
    const char *currency;
    sv_dec sum;
    bool ok;
    size_t parts;
} total;

static total total_in(const char *currency)
{
    return (total){currency, sv_dec_int(0), true, 0};
}

static void add(const sv_ubl_judge *j, total *t, xmlNodePtr amount, bool minus)
{
    sv_dec value = sv_ubl_number(j, amount);
    bool same = value.known && strcmp(sv_ubl_attribute(j, amount, "currencyID"), t->currency) == 0;
    t->sum = minus ? sv_dec_sub(t->sum, value) : sv_dec_add(t->sum, value);
    t->ok = t->ok && same && t->sum.known;
    t->parts++;
}

static sv_dec absolute(sv_dec d)
{
    if (d.units < 0) d.units = -d.units;
    return d;
}

static bool near(sv_dec a, sv_dec b, sv_dec tolerance)
{
    sv_dec apart = sv_dec_sub(a, b);
    return !apart.known || sv_dec_cmp(absolute(apart), tolerance) <= 0;
}

/* One minor unit of the currency. */
static sv_dec minor_unit(const sv_ubl_judge *j, const char *currency)
{
    int digits = j->world->room[SV_ROOM_ATLAS] ? sv_currency_exponent(j->world, currency) : 2;
    return SV_DEC(1, (uint8_t)(digits >= 0 ? digits : 2));
}

static void say_sum(sv_ubl_judge *j, xmlNodePtr amount, const char *what, sv_dec wanted)
{
    sv_ubl_say(j, SV_F_UBL_SUM, amount, sv_ubl_text(j, amount), what, sv_dec_text_short(j->arena, wanted));
}

/* A stated figure against a total that could be made. */
static void compare(sv_ubl_judge *j, xmlNodePtr stated, const total *t, const char *what)
{
    if (!stated || !t->ok) return;
    sv_dec value = sv_ubl_number(j, stated);
    bool same_currency = strcmp(sv_ubl_attribute(j, stated, "currencyID"), t->currency) == 0;
    if (!value.known || !same_currency || near(value, t->sum, minor_unit(j, t->currency))) return;
    say_sum(j, stated, what, t->sum);
}

/* ---- allowances and charges --------------------------------------------------------------------- */

static bool is_true(const sv_ubl_judge *j, xmlNodePtr flag)
{
    const char *text = sv_ubl_text(j, flag);
    return strcmp(text, "true") == 0 || strcmp(text, "1") == 0;
}

/* All of a node's own, charges or allowances. */
static total charges_of(const sv_ubl_judge *j, xmlNodePtr node, const char *currency, bool charges)
{
    total t = total_in(currency);
    for (xmlNodePtr a = sv_ubl_child(node, "cac:AllowanceCharge"); a;
         a = sv_ubl_next(a, "cac:AllowanceCharge")) {
        if (is_true(j, sv_ubl_child(a, "cbc:ChargeIndicator")) == charges)
            add(j, &t, sv_ubl_child(a, "cbc:Amount"), false);
    }
    return t;
}

/* ---- lines -------------------------------------------------------------------------------------- */

/* Quantity times price, for as many as the price is for. */
static sv_dec line_price(const sv_ubl_judge *j, xmlNodePtr line, sv_dec *tolerance)
{
    sv_dec quantity = sv_ubl_number(j, sv_ubl_child(line, "cbc:InvoicedQuantity"));
    sv_dec price = sv_ubl_number(j, sv_ubl_at(line, "cac:Price/cbc:PriceAmount"));
    sv_dec base = sv_ubl_number(j, sv_ubl_at(line, "cac:Price/cbc:BaseQuantity"));
    if (!base.known || base.units == 0) base = sv_dec_int(1);
    sv_dec units = sv_dec_div(quantity, base, 6, SV_HALF_UP);
    /* A printed price is rounded; the error grows with the quantity. */
    sv_dec half = SV_DEC(5, (uint8_t)(price.known && price.scale < 17 ? price.scale + 1 : 17));
    *tolerance = sv_dec_add(*tolerance, absolute(sv_dec_mul(units, half)));
    return sv_dec_div(sv_dec_mul(quantity, price), base, 6, SV_HALF_UP);
}

static void judge_line(sv_ubl_judge *j, xmlNodePtr line)
{
    xmlNodePtr stated = sv_ubl_child(line, "cbc:LineExtensionAmount");
    sv_dec value = sv_ubl_number(j, stated);
    const char *currency = sv_ubl_attribute(j, stated, "currencyID");
    const char *price_currency =
        sv_ubl_attribute(j, sv_ubl_at(line, "cac:Price/cbc:PriceAmount"), "currencyID");
    sv_dec tolerance = minor_unit(j, currency), price = line_price(j, line, &tolerance);
    total less = charges_of(j, line, currency, false), more = charges_of(j, line, currency, true);
    if (!value.known || !price.known || !less.ok || !more.ok || strcmp(currency, price_currency) != 0) return;
    sv_dec net = sv_dec_add(sv_dec_sub(price, less.sum), more.sum);
    bool reading = near(value, price, tolerance) || near(value, net, tolerance);
    if (!reading)
        say_sum(j, stated, "quantity times price, with the allowances and charges of the line", net);
}

/* Each line has an identifier of its own; a long invoice's are compared with their neighbour only. */
static void judge_line_id(sv_ubl_judge *j, xmlNodePtr line)
{
    xmlNodePtr next = sv_ubl_next(line, "cac:InvoiceLine");
    const char *id = sv_ubl_text(j, sv_ubl_child(line, "cbc:ID"));
    bool same = next && *id && strcmp(sv_ubl_text(j, sv_ubl_child(next, "cbc:ID")), id) == 0;
    if (same) sv_ubl_say(j, SV_F_UBL_LINE_TWICE, next, id, NULL, NULL);
}

static total judge_lines(sv_ubl_judge *j, const char *currency)
{
    total t = total_in(currency);
    for (xmlNodePtr line = sv_ubl_child(j->root, "cac:InvoiceLine"); line;
         line = sv_ubl_next(line, "cac:InvoiceLine")) {
        judge_line(j, line);
        judge_line_id(j, line);
        add(j, &t, sv_ubl_child(line, "cbc:LineExtensionAmount"), false);
    }
    return t;
}

static void judge_line_count(sv_ubl_judge *j, size_t lines)
{
    xmlNodePtr stated = sv_ubl_child(j->root, "cbc:LineCountNumeric");
    sv_dec count = sv_ubl_number(j, stated);
    if (!count.known || sv_dec_cmp(count, sv_dec_int((int64_t)lines)) == 0) return;
    say_sum(j, stated, "the number of invoice lines", sv_dec_int((int64_t)lines));
}

/* ---- taxes -------------------------------------------------------------------------------------- */

static void judge_subtotal(sv_ubl_judge *j, xmlNodePtr subtotal)
{
    xmlNodePtr stated = sv_ubl_child(subtotal, "cbc:TaxAmount");
    sv_dec base = sv_ubl_number(j, sv_ubl_child(subtotal, "cbc:TaxableAmount"));
    sv_dec percent = sv_ubl_number(j, sv_ubl_at(subtotal, "cac:TaxCategory/cbc:Percent"));
    sv_dec value = sv_ubl_number(j, stated);
    sv_dec wanted = sv_dec_div(sv_dec_mul(base, percent), sv_dec_int(100), 4, SV_HALF_UP);
    if (!wanted.known || !value.known || near(value, wanted, SV_DEC(5, 2))) return;
    sv_ubl_say(j, SV_F_UBL_TAX_DOUBT, stated, sv_ubl_text(j, stated), sv_dec_text_short(j->arena, wanted),
               NULL);
}

/* Each tax total is the sum of its subtotals; all those in the invoice's currency together are the tax. */
static total judge_taxes(sv_ubl_judge *j, const char *currency)
{
    total all = total_in(currency);
    for (xmlNodePtr tax = sv_ubl_child(j->root, "cac:TaxTotal"); tax;
         tax = sv_ubl_next(tax, "cac:TaxTotal")) {
        xmlNodePtr stated = sv_ubl_child(tax, "cbc:TaxAmount");
        total parts = total_in(sv_ubl_attribute(j, stated, "currencyID"));
        for (xmlNodePtr s = sv_ubl_child(tax, "cac:TaxSubtotal"); s; s = sv_ubl_next(s, "cac:TaxSubtotal")) {
            judge_subtotal(j, s);
            add(j, &parts, sv_ubl_child(s, "cbc:TaxAmount"), false);
        }
        if (parts.parts) compare(j, stated, &parts, "the sum of the tax subtotals");
        if (strcmp(parts.currency, currency) == 0) add(j, &all, stated, false);
    }
    return all;
}

/* ---- the totals --------------------------------------------------------------------------------- */

typedef struct figures {
    xmlNodePtr lines, exclusive, inclusive, allowances, charges, prepaid, rounding, withheld, payable;
} figures;

static figures figures_of(xmlNodePtr root)
{
    xmlNodePtr t = sv_ubl_child(root, "cac:LegalMonetaryTotal");
    return (figures){.lines = sv_ubl_child(t, "cbc:LineExtensionAmount"),
                     .exclusive = sv_ubl_child(t, "cbc:TaxExclusiveAmount"),
                     .inclusive = sv_ubl_child(t, "cbc:TaxInclusiveAmount"),
                     .allowances = sv_ubl_child(t, "cbc:AllowanceTotalAmount"),
                     .charges = sv_ubl_child(t, "cbc:ChargeTotalAmount"),
                     .prepaid = sv_ubl_child(t, "cbc:PrepaidAmount"),
                     .rounding = sv_ubl_child(t, "cbc:PayableRoundingAmount"),
                     .withheld = sv_ubl_child(t, "cbc:WithholdingTaxTotalAmount"),
                     .payable = sv_ubl_child(t, "cbc:PayableAmount")};
}

static sv_dec or_zero(sv_dec d)
{
    return d.known ? d : sv_dec_int(0);
}

/* A figure that may be given with or without the rounding of the payable amount in it. */
static void compare_rounded(sv_ubl_judge *j, xmlNodePtr stated, sv_dec wanted, sv_dec rounding,
                            const char *what)
{
    sv_dec value = sv_ubl_number(j, stated), unit = minor_unit(j, sv_ubl_attribute(j, stated, "currencyID"));
    if (!value.known || !wanted.known) return;
    bool reading = near(value, wanted, unit) || near(value, sv_dec_add(wanted, rounding), unit);
    if (!reading) say_sum(j, stated, what, wanted);
}

/* Without taxes: lines less allowances plus charges. Some national uses put the tax itself there. */
static void judge_exclusive(sv_ubl_judge *j, const figures *f, const total *tax)
{
    sv_dec lines = sv_ubl_number(j, f->lines), value = sv_ubl_number(j, f->exclusive);
    sv_dec wanted = sv_dec_add(sv_dec_sub(lines, or_zero(sv_ubl_number(j, f->allowances))),
                               or_zero(sv_ubl_number(j, f->charges)));
    sv_dec unit = minor_unit(j, sv_ubl_attribute(j, f->exclusive, "currencyID"));
    if (!value.known || !wanted.known || near(value, wanted, unit) ||
        (tax->parts && near(value, tax->sum, unit)))
        return;
    say_sum(j, f->exclusive, "the lines less allowances plus charges", wanted);
}

static void judge_totals(sv_ubl_judge *j, const figures *f, const total *lines, const total *tax)
{
    total less = charges_of(j, j->root, lines->currency, false),
          more = charges_of(j, j->root, lines->currency, true);
    sv_dec rounding = or_zero(sv_ubl_number(j, f->rounding)), prepaid = or_zero(sv_ubl_number(j, f->prepaid));
    sv_dec exclusive = sv_ubl_number(j, f->exclusive), inclusive = sv_ubl_number(j, f->inclusive);
    compare(j, f->lines, lines, "the sum of the lines");
    compare(j, f->allowances, &less, "the sum of the allowances");
    compare(j, f->charges, &more, "the sum of the charges");
    judge_exclusive(j, f, tax);
    bool tax_in_place =
        tax->parts && exclusive.known && near(exclusive, tax->sum, minor_unit(j, lines->currency));
    if (tax->ok && !f->withheld && !tax_in_place)
        compare_rounded(j, f->inclusive, sv_dec_add(exclusive, tax->sum), rounding,
                        "the amount without taxes plus taxes");
    if (!f->withheld && inclusive.known)
        compare_rounded(j, f->payable, sv_dec_sub(inclusive, prepaid), rounding,
                        "the amount with taxes less what was paid before");
}

/* Lines and totals speak in the currency of the document. */
static void judge_currency(sv_ubl_judge *j, const char *currency)
{
    static const char *const amounts[] = {"cbc:LineExtensionAmount", "cbc:TaxExclusiveAmount",
                                          "cbc:TaxInclusiveAmount", "cbc:PayableAmount"};
    for (size_t i = 0; i < sizeof amounts / sizeof *amounts; i++) {
        for (xmlNodePtr n = sv_ubl_walk(j->root, NULL, amounts[i]); n;
             n = sv_ubl_walk(j->root, n, amounts[i])) {
            const char *own = sv_ubl_attribute(j, n, "currencyID");
            if (*own && strcmp(own, currency) != 0) sv_ubl_say(j, SV_F_UBL_CURRENCY, n, own, currency, NULL);
        }
    }
}

void sv_ubl_judge_sums(sv_ubl_judge *j)
{
    figures f = figures_of(j->root);
    const char *currency = sv_ubl_text(j, sv_ubl_child(j->root, "cbc:DocumentCurrencyCode"));
    if (*currency) judge_currency(j, currency);
    if (!*currency) currency = sv_ubl_attribute(j, f.payable, "currencyID");
    total lines = judge_lines(j, currency), tax = judge_taxes(j, currency);
    judge_line_count(j, lines.parts);
    judge_totals(j, &f, &lines, &tax);
}
