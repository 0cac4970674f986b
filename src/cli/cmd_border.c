/* cmd_border.c - what may go from here to there: one question, a table of them, or the card of a destination.
 */
#include <string.h>

#include "cli/border_card.h"
#include "cli/border_charges.h"
#include "cli/stream.h"
#include "selvedge/border.h"

enum {
    FROM,
    DESTINATION,
    ITEM,
    TEXT,
    GARMENT,
    GENDER,
    CONSTRUCTION,
    FIBRE,
    FEATURES,
    CONDITION,
    PRESENTATION,
    SITUATION,
    VALUE,
    CURRENCY,
    WEIGHT,
    DOCUMENTS,
    CODE,
    STATUS
};
static const char *const reads[] = {
    "from",         "destination", "item",      "text",          "garment",   "gender", "construction",
    "fibre",        "features",    "condition", "presentation",  "situation", "value",  "currency",
    "net_weight_g", "documents",   "code",      "sender_status", NULL};
enum { VERDICT, WHY, REMEDY, SOURCE, AS_OF };
static const char *const appends[] = {"verdict", "why", "remedy", "source", "as_of", NULL};

typedef struct job {
    const sv_world *world;
    const char *place; /* that stands alone on the command line; "" when none does */
    bool charges;      /* a reader asks of one piece: tell what its buyer will pay too */
    const char *date;
} job;

/* "40 EUR" in the column of the value carries its currency. */
static sv_dec amount(sv_arena *arena, const char *text, const char **currency)
{
    size_t n = strcspn(text, " ");
    sv_dec value = SV_DEC_UNKNOWN;
    if (!sv_dec_read(sv_copy_n(arena, text, n), &value)) return SV_DEC_UNKNOWN;
    const char *rest = sv_trim(arena, text + n, strlen(text + n));
    if (*rest && !**currency) *currency = sv_upper_ascii(arena, rest);
    return value;
}

static sv_dec grams(sv_arena *arena, const char *text)
{
    sv_dec value = SV_DEC_UNKNOWN;
    const char *number = sv_copy_n(arena, text, strspn(text, "0123456789."));
    return sv_dec_read(number, &value) ? value : SV_DEC_UNKNOWN;
}

/* A code of the contracts, or the name of a place. */
static bool place_of(const sv_world *world, sv_arena *arena, const char *code, sv_end *out)
{
    if (sv_end_read(world, arena, code, out)) return true;
    out->place = sv_place_by_name(world, code);
    return out->place != NULL;
}

static sv_goods goods_of(sv_arena *arena, const char *const cell[])
{
    static const int said[] = {ITEM, TEXT, GARMENT, CONSTRUCTION, FEATURES, FIBRE, GENDER};
    const char *item = "";
    for (size_t i = 0; i < sizeof said / sizeof *said; i++) {
        if (*cell[said[i]]) item = sv_format(arena, "%s%s%s", item, *item ? "; " : "", cell[said[i]]);
    }
    const char *currency = sv_upper_ascii(arena, cell[CURRENCY]);
    sv_goods goods = {.item = item,
                      .hs6 = sv_copy_n(arena, cell[CODE], strnlen(cell[CODE], 6)),
                      .condition = cell[CONDITION],
                      .situation = cell[SITUATION],
                      .presentation = cell[PRESENTATION],
                      .net_weight_g = grams(arena, cell[WEIGHT]),
                      .documents = cell[DOCUMENTS],
                      .sender_status = cell[STATUS]};
    goods.value = amount(arena, cell[VALUE], &currency);
    goods.currency = currency;
    return goods;
}

/* What the garment room reads in the words; its own findings are for the command heading. */
static sv_status facts_of(const sv_world *world, sv_arena *arena, const char *const cell[], sv_facts *out)
{
    const char *text = cell[ITEM];
    if (*cell[TEXT]) text = *text ? sv_format(arena, "%s; %s", text, cell[TEXT]) : cell[TEXT];
    sv_garment_given given = {.text = text,
                              .garment = cell[GARMENT],
                              .gender = cell[GENDER],
                              .construction = cell[CONSTRUCTION],
                              .fibre = cell[FIBRE],
                              .features = cell[FEATURES],
                              .condition = cell[CONDITION],
                              .presentation = cell[PRESENTATION]};
    sv_findings unheard = sv_findings_in(arena);
    return sv_garment_read(world, arena, &given, out, &unheard);
}

/* The verdict and, where they are told, the charges. `duty` may be NULL. */
static const char *in_words(sv_arena *arena, const sv_border_answer *a, const char *charges,
                            const sv_duty *duty, const sv_findings *findings)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put_format(&b, "%s: ", sv_verdict_word(a->verdict));
    sv_put(&b, a->why);
    sv_put_format(&b, "\n%s%s%s", *charges ? "\n" : "", charges, *charges ? "\n" : "");
    sv_print_findings(&b, findings, sv_colour());
    const char *as_of = a->as_of, *source = a->source;
    if (duty && *duty->source) {
        source = *source ? sv_format(arena, "%s; %s", source, duty->source) : duty->source;
        if (!*as_of || strcmp(duty->as_of, as_of) < 0) as_of = duty->as_of;
    }
    sv_print_caution(&b, source, as_of);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

/* The form and the charges; nothing is reckoned of what may not be posted. */
static sv_status charges_of(const job *j, sv_arena *arena, const sv_piece_asked *asked, sv_verdict verdict,
                            const char **text, const sv_duty **duty, sv_findings *findings)
{
    *text = "";
    *duty = NULL;
    bool somewhere = asked->to.place || strcmp(sv_or_empty(asked->to.region), "EU") == 0;
    if (!j->charges || verdict == SV_BORDER_PROHIBITED || !somewhere) return SV_OK;
    sv_status s = sv_border_charges(j->world, arena, asked, text, duty, findings);
    const char *form = s ? "" : sv_form_words(j->world, arena, asked->from, asked->to);
    if (!*form) return s;
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put_wrapped(&b, sv_format(arena, "Form: %s", form), 0, 98);
    sv_put(&b, *text ? "\n" : "");
    sv_put(&b, *text);
    *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return s;
}

static sv_status answer(void *state, sv_arena *arena, const char *const cell[], sv_answer *out, sv_error *err)
{
    const job *j = state;
    const char *destination = *cell[DESTINATION] ? cell[DESTINATION] : j->place;
    sv_end from, to;
    bool known_from = place_of(j->world, arena, *cell[FROM] ? cell[FROM] : "any", &from);
    bool known_to = place_of(j->world, arena, *destination ? destination : "any", &to);
    sv_goods goods = goods_of(arena, cell);
    sv_facts facts;
    sv_status s = facts_of(j->world, arena, cell, &facts);
    goods.facts = &facts;
    sv_border_answer a = {.verdict = SV_NO_RESTRICTION_KNOWN};
    if (!s) s = sv_border_goods(j->world, arena, from, to, &goods, "", "item", &a, &out->findings);
    const char *charges = "";
    const sv_duty *duty = NULL;
    sv_piece_asked asked = {from, to, &goods, cell[CODE], j->date};
    if (!s) s = charges_of(j, arena, &asked, a.verdict, &charges, &duty, &out->findings);
    if (s) return sv_fail(err, s, "the border cannot be judged");
    if (!known_to || !known_from) {
        const char *code = known_to ? cell[FROM] : destination;
        sv_find(&out->findings, SV_F_BORDER_PLACE, known_to ? "from" : "destination", SV_ARGS(code));
        if (a.verdict == SV_NO_RESTRICTION_KNOWN) {
            a.verdict = SV_BORDER_CAUTION;
            a.why = sv_format(arena, "the place \"%s\" is not known here", code);
            a.remedy = "write its ISO code";
        }
    }
    out->value[VERDICT] = sv_verdict_word(a.verdict);
    out->value[WHY] = a.why;
    out->value[REMEDY] = a.remedy;
    out->value[SOURCE] = a.source;
    out->value[AS_OF] = a.as_of;
    if (j->charges) out->text = in_words(arena, &a, charges, duty, &out->findings);
    return SV_OK;
}

/* Is there a question about goods, or is the card of the place wanted? */
static bool asks_of_goods(const sv_words *line)
{
    static const char *const of_goods[] = {"item",  "text",     "garment", "construction",
                                           "fibre", "features", "code"};
    for (size_t i = 0; i < sizeof of_goods / sizeof *of_goods; i++) {
        if (sv_has(line, of_goods[i])) return true;
    }
    return false;
}

static int print_card(const sv_words *line, const sv_world *world, const char *code)
{
    sv_arena *arena = sv_arena_new();
    if (!arena) return SV_EXIT_SYSTEM;
    const char *from_code = *sv_opt(line, "from") ? sv_opt(line, "from") : "any";
    sv_end from, to;
    int status;
    if (!place_of(world, arena, code, &to) || !place_of(world, arena, from_code, &from)) {
        status = sv_line_usage(line, "no place is known by the name \"%s\" or \"%s\"", code, from_code);
    } else {
        const char *shown = *to.region     ? to.region
                            : to.territory ? to.territory->id
                            : to.place     ? to.place->code
                                           : code;
        status = sv_print_border_card(line, world, from, to, shown);
    }
    sv_arena_free(arena);
    return status;
}

/* `selvedge border JP ...`: the place stands alone, for --destination. */
static int run(const sv_words *line)
{
    int status;
    char today[11];
    bool one = sv_as(line) == 't' && !sv_has(line, "table");
    unsigned rooms = SV_OPEN_ATLAS | SV_OPEN_LEXICON | SV_OPEN_BORDER;
    if (!sv_has(line, "table")) rooms |= SV_OPEN_DUTY;
    if (one) rooms |= SV_OPEN_TARIFF;
    sv_world *world = sv_line_world(line, rooms, &status);
    if (!world) return status;
    sv_words alone = *line;
    job j = {world,
             sv_has(line, "table") ? ""
             : line->files         ? line->file[0]
                                   : sv_opt(line, "destination"),
             one, sv_today(today)};
    const sv_stream stream = {reads, appends, answer, &j};
    if (line->files > 1) {
        status = sv_line_usage(line, "one place at a time; \"%s\" is one too many", line->file[1]);
    } else if (!sv_has(line, "table") && *j.place && !asks_of_goods(line)) {
        status = print_card(line, world, j.place);
    } else {
        if (!sv_has(line, "table")) alone.files = 0;
        status = sv_stream_run(&alone, &stream);
    }
    sv_world_close(world);
    return status;
}

static const sv_option options[] = {
    {"from", "CODE", "country of posting"},
    {"destination", "CODE", "ISO 3166-1 or 3166-2 (US-CA), XK, EU, any"},
    {"item", "WORDS", "what it is, in your words"},
    {"text", "WORDS", "the same; the words of a listing"},
    SV_PIECE_OPTIONS,
    {"situation", "WORD", "sale (default) gift return sample"},
    {"value", "AMOUNT", "of one piece, with or without its currency: \"40 EUR\""},
    {"currency", "CODE", "of the value"},
    {"net-weight-g", "GRAMS", "weight of the goods"},
    {"documents", "PAPERS", "what you hold, apart by ;: CITES export permit; import permit"},
    {"code", "DIGITS", "HS code, if you know it"},
    {"sender-status", "WORD", "private or trader"},
    {NULL, NULL, NULL}};

const sv_command sv_command_border = {
    .name = "border",
    .summary = "what a destination forbids or asks for",
    .usage =
        "selvedge border PLACE\nselvedge border PLACE --text WORDS [OPTIONS]\nselvedge border --table FILE",
    .about =
        "Says ok, caution or prohibited for a piece, with reason, remedy, source and date. ok means only: no "
        "restriction known to\nthese tables. Without a piece it prints the border card of the place. Columns "
        "read: "
        "from destination item condition\nsituation value currency net_weight_g documents and those of "
        "heading; "
        "appended: verdict why remedy source as_of. One piece with its price is answered with what its buyer "
        "will be asked to pay\nand by whom, by post and without the postage.",
    .example = "  selvedge border JP\n  selvedge border JP --text \"women's cotton jumper, used\" --value "
               "\"40 EUR\"",
    .options = options,
    .run = run,
};
