/* border_charges.c - one piece, its code by the tariff, its charges by the duty room. */
#include "cli/border_charges.h"

#include <string.h>

/* The code the estimate rests on and how sure it is; "" when the facts tell none. */
static sv_status code_of(const sv_world *world, sv_arena *arena, const sv_piece_asked *a, const char **code,
                         const char **how)
{
    *code = a->code;
    *how = "the code given";
    if (strlen(a->code) >= 6) return SV_OK;
    sv_findings unheard = sv_findings_in(arena); /* they are for the command heading */
    sv_heading h;
    const char *place = a->to.place ? a->to.place->code : "";
    sv_status s = sv_classify(world, arena, a->goods->facts, place, a->date, "", &h, &unheard);
    if (s) return s;
    *code = h.hs6;
    const char *sure = h.certainty == SV_CERTAIN  ? "certain by these words"
                       : h.certainty == SV_LIKELY ? "likely by these words"
                                                  : "the best of several by these words";
    *how = h.certainty == SV_OPEN && *h.ask ? sv_format(arena, "%s; %s", sure, h.ask) : sure;
    return SV_OK;
}

static const char *in_words(const sv_world *world, sv_arena *arena, const sv_piece_asked *a,
                            const sv_duty *duty, const char *code, const char *how)
{
    const char *charges = sv_duty_words(arena, duty, &a->to);
    if (!*code) return sv_format(arena, "%s  %-16s not told by these words\n", charges, "code");
    const char *title = strlen(code) >= 6 ? sv_hs_title(world, code, a->date) : NULL;
    sv_buf line;
    sv_buf_init(&line, 0);
    sv_put_wrapped(&line, sv_format(arena, "%s%s%s (%s)", code, title ? " " : "", sv_or_empty(title), how),
                   19, 98);
    if (line.data) memcpy(line.data + 2, "code", 4);
    const char *text = sv_format(arena, "%s%s", charges, sv_or_empty(line.data));
    sv_buf_free(&line);
    return text;
}

sv_status sv_border_charges(const sv_world *world, sv_arena *arena, const sv_piece_asked *a,
                            const char **text, const sv_duty **out, sv_findings *findings)
{
    *out = NULL;
    *text = "Give the price (--value \"40 EUR\") to see what the buyer will be asked to pay.\n";
    if (!a->goods->value.known) return SV_OK;
    const char *code, *how;
    sv_status s = code_of(world, arena, a, &code, &how);
    if (s) return s;
    sv_duty_line line = {.hs6 = code,
                         .wearer = sv_fact_word(a->goods->facts, SV_FACT_WEARER),
                         .goods = a->goods->value,
                         .net_weight_g = a->goods->net_weight_g,
                         .duty_rate_pct = SV_DEC_UNKNOWN,
                         .vat_rate_pct = SV_DEC_UNKNOWN,
                         .quantity = 1};
    sv_consignment parcel = {.date = a->date,
                             .from = a->from,
                             .to = a->to,
                             .situation = a->goods->situation,
                             .sender_status = a->goods->sender_status,
                             .currency = a->goods->currency,
                             .freight = SV_DEC_UNKNOWN,
                             .insurance = SV_DEC_UNKNOWN,
                             .fx_to_local = SV_DEC_UNKNOWN,
                             .line = &line,
                             .lines = 1};
    sv_duty *duty = SV_NEW(arena, sv_duty);
    if (!duty) return SV_NO_MEMORY;
    s = sv_duty_estimate(world, arena, &parcel, duty, findings);
    if (s) return s;
    *out = duty;
    *text = in_words(world, arena, a, duty, code, how);
    return SV_OK;
}
