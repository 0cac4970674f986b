/* ubl_goods.c - the goods of a document: values and weights against their totals, customs codes,
 * descriptions, and what a customs declaration needs of each line (UPU CN 23, fields 1 to 8). */
#include "papers/ubl_judge.h"

#include <string.h>
#include <strings.h>

#include "base/banned.h"
#include "selvedge/garment.h"
#include "selvedge/tariff.h"

/* ---- weights ------------------------------------------------------------------------------------ */

/* Grams in one, by UN/ECE Recommendation 20. */
static sv_dec grams(const sv_ubl_judge *j, xmlNodePtr measure)
{
    static const struct {
        const char *unit;
        sv_dec factor;
    } units[] = {{"KGM", {1000, 0, true}},
                 {"GRM", {1, 0, true}},
                 {"TNE", {1000000, 0, true}},
                 {"LBR", {45359237, 5, true}},
                 {"ONZ", {28349523125, 9, true}}};
    const char *unit = sv_ubl_attribute(j, measure, "unitCode");
    for (size_t i = 0; i < sizeof units / sizeof *units; i++) {
        if (strcmp(units[i].unit, unit) == 0) return sv_dec_mul(sv_ubl_number(j, measure), units[i].factor);
    }
    return SV_DEC_UNKNOWN;
}

/* ---- what lies below a shipment ----------------------------------------------------------------- */

typedef struct goods {
    sv_dec net, gross; /* grams of all items; unknown once one does not say */
    sv_dec value;      /* of all items, in `currency` */
    const char *currency;
    size_t items;
} goods;

static bool below(xmlNodePtr node, xmlNodePtr top, const char *between)
{
    for (xmlNodePtr n = node->parent; n && n != top; n = n->parent) {
        if (n->type == XML_ELEMENT_NODE && sv_ubl_is(n, between)) return true;
    }
    return false;
}

static void add_value(sv_ubl_judge *j, goods *g, xmlNodePtr item)
{
    xmlNodePtr amount = sv_ubl_child(item, "cbc:DeclaredCustomsValueAmount");
    const char *currency = sv_ubl_attribute(j, amount, "currencyID");
    if (!g->currency) g->currency = currency;
    bool same = amount && strcmp(currency, g->currency) == 0;
    if (amount && !same && *currency && *g->currency)
        sv_ubl_say(j, SV_F_UBL_CURRENCIES, amount, currency, g->currency, NULL);
    g->value = same ? sv_dec_add(g->value, sv_ubl_number(j, amount)) : SV_DEC_UNKNOWN;
}

/* The items that a shipment or consignment holds, contained ones being part of theirs. */
static goods goods_of(sv_ubl_judge *j, xmlNodePtr top)
{
    goods g = {sv_dec_int(0), sv_dec_int(0), sv_dec_int(0), NULL, 0};
    for (xmlNodePtr n = sv_ubl_walk(top, NULL, "cac:GoodsItem"); n;
         n = sv_ubl_walk(top, n, "cac:GoodsItem")) {
        if (below(n, top, "cac:GoodsItem") || below(n, top, "cac:ContainedGoodsItem")) continue;
        g.net = sv_dec_add(g.net, grams(j, sv_ubl_child(n, "cbc:NetWeightMeasure")));
        g.gross = sv_dec_add(g.gross, grams(j, sv_ubl_child(n, "cbc:GrossWeightMeasure")));
        add_value(j, &g, n);
        g.items++;
    }
    return g;
}

static void say_sum(sv_ubl_judge *j, xmlNodePtr stated, const char *what, sv_dec wanted)
{
    sv_ubl_say(j, SV_F_UBL_SUM, stated, sv_ubl_text(j, stated), what, sv_dec_text_short(j->arena, wanted));
}

static bool apart(sv_dec a, sv_dec b, sv_dec tolerance)
{
    sv_dec d = sv_dec_sub(a, b);
    if (!d.known) return false;
    if (d.units < 0) d.units = -d.units;
    return sv_dec_cmp(d, tolerance) > 0;
}

/* The totals that a shipment or a consignment states. */
static void judge_totals(sv_ubl_judge *j, xmlNodePtr top, const goods *g)
{
    xmlNodePtr value = sv_ubl_child(top, "cbc:DeclaredCustomsValueAmount");
    xmlNodePtr net = sv_ubl_child(top, "cbc:NetWeightMeasure"),
               gross = sv_ubl_child(top, "cbc:GrossWeightMeasure");
    bool same = value && g->currency && strcmp(sv_ubl_attribute(j, value, "currencyID"), g->currency) == 0;
    if (same && apart(sv_ubl_number(j, value), g->value, SV_DEC(1, 2)))
        say_sum(j, value, "the sum of the declared values of the goods", g->value);
    sv_dec net_g = grams(j, net), gross_g = grams(j, gross), gram = sv_dec_int(1);
    if (apart(net_g, g->net, gram))
        say_sum(j, net, "the sum of the net weights of the goods, in kg", sv_dec_mul(g->net, SV_DEC(1, 3)));
    sv_dec inside = net_g.known ? net_g : g->net;
    bool lighter = gross_g.known && inside.known && sv_dec_cmp(gross_g, inside) < 0;
    if (lighter)
        sv_ubl_say(j, SV_F_UBL_WEIGHT, gross, sv_ubl_text(j, gross),
                   sv_dec_text_short(j->arena, sv_dec_mul(inside, SV_DEC(1, 3))), NULL);
}

/* A shipment's goods stand below it, or below its consignments; a consignment without any of its own speaks
 * for those of its shipment, when it is the only one. */
static void judge_shipment(sv_ubl_judge *j, xmlNodePtr shipment)
{
    goods all = goods_of(j, shipment);
    if (!all.items) return;
    judge_totals(j, shipment, &all);
    xmlNodePtr first = sv_ubl_child(shipment, "cac:Consignment");
    bool only = first && !sv_ubl_next(first, "cac:Consignment");
    for (xmlNodePtr c = first; c; c = sv_ubl_next(c, "cac:Consignment")) {
        bool own = sv_ubl_walk(c, NULL, "cac:GoodsItem") != NULL;
        goods g = own ? goods_of(j, c) : all;
        if (own || only) judge_totals(j, c, &g);
    }
}

/* ---- customs codes ------------------------------------------------------------------------------ */

static bool all_digits(const char *t, size_t n)
{
    return strlen(t) == n && t[strspn(t, "0123456789")] == 0;
}

/* Chapters whose subheadings the tool knows all of. */
static bool chapter_known_whole(const char *code)
{
    return strncmp(code, "61", 2) == 0 || strncmp(code, "62", 2) == 0;
}

/* The tariff in force on the day of the document; the list of codes begins in 2022. */
static bool code_exists(const sv_ubl_judge *j, const char *code)
{
    const char *date = sv_ubl_text(j, sv_ubl_child(j->root, "cbc:IssueDate"));
    bool listed = j->world->room[SV_ROOM_TARIFF] && chapter_known_whole(code) && strlen(date) >= 10 &&
                  strcmp(date, "2022-01-01") >= 0;
    if (!listed) return strncmp(code, "00", 2) != 0 && strncmp(code, "77", 2) != 0;
    const char *six = sv_copy_n(j->arena, code, 6);
    return sv_hs_title(j->world, six, sv_copy_n(j->arena, date, 10)) != NULL;
}

/* The Harmonized System and the national tariffs that build on its six digits. */
static bool is_tariff(const char *list)
{
    static const char *const tariffs[] = {"TARIC", "CN", "KN", "NC", "HTS", "HTSUS", "HTSUSA", "UKGT"};
    if (strncasecmp(list, "HS", 2) == 0) return true;
    for (size_t i = 0; i < sizeof tariffs / sizeof *tariffs; i++) {
        if (strcasecmp(tariffs[i], list) == 0) return true;
    }
    return false;
}

static void judge_hs(sv_ubl_judge *j, xmlNodePtr node)
{
    if (!is_tariff(sv_ubl_attribute(j, node, "listID"))) return;
    const char *code = sv_ubl_text(j, node);
    size_t n = strlen(code);
    bool formed = n >= 6 && n <= 12 && all_digits(code, n);
    if (!*code || (formed && code_exists(j, code))) return;
    sv_finding *f = sv_ubl_say(j, SV_F_UBL_HS, node, code, NULL, NULL);
    sv_finding_source(f, "HS 2022", "2026-11-25");
}

/* ---- descriptions ------------------------------------------------------------------------------- */

/* A declaration rests on its descriptions; an invoice or a packing list may well speak shorter. */
static void judge_description(sv_ubl_judge *j, xmlNodePtr node)
{
    sv_description what = SV_DESCRIPTION_FIT;
    const char *reason = "", *text = sv_ubl_text(j, node);
    if (!*text || !j->world->room[SV_ROOM_LEXICON]) return;
    if (sv_description_weigh(j->world, j->arena, text, &what, &reason) != SV_OK) return;
    bool thin = what == SV_DESCRIPTION_BARE || what == SV_DESCRIPTION_PARTLY_VAGUE;
    bool stop =
        what == SV_DESCRIPTION_VAGUE || (what == SV_DESCRIPTION_BARE && j->kind == SV_UBL_DECLARATION);
    if (!stop && !thin) return;
    sv_finding *f =
        sv_ubl_say(j, stop ? SV_F_UBL_DESCRIPTION : SV_F_UBL_DESCRIPTION_THIN, node, text, reason, NULL);
    sv_finding_source(f, "UPU CN 22 and CN 23 completion instructions (2018)", "2026-11-25");
}

static void judge_descriptions(sv_ubl_judge *j)
{
    for (xmlNodePtr n = sv_ubl_walk(j->root, NULL, "cbc:Description"); n;
         n = sv_ubl_walk(j->root, n, "cbc:Description")) {
        bool of_goods = sv_ubl_is(n->parent, "cac:GoodsItem") || sv_ubl_is(n->parent, "cac:Item");
        if (of_goods) judge_description(j, n);
    }
}

/* ---- what a declaration needs ------------------------------------------------------------------- */

static void lacks(sv_ubl_judge *j, xmlNodePtr node, bool there, const char *what, const char *field)
{
    if (there) return;
    sv_finding *f = sv_ubl_say(j, SV_F_UBL_LACKS, node, what, field, NULL);
    sv_finding_source(f, "UPU CN 23 (2018 layout)", "2026-11-25");
}

static bool classified(xmlNodePtr item)
{
    for (xmlNodePtr c = sv_ubl_child(item, "cac:CommodityClassification"); c;
         c = sv_ubl_next(c, "cac:CommodityClassification")) {
        if (sv_ubl_child(c, "cbc:ItemClassificationCode") || sv_ubl_child(c, "cbc:CommodityCode"))
            return true;
    }
    return false;
}

static void judge_declared_item(sv_ubl_judge *j, xmlNodePtr goods_item)
{
    xmlNodePtr item = sv_ubl_child(goods_item, "cac:Item"),
               value = sv_ubl_child(goods_item, "cbc:DeclaredCustomsValueAmount");
    bool described = sv_ubl_child(goods_item, "cbc:Description") || sv_ubl_child(item, "cbc:Description") ||
                     sv_ubl_child(item, "cbc:Name");
    lacks(j, goods_item, described, "a description", "1");
    lacks(j, goods_item, sv_ubl_child(goods_item, "cbc:Quantity") != NULL, "a quantity", "2");
    lacks(j, goods_item, sv_ubl_child(goods_item, "cbc:NetWeightMeasure") != NULL, "a net weight", "3");
    lacks(j, goods_item, value != NULL, "a customs value", "5");
    lacks(j, goods_item, classified(item), "a customs code", "7");
    lacks(j, goods_item, sv_ubl_at(item, "cac:OriginCountry/cbc:IdentificationCode") != NULL,
          "a country of origin", "8");
    sv_dec amount = sv_ubl_number(j, value);
    if (amount.known && amount.units == 0) sv_ubl_say(j, SV_F_UBL_ZERO, value, NULL, NULL, NULL);
    sv_dec quantity = sv_ubl_number(j, sv_ubl_child(goods_item, "cbc:Quantity"));
    if (quantity.known && quantity.units == 0)
        sv_ubl_say(j, SV_F_UBL_NOTHING, sv_ubl_child(goods_item, "cbc:Quantity"), NULL, NULL, NULL);
}

static bool named(xmlNodePtr party)
{
    return sv_ubl_at(party, "cac:PartyName/cbc:Name") ||
           sv_ubl_at(party, "cac:PartyLegalEntity/cbc:RegistrationName") ||
           sv_ubl_at(party, "cac:Person/cbc:FamilyName");
}

static void judge_consignee(sv_ubl_judge *j, xmlNodePtr consignee)
{
    xmlNodePtr country = sv_ubl_at(consignee, "cac:PostalAddress/cac:Country/cbc:IdentificationCode");
    lacks(j, consignee, named(consignee), "a name", "To");
    lacks(j, consignee, country != NULL, "a country", "To");
}

static void judge_declaration(sv_ubl_judge *j)
{
    xmlNodePtr exporter = sv_ubl_child(j->root, "cac:ExporterParty"),
               customs = sv_ubl_child(j->root, "cac:CustomsDeclaration");
    xmlNodePtr consignee = sv_ubl_child(customs, "cac:ConsigneeParty");
    if (!consignee) consignee = sv_ubl_at(customs, "cac:Shipment/cac:Consignment/cac:ConsigneeParty");
    if (exporter) lacks(j, exporter, named(exporter), "a name", "From");
    if (customs) lacks(j, customs, consignee != NULL, "an addressee", "To");
    if (consignee) judge_consignee(j, consignee);
    for (xmlNodePtr n = sv_ubl_walk(j->root, NULL, "cac:GoodsItem"); n;
         n = sv_ubl_walk(j->root, n, "cac:GoodsItem"))
        judge_declared_item(j, n);
}

/* ---- negative figures --------------------------------------------------------------------------- */

/* Goods weigh something and are worth something; credits stand on invoices only. */
static void judge_signs(sv_ubl_judge *j)
{
    static const char *const never[] = {"cbc:NetWeightMeasure", "cbc:GrossWeightMeasure",
                                        "cbc:DeclaredCustomsValueAmount", "cbc:Quantity",
                                        "cbc:TotalGoodsItemQuantity"};
    for (size_t i = 0; i < sizeof never / sizeof *never; i++) {
        for (xmlNodePtr n = sv_ubl_walk(j->root, NULL, never[i]); n; n = sv_ubl_walk(j->root, n, never[i])) {
            sv_dec value = sv_ubl_number(j, n);
            if (value.known && value.units < 0)
                sv_ubl_say(j, SV_F_UBL_NEGATIVE, n, sv_ubl_text(j, n), NULL, NULL);
        }
    }
}

void sv_ubl_judge_goods(sv_ubl_judge *j)
{
    static const char *const codes[] = {"cbc:ItemClassificationCode", "cbc:CommodityCode"};
    for (xmlNodePtr n = sv_ubl_walk(j->root, NULL, "cac:Shipment"); n;
         n = sv_ubl_walk(j->root, n, "cac:Shipment"))
        judge_shipment(j, n);
    for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
        for (xmlNodePtr n = sv_ubl_walk(j->root, NULL, codes[i]); n; n = sv_ubl_walk(j->root, n, codes[i]))
            judge_hs(j, n);
    }
    judge_descriptions(j);
    judge_signs(j);
    if (j->kind == SV_UBL_DECLARATION) judge_declaration(j);
}
