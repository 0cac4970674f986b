/* ubl.c - the three documents: ExportCustomsDeclaration, Invoice and PackingList of OASIS UBL 2.3. Each
 * function writes one class, its elements in the order of the standard. The reference links the three. */
#include "papers/ubl.h"

#include <string.h>

#include "base/banned.h"
#include "papers/ubl_parts.h"

#define SPACE "urn:oasis:names:specification:ubl:schema:xsd:"

/* Codes of UN/CEFACT data element 1001, document name. */
#define COMMERCIAL_INVOICE "380"
#define PROFORMA_INVOICE   "325" /* from memory */
#define EXPORT_LICENCE     "811" /* from memory */

/* ---- the export customs declaration ------------------------------------------------------------- */

static void signature(sv_pen *pen, const sv_node *dossier)
{
    const char *name = sv_text_at(dossier, "sender.signature");
    if (!*name) name = sv_text_at(dossier, "sender.recipient");
    if (!*name) return;
    sv_pen_begin(pen, "cac:Signature");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "reference"));
    sv_pen_begin(pen, "cac:SignatoryParty");
    sv_pen_begin(pen, "cac:PartyName");
    sv_pen_text(pen, "cbc:Name", name);
    sv_pen_end(pen);
    sv_pen_end(pen);
    sv_pen_end(pen);
}

static const char *invoice_code(const sv_node *dossier)
{
    return strcmp(sv_text_at(dossier, "category"), "sale") == 0 ? COMMERCIAL_INVOICE : PROFORMA_INVOICE;
}

static void customs_declaration(sv_pen *pen, const sv_node *dossier)
{
    static const char document[] = "cac:AdditionalDocumentReference";
    sv_pen_begin(pen, "cac:CustomsDeclaration");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "reference"));
    sv_ubl_shipment(pen, dossier, true);
    sv_ubl_sender(pen, "cac:ConsignorParty", dossier);
    sv_ubl_addressee(pen, "cac:ConsigneeParty", dossier);
    sv_ubl_document(pen, document, sv_text_at(dossier, "references.invoice"), invoice_code(dossier),
                    "Invoice");
    sv_ubl_document(pen, document, sv_text_at(dossier, "references.licence"), EXPORT_LICENCE, "Licence");
    sv_ubl_document(pen, document, sv_text_at(dossier, "references.certificate"), "", "Certificate");
    sv_pen_end(pen);
}

static void declaration(sv_pen *pen, const sv_node *dossier)
{
    sv_pen_text(pen, "cbc:UBLVersionID", "2.3");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "reference"));
    sv_pen_text(pen, "cbc:IssueDate", sv_text_at(dossier, "date"));
    sv_pen_text(pen, "cbc:ExportTypeCode", sv_text_at(dossier, "form"));
    sv_pen_with2(pen, "cbc:ExportReasonCode", "listID", "UPU-136", "name", sv_text_at(dossier, "category"),
                 sv_text_at(dossier, "category_code"));
    sv_ubl_cautions(pen, dossier);
    sv_ubl_sender(pen, "cac:ExporterParty", dossier);
    customs_declaration(pen, dossier);
    signature(pen, dossier);
}

/* ---- the invoice -------------------------------------------------------------------------------- */

static void charge(sv_pen *pen, const sv_node *dossier, bool adds, const char *reason, const char *amount)
{
    if (!*amount) return;
    sv_pen_begin(pen, "cac:AllowanceCharge");
    sv_pen_text(pen, "cbc:ChargeIndicator", adds ? "true" : "false");
    sv_pen_text(pen, "cbc:AllowanceChargeReason", reason);
    sv_ubl_amount(pen, "cbc:Amount", dossier, amount);
    sv_pen_end(pen);
}

static sv_dec number_at(const sv_node *node, const char *path)
{
    sv_dec value = SV_DEC_UNKNOWN;
    return sv_dec_read(sv_text_at(node, path), &value) ? value : SV_DEC_UNKNOWN;
}

/* What lies between the price of the line and what was paid for it: a share of the discount, or the whole of
 * an extra. */
static void line_allowance(sv_pen *pen, const sv_node *dossier, const sv_node *line, bool extra)
{
    sv_dec price = sv_dec_mul(number_at(line, "unit_value"), number_at(line, "quantity"));
    sv_dec between = sv_dec_sub(price, number_at(line, "paid"));
    if (!between.known || between.units == 0) return;
    bool adds = between.units < 0;
    if (adds) between.units = -between.units;
    char text[24];
    charge(pen, dossier, adds,
           extra  ? "Free of charge"
           : adds ? "Spread charge"
                  : "Share of the discount",
           sv_dec_write(between, text));
}

static void invoice_line(sv_pen *pen, const sv_node *dossier, const sv_node *line)
{
    bool extra = strcmp(sv_text_at(line, "free"), "true") == 0;
    sv_pen_begin(pen, "cac:InvoiceLine");
    sv_pen_text(pen, "cbc:ID", sv_text_at(line, "number"));
    sv_pen_with(pen, "cbc:InvoicedQuantity", "unitCode", sv_text_at(line, "unit_code"),
                sv_text_at(line, "quantity"));
    sv_ubl_amount(pen, "cbc:LineExtensionAmount", dossier, sv_text_at(line, "paid"));
    if (extra) sv_pen_text(pen, "cbc:FreeOfChargeIndicator", "true");
    line_allowance(pen, dossier, line, extra);
    sv_ubl_item(pen, line);
    sv_pen_begin(pen, "cac:Price");
    sv_ubl_amount(pen, "cbc:PriceAmount", dossier, sv_text_at(line, "unit_value"));
    sv_pen_end(pen);
    sv_pen_end(pen);
}

static void monetary_total(sv_pen *pen, const sv_node *dossier)
{
    const char *total = sv_text_at(dossier, "totals.invoice_total");
    sv_dec postage = number_at(dossier, "totals.postage"), insurance = number_at(dossier, "totals.insurance");
    sv_dec charges = postage.known && insurance.known ? sv_dec_add(postage, insurance)
                     : postage.known                  ? postage
                                                      : insurance;
    char text[24];
    sv_pen_begin(pen, "cac:LegalMonetaryTotal");
    sv_ubl_amount(pen, "cbc:LineExtensionAmount", dossier, sv_text_at(dossier, "totals.goods_paid"));
    sv_ubl_amount(pen, "cbc:TaxExclusiveAmount", dossier, total);
    sv_ubl_amount(pen, "cbc:TaxInclusiveAmount", dossier, total);
    sv_ubl_amount(pen, "cbc:ChargeTotalAmount", dossier, sv_dec_write(charges, text));
    sv_ubl_amount(pen, "cbc:PayableAmount", dossier, total);
    sv_pen_end(pen);
}

static void in_party(sv_pen *pen, const char *element, void (*who)(sv_pen *, const char *, const sv_node *),
                     const sv_node *dossier)
{
    sv_pen_begin(pen, element);
    who(pen, "cac:Party", dossier);
    sv_pen_end(pen);
}

/* The declaration's reference; a parcel without a declaration has none. */
static const char *declared(const sv_node *dossier)
{
    bool needed = strcmp(sv_text_at(dossier, "declaration.needed"), "true") == 0;
    return needed ? sv_text_at(dossier, "reference") : "";
}

static void order_and_terms(sv_pen *pen, const char *element, const char *id)
{
    sv_pen_begin(pen, element);
    sv_pen_text(pen, "cbc:ID", id);
    sv_pen_end(pen);
}

static void invoice(sv_pen *pen, const sv_node *dossier)
{
    const sv_node *lines = sv_node_at(dossier, "line");
    sv_pen_text(pen, "cbc:UBLVersionID", "2.3");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "references.invoice"));
    sv_pen_text(pen, "cbc:IssueDate", sv_text_at(dossier, "date"));
    sv_pen_text(pen, "cbc:InvoiceTypeCode", invoice_code(dossier));
    sv_ubl_cautions(pen, dossier);
    sv_pen_text(pen, "cbc:DocumentCurrencyCode", sv_text_at(dossier, "currency"));
    sv_pen_text(pen, "cbc:LineCountNumeric", sv_text_at(dossier, "totals.lines"));
    order_and_terms(pen, "cac:OrderReference", sv_text_at(dossier, "references.order"));
    sv_ubl_document(pen, "cac:AdditionalDocumentReference", declared(dossier), "", "Customs declaration");
    in_party(pen, "cac:AccountingSupplierParty", sv_ubl_sender, dossier);
    in_party(pen, "cac:AccountingCustomerParty", sv_ubl_addressee, dossier);
    order_and_terms(pen, "cac:DeliveryTerms", sv_text_at(dossier, "incoterm"));
    charge(pen, dossier, true, "Postage", sv_text_at(dossier, "totals.postage"));
    charge(pen, dossier, true, "Insurance", sv_text_at(dossier, "totals.insurance"));
    monetary_total(pen, dossier);
    for (const sv_node *line = lines ? lines->first : NULL; line; line = line->next)
        invoice_line(pen, dossier, line);
}

/* ---- the packing list --------------------------------------------------------------------------- */

static void packing_list(sv_pen *pen, const sv_node *dossier)
{
    sv_pen_text(pen, "cbc:UBLVersionID", "2.3");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "reference"));
    sv_pen_text(pen, "cbc:IssueDate", sv_text_at(dossier, "date"));
    sv_pen_text(pen, "cbc:Name", "Content list");
    sv_ubl_cautions(pen, dossier);
    sv_ubl_sender(pen, "cac:ConsignorParty", dossier);
    sv_ubl_shipment(pen, dossier, false);
    sv_ubl_document(pen, "cac:DocumentReference", declared(dossier), "", "Customs declaration");
    sv_ubl_document(pen, "cac:DocumentReference", sv_text_at(dossier, "references.invoice"),
                    invoice_code(dossier), "Invoice");
}

/* ---- all three ---------------------------------------------------------------------------------- */

static const struct {
    const char *name, *root;
    void (*write)(sv_pen *, const sv_node *);
} documents[] = {
#define ROOT(name)                                                                                           \
    name " xmlns=\"" SPACE name "-2\" xmlns:cac=\"" SPACE "CommonAggregateComponents-2\" xmlns:cbc=\"" SPACE \
         "CommonBasicComponents-2\""
    [SV_UBL_DECLARATION] = {"ExportCustomsDeclaration", ROOT("ExportCustomsDeclaration"), declaration},
    [SV_UBL_INVOICE] = {"Invoice", ROOT("Invoice"), invoice},
    [SV_UBL_PACKING_LIST] = {"PackingList", ROOT("PackingList"), packing_list},
#undef ROOT
};

/* What the standard makes mandatory and a dossier with stops set aside may lack. */
static bool can_be_written(const sv_node *dossier, sv_ubl_kind kind)
{
    bool sender = *sv_text_at(dossier, "sender.recipient") || *sv_text_at(dossier, "sender.organisation");
    bool named = *sv_text_at(dossier, "reference") && *sv_text_at(dossier, "date") && sender;
    if (kind != SV_UBL_INVOICE || !named) return named;
    const sv_node *lines = sv_node_at(dossier, "line");
    if (!lines || !lines->first || !*sv_text_at(dossier, "totals.invoice_total") ||
        !*sv_text_at(dossier, "currency"))
        return false;
    for (const sv_node *line = lines->first; line; line = line->next) {
        bool priced = *sv_text_at(line, "paid") && *sv_text_at(line, "unit_value");
        if (!priced || !*sv_text_at(line, "description")) return false;
    }
    return true;
}

sv_status sv_ubl_write(const sv_node *dossier, sv_ubl_kind kind, sv_buf *out, bool *written, sv_error *err)
{
    *written = can_be_written(dossier, kind);
    if (!*written) return SV_OK;
    sv_pen pen = {.out = out};
    sv_put(out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n");
    sv_pen_begin(&pen, documents[kind].root);
    documents[kind].write(&pen, dossier);
    sv_pen_end(&pen);
    if (out->failed) return sv_fail(err, out->failed, "%s: the XML could not be made", documents[kind].name);
    return SV_OK;
}
