/* ubl_parts.c - parties, items and the shipment. One function for each class of the standard, its elements in
 * the order of the standard. */
#include "papers/ubl_parts.h"

#include <string.h>
#include <strings.h>

#include "base/banned.h"

/* ---- parties ------------------------------------------------------------------------------------ */

static void address_lines(sv_pen *pen, const sv_node *lines)
{
    for (const sv_node *n = lines ? lines->first : NULL; n; n = n->next) {
        sv_pen_begin(pen, "cac:AddressLine");
        sv_pen_text(pen, "cbc:Line", n->text);
        sv_pen_end(pen);
    }
}

static void country(sv_pen *pen, const char *element, const char *code, const char *name)
{
    sv_pen_begin(pen, element);
    sv_pen_with(pen, "cbc:IdentificationCode", "listID", "ISO3166-1", code);
    if (*code) sv_pen_text(pen, "cbc:Name", name);
    sv_pen_end(pen);
}

/* The parts as stated, and the block as it is laid out on the paper. */
static void postal_address(sv_pen *pen, const sv_node *who)
{
    const sv_node *street = sv_node_at(who, "street");
    const sv_node *first = sv_node_item(street, 0), *second = sv_node_item(street, 1);
    sv_pen_begin(pen, "cac:PostalAddress");
    sv_pen_text(pen, "cbc:StreetName", first ? first->text : "");
    sv_pen_text(pen, "cbc:AdditionalStreetName", second ? second->text : "");
    sv_pen_text(pen, "cbc:CitySubdivisionName", sv_text_at(who, "dependent_locality"));
    sv_pen_text(pen, "cbc:CityName", sv_text_at(who, "city"));
    sv_pen_text(pen, "cbc:PostalZone", sv_text_at(who, "postcode"));
    sv_pen_text(pen, "cbc:CountrySubentity", sv_text_at(who, "region"));
    sv_pen_text(pen, "cbc:CountrySubentityCode", sv_text_at(who, "region_code"));
    address_lines(pen, sv_node_at(who, "block"));
    country(pen, "cac:Country", sv_text_at(who, "country"), sv_text_at(who, "country_name"));
    sv_pen_end(pen);
}

/* The block in the destination's own script. */
static void local_address(sv_pen *pen, const sv_node *who)
{
    sv_pen_begin(pen, "cac:PhysicalLocation");
    sv_pen_begin(pen, "cac:Address");
    address_lines(pen, sv_node_at(who, "block_local"));
    sv_pen_end(pen);
    sv_pen_end(pen);
}

static void party_name(sv_pen *pen, const char *name)
{
    sv_pen_begin(pen, "cac:PartyName");
    sv_pen_text(pen, "cbc:Name", name);
    sv_pen_end(pen);
}

static void contact(sv_pen *pen, const sv_node *who)
{
    sv_pen_begin(pen, "cac:Contact");
    sv_pen_text(pen, "cbc:Telephone", sv_text_at(who, "phone"));
    sv_pen_text(pen, "cbc:ElectronicMail", sv_text_at(who, "email"));
    sv_pen_end(pen);
}

static void identification(sv_pen *pen, const char *scheme, const char *id)
{
    sv_pen_begin(pen, "cac:PartyIdentification");
    sv_pen_with(pen, "cbc:ID", "schemeID", scheme, id);
    sv_pen_end(pen);
}

/* IOSS, VOEC, GST, VAT: the scheme under which tax was collected from the buyer, and the seller's number in
 * it. */
static void tax_scheme(sv_pen *pen, const char *scheme, const char *number)
{
    if (!*scheme || !*number) return;
    sv_pen_begin(pen, "cac:PartyTaxScheme");
    sv_pen_with(pen, "cbc:CompanyID", "schemeID", scheme, number);
    sv_pen_begin(pen, "cac:TaxScheme");
    sv_pen_text(pen, "cbc:ID", scheme);
    sv_pen_end(pen);
    sv_pen_end(pen);
}

static void party(sv_pen *pen, const sv_node *who, const char *scheme, const char *number, const char *tax,
                  const char *tax_number)
{
    identification(pen, scheme, number);
    party_name(pen, sv_text_at(who, "recipient"));
    party_name(pen, sv_text_at(who, "organisation"));
    postal_address(pen, who);
    local_address(pen, who);
    tax_scheme(pen, tax, tax_number);
    contact(pen, who);
}

void sv_ubl_sender(sv_pen *pen, const char *element, const sv_node *dossier)
{
    sv_pen_begin(pen, element);
    party(pen, sv_node_at(dossier, "sender"), "EORI", sv_text_at(dossier, "sender.eori"),
          sv_text_at(dossier, "references.scheme"), sv_text_at(dossier, "references.scheme_number"));
    sv_pen_end(pen);
}

static size_t digits_in(const char *text)
{
    size_t n = 0;
    for (; *text; text++)
        n += *text >= '0' && *text <= '9';
    return n;
}

/* What kind of number a place asks of an addressee: Brazil CPF (11 digits, persons) or CNPJ (14), Korea the
 * personal customs code. Elsewhere the number stands without a scheme. */
static const char *addressee_scheme(const char *place, const char *number)
{
    if (strcmp(place, "KR") == 0) return "PCCC";
    if (strcmp(place, "BR") != 0) return "";
    return digits_in(number) == 14 ? "CNPJ" : "CPF";
}

void sv_ubl_addressee(sv_pen *pen, const char *element, const sv_node *dossier)
{
    const char *number = sv_text_at(dossier, "addressee.number");
    sv_pen_begin(pen, element);
    party(pen, sv_node_at(dossier, "addressee"),
          addressee_scheme(sv_text_at(dossier, "addressee.country"), number), number, "", "");
    sv_pen_end(pen);
}

/* ---- goods -------------------------------------------------------------------------------------- */

static void property(sv_pen *pen, const char *name, const char *value)
{
    if (!*value) return;
    sv_pen_begin(pen, "cac:AdditionalItemProperty");
    sv_pen_text(pen, "cbc:Name", name);
    sv_pen_text(pen, "cbc:Value", value);
    sv_pen_end(pen);
}

void sv_ubl_item(sv_pen *pen, const sv_node *line)
{
    sv_pen_begin(pen, "cac:Item");
    sv_pen_text(pen, "cbc:Description", sv_text_at(line, "description"));
    sv_pen_text(pen, "cbc:Name", sv_text_at(line, "description_short"));
    country(pen, "cac:OriginCountry", sv_text_at(line, "made_in"), sv_text_at(line, "made_in_name"));
    sv_pen_begin(pen, "cac:CommodityClassification");
    sv_pen_with2(pen, "cbc:ItemClassificationCode", "listID", "HS", "listVersionID", "2022",
                 sv_text_at(line, "code"));
    sv_pen_end(pen);
    property(pen, "fibres", sv_text_at(line, "fibres"));
    property(pen, "construction", sv_text_at(line, "construction"));
    property(pen, "wearer", sv_text_at(line, "wearer"));
    property(pen, "condition", sv_text_at(line, "condition"));
    sv_pen_end(pen);
}

/* An amount without its currency would say nothing; the standard does not admit it. */
void sv_ubl_amount(sv_pen *pen, const char *element, const sv_node *dossier, const char *amount)
{
    const char *currency = sv_text_at(dossier, "currency");
    if (*currency) sv_pen_with(pen, element, "currencyID", currency, amount);
}

static void kilograms(sv_pen *pen, const char *element, const char *kg)
{
    sv_pen_with(pen, element, "unitCode", "KGM", kg);
}

static void goods_item(sv_pen *pen, const sv_node *dossier, const sv_node *line, bool declared)
{
    sv_pen_begin(pen, "cac:GoodsItem");
    sv_pen_text(pen, "cbc:ID", sv_text_at(line, "number"));
    sv_pen_text(pen, "cbc:Description", sv_text_at(line, "description"));
    if (declared) sv_ubl_amount(pen, "cbc:DeclaredCustomsValueAmount", dossier, sv_text_at(line, "value"));
    kilograms(pen, "cbc:NetWeightMeasure", sv_text_at(line, "net_kg"));
    sv_pen_with(pen, "cbc:Quantity", "unitCode", sv_text_at(line, "unit_code"), sv_text_at(line, "quantity"));
    sv_ubl_item(pen, line);
    sv_pen_end(pen);
}

/* ---- the package -------------------------------------------------------------------------------- */

/* UN/ECE Recommendation 21, by the words a seller writes; the first that stands in the text. */
static const char *package_code(const char *packing)
{
    static const struct {
        const char *word, *code;
    } kinds[] = {{"polybag", "44"}, {"plastic bag", "EC"}, {"paper bag", "5M"}, {"fibreboard", "4G"},
                 {"carton", "CT"},  {"envelope", "EN"},    {"box", "BX"},       {"bag", "BG"},
                 {"parcel", "PC"},  {"package", "PK"}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        size_t n = strlen(kinds[i].word);
        for (const char *p = packing; *p; p++) {
            if (strncasecmp(p, kinds[i].word, n) == 0) return kinds[i].code;
        }
    }
    return "";
}

static void dimension(sv_pen *pen, const char *name, const char *millimetres)
{
    if (!*millimetres) return;
    sv_pen_begin(pen, "cac:MeasurementDimension");
    sv_pen_text(pen, "cbc:AttributeID", name);
    sv_pen_with(pen, "cbc:Measure", "unitCode", "MMT", millimetres);
    sv_pen_end(pen);
}

static void package(sv_pen *pen, const sv_node *dossier)
{
    const char *packing = sv_text_at(dossier, "package.packing");
    sv_pen_begin(pen, "cac:TransportHandlingUnit");
    sv_pen_begin(pen, "cac:Package");
    sv_pen_text(pen, "cbc:PackagingTypeCode", package_code(packing));
    sv_pen_text(pen, "cbc:PackagingType", packing);
    dimension(pen, "Length", sv_text_at(dossier, "package.length_mm"));
    dimension(pen, "Width", sv_text_at(dossier, "package.width_mm"));
    dimension(pen, "Height", sv_text_at(dossier, "package.height_mm"));
    sv_pen_end(pen);
    sv_pen_end(pen);
}

/* ---- the consignment ---------------------------------------------------------------------------- */

static void posting(sv_pen *pen, const sv_node *dossier)
{
    sv_pen_begin(pen, "cac:PlannedPickupTransportEvent");
    sv_pen_text(pen, "cbc:OccurrenceDate", sv_text_at(dossier, "date"));
    sv_pen_begin(pen, "cac:Location");
    sv_pen_text(pen, "cbc:Name", sv_text_at(dossier, "operator"));
    sv_pen_end(pen);
    sv_pen_end(pen);
}

static void freight(sv_pen *pen, const sv_node *dossier)
{
    const char *postage = sv_text_at(dossier, "totals.postage");
    if (!*postage) return;
    sv_pen_begin(pen, "cac:FreightAllowanceCharge");
    sv_pen_text(pen, "cbc:ChargeIndicator", "true");
    sv_pen_text(pen, "cbc:AllowanceChargeReason", "Postage");
    sv_ubl_amount(pen, "cbc:Amount", dossier, postage);
    sv_pen_end(pen);
}

static void carrier(sv_pen *pen, const sv_node *dossier)
{
    sv_pen_begin(pen, "cac:CarrierParty");
    party_name(pen, sv_text_at(dossier, "operator"));
    sv_pen_end(pen);
}

static void terms(sv_pen *pen, const sv_node *dossier)
{
    sv_pen_begin(pen, "cac:DeliveryTerms");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "incoterm"));
    sv_pen_end(pen);
}

static void consignment(sv_pen *pen, const sv_node *dossier, bool declared)
{
    sv_pen_begin(pen, "cac:Consignment");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "reference"));
    sv_pen_with(pen, "cbc:CarrierAssignedID", "schemeID", "UPU-S10", sv_text_at(dossier, "item_number"));
    if (declared) {
        sv_ubl_amount(pen, "cbc:TotalInvoiceAmount", dossier, sv_text_at(dossier, "totals.invoice_total"));
        sv_ubl_amount(pen, "cbc:DeclaredCustomsValueAmount", dossier,
                      sv_text_at(dossier, "totals.goods_value"));
        sv_ubl_amount(pen, "cbc:InsurancePremiumAmount", dossier, sv_text_at(dossier, "totals.insurance"));
    }
    kilograms(pen, "cbc:GrossWeightMeasure", sv_text_at(dossier, "totals.gross_kg"));
    kilograms(pen, "cbc:NetWeightMeasure", sv_text_at(dossier, "totals.net_kg"));
    if (declared)
        sv_pen_text(pen, "cbc:CustomsClearanceServiceInstructions",
                    sv_text_at(dossier, "references.comment"));
    sv_pen_text(pen, "cbc:TotalGoodsItemQuantity", sv_text_at(dossier, "totals.pieces"));
    if (declared)
        sv_pen_text(pen, "cbc:DeliveryInstructions", sv_text_at(dossier, "references.non_delivery"));
    if (declared) posting(pen, dossier);
    sv_ubl_addressee(pen, "cac:ConsigneeParty", dossier);
    carrier(pen, dossier);
    country(pen, "cac:OriginalDepartureCountry", sv_text_at(dossier, "sender.country"),
            sv_text_at(dossier, "sender.country_name"));
    country(pen, "cac:FinalDestinationCountry", sv_text_at(dossier, "addressee.country"),
            sv_text_at(dossier, "addressee.country_name"));
    if (declared) terms(pen, dossier);
    if (declared) freight(pen, dossier);
    sv_pen_end(pen);
}

void sv_ubl_shipment(sv_pen *pen, const sv_node *dossier, bool declared)
{
    const sv_node *lines = sv_node_at(dossier, "line");
    sv_pen_begin(pen, "cac:Shipment");
    sv_pen_text(pen, "cbc:ID", sv_text_at(dossier, "reference"));
    consignment(pen, dossier, declared);
    for (const sv_node *line = lines ? lines->first : NULL; line; line = line->next)
        goods_item(pen, dossier, line, declared);
    package(pen, dossier);
    sv_pen_end(pen);
}

/* ---- documents and notes ------------------------------------------------------------------------ */

void sv_ubl_document(sv_pen *pen, const char *element, const char *id, const char *code, const char *type)
{
    if (!*id) return;
    sv_pen_begin(pen, element);
    sv_pen_text(pen, "cbc:ID", id);
    sv_pen_text(pen, "cbc:DocumentTypeCode", code);
    sv_pen_text(pen, "cbc:DocumentType", type);
    sv_pen_end(pen);
}

void sv_ubl_cautions(sv_pen *pen, const sv_node *dossier)
{
    const sv_node *cautions = sv_node_at(dossier, "cautions");
    sv_buf note;
    sv_buf_init(&note, 1 << 20);
    for (const sv_node *n = cautions ? cautions->first : NULL; n; n = n->next) {
        if (note.length) sv_put_char(&note, ' ');
        sv_put(&note, n->text);
    }
    if (note.failed && !pen->out->failed) pen->out->failed = note.failed;
    if (note.length) sv_pen_with(pen, "cbc:Note", "languageID", "en", note.data);
    sv_buf_free(&note);
}
