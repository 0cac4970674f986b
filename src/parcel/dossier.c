/* dossier.c - the written form of the dossier (docs/dossier.md). Every figure is put into letters here, once.
 */
#include <string.h>

#include "base/node.h"
#include "base/world.h"
#include "parcel/judges.h"

typedef struct writer {
    sv_dossier *d;
    sv_arena *arena;
} writer;

/* Each writes nothing where there is nothing to say: an unknown value is absent. */
static void text(const writer *w, sv_node *at, const char *name, const char *value)
{
    if (value && *value) sv_node_text(w->arena, at, name, value);
}

static void number(const writer *w, sv_node *at, const char *name, int64_t value)
{
    if (value >= 0) sv_node_number(w->arena, at, name, sv_format(w->arena, "%lld", (long long)value));
}

static void amount(const writer *w, sv_node *at, const char *name, int64_t minor)
{
    if (minor >= 0) sv_node_number(w->arena, at, name, sv_amount_text(w->arena, minor, w->d->exponent));
}

static void decimal(const writer *w, sv_node *at, const char *name, sv_dec value)
{
    if (value.known) sv_node_number(w->arena, at, name, sv_dec_text(w->arena, value));
}

static void kilograms(const writer *w, sv_node *at, const char *name, int64_t grams)
{
    if (grams >= 0) sv_node_number(w->arena, at, name, sv_dec_text(w->arena, SV_DEC(grams, 3)));
}

static void lines_of(const writer *w, sv_node *at, const char *name, const char *block)
{
    sv_node *list = sv_node_list(w->arena, at, name);
    while (block && *block) {
        size_t n = strcspn(block, "\n");
        sv_node_text(w->arena, list, "", sv_copy_n(w->arena, block, n));
        block += n + (block[n] == '\n');
    }
}

static sv_node *write_party(const writer *w, const char *name, const sv_address *a,
                            const sv_laid_address *laid)
{
    sv_node *p = sv_node_record(w->arena, w->d->tree, name);
    text(w, p, "recipient", a->recipient);
    text(w, p, "organisation", a->organisation);
    lines_of(w, p, "street", a->street_lines);
    text(w, p, "dependent_locality", a->dependent_locality);
    text(w, p, "city", a->city);
    text(w, p, "region", a->region);
    text(w, p, "region_code", laid->region_code);
    text(w, p, "postcode", laid->postcode && *laid->postcode ? laid->postcode : a->postcode);
    text(w, p, "country", laid->place ? laid->place->code : "");
    text(w, p, "country_name", laid->place ? laid->place->common_en : "");
    text(w, p, "territory", laid->territory ? laid->territory->id : "");
    text(w, p, "phone", a->phone);
    text(w, p, "email", a->email);
    lines_of(w, p, "block", laid->block);
    lines_of(w, p, "block_local", laid->block_local);
    return p;
}

static void write_parties(const writer *w)
{
    const sv_dossier *d = w->d;
    const sv_profile *who = &d->parcel->profile;
    sv_node *sender = write_party(w, "sender", &who->address, &d->sender_laid);
    text(w, sender, "status", who->status);
    text(w, sender, "vat_registered", who->vat_registered);
    text(w, sender, "margin_scheme", who->margin_scheme);
    text(w, sender, "eori", who->eori);
    text(w, sender, "signature", who->signature);
    sv_node *addressee = write_party(w, "addressee", &d->addressee, &d->addressee_laid);
    text(w, addressee, "number", d->parcel->addressee_number);
    text(w, d->tree, "operator", who->operator_name);
}

/* UPU code list 136, nature of transaction (from memory). */
static const struct {
    const char *word, *code;
} categories[] = {{"sale", "11"},   {"return", "21"},    {"gift", "31"},
                  {"sample", "32"}, {"documents", "91"}, {"other", "999"}};

static void write_frame(const writer *w)
{
    const sv_dossier *d = w->d;
    sv_node *need = sv_node_record(w->arena, d->tree, "declaration");
    sv_node_flag(w->arena, need, "needed", d->declaration.needed);
    text(w, need, "why", d->declaration.why);
    text(w, need, "rule", d->declaration.rule);
    text(w, need, "source", d->declaration.source);
    text(w, need, "as_of", d->declaration.as_of);
    text(w, d->tree, "form", d->form.form);
    text(w, d->tree, "form_why", d->form.why);
    text(w, d->tree, "category", d->category);
    for (size_t i = 0; i < sizeof categories / sizeof *categories; i++) {
        if (strcmp(categories[i].word, d->category) == 0)
            text(w, d->tree, "category_code", categories[i].code);
    }
    text(w, d->tree, "service", d->service);
    text(w, d->tree, "item_number", d->item_number.valid ? d->item_number.normal : "");
    text(w, d->tree, "item_number_printed", d->item_number.valid ? d->item_number.printed : "");
    text(w, d->tree, "currency", d->currency);
    text(w, d->tree, "incoterm", d->incoterm);
}

static const char *unit_word(const char *code, int64_t quantity)
{
    static const struct {
        const char *code, *one, *many;
    } words[] = {{"H87", "piece", "pieces"}, {"PR", "pair", "pairs"}, {"SET", "set", "sets"}};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(words[i].code, code) == 0) return quantity == 1 ? words[i].one : words[i].many;
    }
    return "";
}

static void write_doubts(const writer *w, sv_node *n, const sv_heading *h)
{
    text(w, n, "hs6", h->hs6);
    text(w, n, "heading", h->heading);
    text(w, n, "certainty", sv_certainty_word(h->certainty));
    text(w, n, "why", h->why);
    text(w, n, "ask", h->ask);
    sv_node *others = sv_node_list(w->arena, n, "others");
    for (size_t i = 0; i < h->others; i++)
        sv_node_text(w->arena, others, "", h->other[i].hs6);
}

static void write_line(const writer *w, sv_node *list, const sv_line *line)
{
    sv_node *n = sv_node_record(w->arena, list, "");
    number(w, n, "number", (int64_t)line->number);
    text(w, n, "description", line->description);
    text(w, n, "description_short", line->description_short);
    number(w, n, "quantity", line->quantity);
    text(w, n, "unit", unit_word(line->unit_code, line->quantity));
    text(w, n, "unit_code", line->unit_code);
    kilograms(w, n, "net_kg", line->net_g);
    number(w, n, "net_g", line->net_g);
    amount(w, n, "unit_value", line->unit_paid);
    amount(w, n, "price", line->piece->free ? 0 : line->unit_paid * line->quantity);
    amount(w, n, "value", line->value);
    amount(w, n, "paid", line->paid);
    text(w, n, "currency", w->d->currency);
    text(w, n, "code", line->code);
    write_doubts(w, n, &line->heading);
    text(w, n, "fibres", sv_fibres_text(w->arena, &line->facts));
    text(w, n, "construction", sv_fact_word(&line->facts, SV_FACT_CONSTRUCTION));
    text(w, n, "wearer", sv_fact_word(&line->facts, SV_FACT_WEARER));
    text(w, n, "condition", sv_fact_word(&line->facts, SV_FACT_CONDITION));
    text(w, n, "made_in", line->made_in);
    text(w, n, "made_in_name", line->made_in_name);
    sv_node_flag(w->arena, n, "free", line->piece->free);
    text(w, n, "border", line->border.why ? sv_verdict_word(line->border.verdict) : "");
}

static void write_totals(const writer *w)
{
    const sv_dossier *d = w->d;
    sv_node *n = sv_node_record(w->arena, d->tree, "totals");
    int64_t pieces = 0, price = 0;
    for (size_t i = 0; i < d->lines; i++) {
        pieces += d->line[i].quantity;
        if (!d->line[i].piece->free) price += d->line[i].unit_paid * d->line[i].quantity;
    }
    amount(w, n, "goods_price", price);
    amount(w, n, "discount", d->discount);
    amount(w, n, "goods_paid", d->goods_paid);
    amount(w, n, "goods_value", d->goods_value);
    amount(w, n, "postage", d->postage);
    amount(w, n, "insurance", d->insurance);
    amount(w, n, "invoice_total", d->invoice_total);
    kilograms(w, n, "net_kg", d->net_g);
    number(w, n, "net_g", d->net_g);
    kilograms(w, n, "gross_kg", d->gross_g);
    number(w, n, "gross_g", d->gross_g);
    number(w, n, "pieces", pieces);
    number(w, n, "lines", (int64_t)d->lines);
}

/* The document that lifts a restriction of any line: CN 23 fields 12 and 13. */
static const char *lifted_by(const sv_dossier *d, bool licence)
{
    for (size_t i = 0; i < d->lines; i++) {
        const sv_border_answer *a = &d->line[i].border;
        const char *document = sv_or_empty(licence ? a->document_licence : a->document_certificate);
        if (*document) return document;
    }
    return "";
}

/* CN 23 field 11: the sender's words, and what the sending country wants written there. */
static const char *comment(const sv_dossier *d)
{
    const char *said = d->parcel->comment, *written = d->leaving.written;
    return sv_format(d->arena, "%s%s%s", said, *said && *written ? "; " : "", written);
}

static void write_leaving(const writer *w)
{
    const sv_leaving *l = &w->d->leaving;
    if (!*l->rule) return;
    sv_node *n = sv_node_record(w->arena, w->d->tree, "leaving");
    sv_node_flag(w->arena, n, "over", l->over);
    text(w, n, "limit", l->limit);
    text(w, n, "rule", l->rule);
    text(w, n, "written", l->written);
    text(w, n, "permits", l->permits);
    text(w, n, "source", l->source);
    text(w, n, "as_of", l->as_of);
}

static void write_references(const writer *w)
{
    const sv_dossier *d = w->d;
    const sv_parcel *p = d->parcel;
    sv_node *n = sv_node_record(w->arena, d->tree, "references");
    text(w, n, "order", p->order);
    text(w, n, "licence", *p->licence ? p->licence : lifted_by(d, true));
    text(w, n, "certificate", *p->certificate ? p->certificate : lifted_by(d, false));
    text(w, n, "invoice", *p->invoice_number ? p->invoice_number : d->reference);
    text(w, n, "comment", comment(d));
    text(w, n, "non_delivery", p->non_delivery);
    text(w, n, "scheme", d->scheme);
    text(w, n, "scheme_number", d->scheme_number);
    text(w, n, "sender_reference", p->profile.eori);
    bool outside = *d->scheme && sv_border_scheme_outside(d->world, d->scheme);
    text(w, n, "importer_reference",
         *p->addressee_number ? p->addressee_number
         : outside            ? d->scheme_number
                              : "");
}

static void millimetres(const writer *w, sv_node *n, const char *name, sv_dec value)
{
    if (value.known)
        number(w, n, name,
               sv_dec_to_int(value, SV_UP)); /* a size is rounded up: it must go through the gauge */
}

static void write_package(const writer *w)
{
    const sv_parcel *p = w->d->parcel;
    sv_node *n = sv_node_record(w->arena, w->d->tree, "package");
    text(w, n, "packing", p->packing);
    millimetres(w, n, "length_mm", p->length);
    millimetres(w, n, "width_mm", p->width);
    millimetres(w, n, "height_mm", p->height);
}

static void write_duty(const writer *w)
{
    const sv_duty *duty = &w->d->duty;
    if (!duty->currency) return;
    sv_node *n = sv_node_record(w->arena, w->d->tree, "duty");
    text(w, n, "currency", duty->currency);
    decimal(w, n, "customs_value", duty->whole.customs_value);
    decimal(w, n, "duty", duty->whole.duty);
    decimal(w, n, "vat_base", duty->whole.vat_base);
    decimal(w, n, "vat", duty->whole.vat);
    decimal(w, n, "fees", duty->whole.fees);
    decimal(w, n, "total", duty->whole.total);
    decimal(w, n, "low", duty->low);
    decimal(w, n, "high", duty->high);
    sv_node_flag(w->arena, n, "lower_bound", duty->lower_bound);
    text(w, n, "tax_name", duty->tax_name);
    text(w, n, "collected_by", duty->collected_by);
    text(w, n, "why", duty->why);
    text(w, n, "exchange", duty->fx_note);
    text(w, n, "source", duty->source);
    text(w, n, "as_of", duty->as_of);
}

static void write_note(const writer *w)
{
    if (!*w->d->buyer_note) return;
    sv_node *n = sv_node_record(w->arena, w->d->tree, "buyer_note");
    text(w, n, "language", w->d->buyer_note_language);
    text(w, n, "text", w->d->buyer_note);
}

/* Worst first. */
static void write_findings(const writer *w)
{
    static const sv_severity order[] = {SV_STOP, SV_CAUTION, SV_NOTE};
    sv_node *list = sv_node_list(w->arena, w->d->tree, "findings");
    for (size_t i = 0; i < sizeof order / sizeof *order; i++) {
        for (const sv_finding *f = w->d->findings.first; f; f = f->next) {
            if (f->severity == order[i]) sv_node_finding(w->arena, list, f);
        }
    }
}

/* Which tables stood behind the judgement, and from when. */
static void write_editions(const writer *w)
{
    const sv_world *world = w->d->world;
    sv_node *list = sv_node_list(w->arena, w->d->tree, "editions");
    for (size_t i = 0; i < world->tables; i++) {
        const sv_table *t = &world->table[i];
        sv_node *n = sv_node_record(w->arena, list, "");
        text(w, n, "table", t->name);
        text(w, n, "oldest", t->oldest);
        text(w, n, "newest", t->newest);
        if (t->users) sv_node_flag(w->arena, n, "users_rows", true);
    }
}

static void write_cautions(const writer *w)
{
    sv_node *list = sv_node_list(w->arena, w->d->tree, "cautions");
    const sv_table *t = sv_world_table(w->d->world, "papers/cautions");
    int words = t ? sv_table_column(t, "text") : -1, source = t ? sv_table_column(t, "source") : -1;
    int as_of = t ? sv_table_column(t, "as_of") : -1;
    for (size_t i = 0; t && i < t->rows; i++) {
        sv_node_text(w->arena, list, "",
                     sv_format(w->arena, "%s (%s; %s)", sv_cell(t, i, words), sv_cell(t, i, source),
                               sv_cell(t, i, as_of)));
    }
}

sv_status sv_dossier_write(sv_dossier *d, sv_error *err)
{
    writer w = {d, d->arena};
    d->tree = sv_node_root(d->arena);
    text(&w, d->tree, "format", "selvedge dossier 1");
    text(&w, d->tree, "reference", d->reference);
    text(&w, d->tree, "date", d->date);
    write_frame(&w);
    write_parties(&w);
    sv_node *list = sv_node_list(d->arena, d->tree, "line");
    for (size_t i = 0; i < d->lines; i++)
        write_line(&w, list, &d->line[i]);
    write_totals(&w);
    write_references(&w);
    write_leaving(&w);
    write_package(&w);
    write_duty(&w);
    write_note(&w);
    write_findings(&w);
    write_cautions(&w);
    write_editions(&w);
    text(&w, d->tree, "note", d->parcel->note);
    text(&w, d->tree, "override", d->override_reason);
    sv_node_flag(d->arena, d->tree, "stopped", d->stopped);
    return sv_arena_failed(d->arena) ? sv_fail(err, SV_NO_MEMORY, "%s: out of memory", d->reference) : SV_OK;
}
