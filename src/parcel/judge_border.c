/* judge_border.c - is a declaration needed, on which form, and may the goods go. */
#include <string.h>

#include "parcel/judges.h"

sv_status sv_judge_declaration_need(sv_dossier *d, sv_error *err)
{
    if (!d->from.place || !d->to.place) {
        d->declaration = (sv_declaration){
            .needed = true, .why = "one end of the way is not known", .rule = "", .source = "", .as_of = ""};
        return SV_OK;
    }
    sv_status s = sv_border_declaration(d->world, d->arena, d->from, d->to, d->date, &d->declaration);
    if (s) return sv_fail(err, s, "%s: the border cannot be judged", d->reference);
    const sv_declaration *need = &d->declaration;
    sv_finding *f = NULL;
    if (need->doubtful)
        f = sv_find(&d->findings, SV_F_DECLARATION_DOUBTFUL, "declaration", SV_ARGS(need->why));
    if (!need->needed)
        f = sv_find(&d->findings, SV_F_DECLARATION_NOT_NEEDED, "declaration", SV_ARGS(need->why));
    sv_finding_source(f, need->source, need->as_of);
    return SV_OK;
}

sv_status sv_judge_form(sv_dossier *d, sv_error *err)
{
    d->form =
        (sv_form_choice){.form = "CN23", .why = "one end of the way is not known", .source = "", .as_of = ""};
    d->leaving =
        (sv_leaving){.limit = "", .rule = "", .written = "", .permits = "", .source = "", .as_of = ""};
    if (!d->from.place || !d->to.place) return SV_OK;
    sv_status s =
        sv_border_form(d->world, d->arena, d->from, &d->declaration, d->service, d->category, d->lines,
                       d->goods_value, d->currency, d->gross_g, d->date, &d->form, &d->findings);
    if (!s && d->declaration.needed)
        s = sv_border_leaving(d->world, d->arena, d->from, d->to, d->goods_value, d->currency, &d->leaving,
                              &d->findings);
    return s ? sv_fail(err, s, "%s: the form cannot be chosen", d->reference) : SV_OK;
}

/* The documents the seller holds: what stands in the licence and certificate columns. */
static const char *documents(sv_dossier *d)
{
    const char *licence = d->parcel->licence, *certificate = d->parcel->certificate;
    return sv_format(d->arena, "%s%s%s", licence, *licence && *certificate ? "; " : "", certificate);
}

static sv_status judge_line_goods(sv_dossier *d, size_t i)
{
    sv_line *line = &d->line[i];
    const sv_garment_given *said = &line->piece->given;
    sv_goods goods = {
        .item = sv_format(d->arena, "%s %s %s %s", sv_or_empty(said->text), sv_or_empty(said->garment),
                          sv_or_empty(said->features), sv_or_empty(said->fibre)),
        .facts = &line->facts,
        .hs6 = strlen(line->code) >= 6 ? sv_copy_n(d->arena, line->code, 6) : "",
        .condition = sv_or_empty(said->condition),
        .situation = strcmp(d->category, "gift") == 0 || strcmp(d->category, "return") == 0 ||
                             strcmp(d->category, "sample") == 0
                         ? d->category
                         : "sale",
        .presentation = sv_or_empty(said->presentation),
        .value = SV_DEC(line->unit_paid, (uint8_t)d->exponent),
        .currency = d->currency,
        .net_weight_g = line->net_g > 0 ? sv_dec_int(line->net_g) : SV_DEC_UNKNOWN,
        .documents = documents(d),
        .sender_status = d->parcel->profile.status,
    };
    return sv_border_goods(d->world, d->arena, d->from, d->to, &goods, d->date, sv_piece_place(d, i, ""),
                           &line->border, &d->findings);
}

sv_status sv_judge_goods(sv_dossier *d, sv_error *err)
{
    if (!d->from.place || !d->to.place) return SV_OK;
    for (size_t i = 0; i < d->lines; i++) {
        sv_status s = judge_line_goods(d, i);
        if (s) return sv_fail(err, s, "%s: piece %zu cannot be judged at the border", d->reference, i + 1);
    }
    return SV_OK;
}
