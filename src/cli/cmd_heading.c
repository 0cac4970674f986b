/* cmd_heading.c - `selvedge heading`: from a garment and its label to the HS heading and subheading. */
#include <string.h>

#include "cli/stream.h"

static const char *const reads[] = {"text",        "garment",  "gender",    "construction",
                                    "fibre",       "features", "condition", "presentation",
                                    "destination", "code",     NULL};
enum { TEXT, GARMENT, GENDER, CONSTRUCTION, FIBRE, FEATURES, CONDITION, PRESENTATION, DESTINATION, CODE };
static const char *const appends[] = {"hs6",    "heading", "certainty", "others", "ask",
                                      "fibres", "why",     "findings",  NULL};
enum { HS6, HEADING, CERTAINTY, OTHERS, ASK, FIBRES, WHY };

#define WIDTH 96

typedef struct state {
    const sv_world *world;
    const char *date;
    bool text; /* a reader's answer is wanted */
} state;

static const char *others_text(sv_arena *arena, const sv_heading *h)
{
    const char *text = "";
    for (size_t i = 0; i < h->others; i++)
        text = *text ? sv_format(arena, "%s %s", text, h->other[i].hs6) : h->other[i].hs6;
    return text;
}

/* "61.10" or "6110.20" */
static const char *dotted(sv_arena *arena, const char *code)
{
    return strlen(code) == 6 ? sv_format(arena, "%.4s.%s", code, code + 4)
                             : sv_format(arena, "%.2s.%s", code, code + 2);
}

static void put_answer(const state *st, sv_arena *arena, const sv_heading *h, sv_buf *b)
{
    static const char *const sure[] = {
        "Open: the facts given leave more than one answer.",
        "Likely: it rests on what is usual in the trade, or on a doubt named below.",
        "Certain: no fact left unsaid could change it."};
    if (!*h->hs6) {
        sv_put(b, "No heading can be told yet.\n\n");
        return;
    }
    const char *title = sv_hs_title(st->world, h->hs6, st->date);
    sv_put_wrapped(b,
                   sv_format(arena, "heading %s, subheading %s: %s", dotted(arena, h->heading),
                             dotted(arena, h->hs6), title ? title : ""),
                   0, WIDTH);
    sv_put_wrapped(b, sure[h->certainty], 0, WIDTH);
    sv_put_char(b, '\n');
}

static void put_path(sv_arena *arena, const sv_heading *h, const char *fibres, sv_buf *b)
{
    sv_put(b, "How the answer comes about\n");
    if (*fibres) sv_put_wrapped(b, sv_format(arena, "Label read as: %s.", fibres), 2, WIDTH);
    for (size_t i = 0; i < h->reasons; i++) {
        const sv_reason *r = &h->reason[i];
        sv_put_wrapped(b, *r->rule ? sv_format(arena, "%s (%s)", r->text, r->rule) : r->text, 2, WIDTH);
    }
    sv_put_char(b, '\n');
}

static void put_doubts(sv_arena *arena, const sv_heading *h, sv_buf *b)
{
    if (h->others) sv_put(b, "Other answers that are possible\n");
    for (size_t i = 0; i < h->others; i++) {
        const sv_candidate *o = &h->other[i];
        sv_put_wrapped(
            b,
            sv_format(arena, "%s %s%s%s", dotted(arena, o->hs6), o->title, *o->needs ? ": " : "", o->needs),
            2, WIDTH);
    }
    if (h->others) sv_put_char(b, '\n');
    if (!*h->ask) return;
    sv_put(b, "What would settle it\n");
    sv_put_wrapped(b, h->ask, 2, WIDTH);
    sv_put_char(b, '\n');
}

/* The answer as a clerk would write it down. */
static const char *clerk(const state *st, sv_arena *arena, const sv_heading *h, const char *fibres,
                         const sv_findings *findings)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    put_answer(st, arena, h, &b);
    put_path(arena, h, fibres, &b);
    put_doubts(arena, h, &b);
    sv_print_findings(&b, findings, sv_colour());
    if (findings->first) sv_put_char(&b, '\n');
    sv_print_caution(&b, *h->source ? sv_format(arena, "%s; %s", h->edition, h->source) : h->edition,
                     h->as_of);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static sv_status answer(void *opaque, sv_arena *arena, const char *const cell[], sv_answer *out,
                        sv_error *err)
{
    const state *st = opaque;
    sv_garment_given given = {cell[TEXT],  cell[GARMENT],  cell[GENDER],    cell[CONSTRUCTION],
                              cell[FIBRE], cell[FEATURES], cell[CONDITION], cell[PRESENTATION]};
    sv_facts facts;
    sv_heading h;
    sv_status s = sv_garment_read(st->world, arena, &given, &facts, &out->findings);
    if (!s)
        s = sv_classify(st->world, arena, &facts, cell[DESTINATION], st->date, cell[CODE], &h,
                        &out->findings);
    if (s) return sv_fail(err, s, "the garment cannot be judged");
    out->value[HS6] = h.hs6;
    out->value[HEADING] = h.heading;
    out->value[CERTAINTY] = sv_certainty_word(h.certainty);
    out->value[OTHERS] = others_text(arena, &h);
    out->value[ASK] = h.ask;
    out->value[FIBRES] = sv_fibres_text(arena, &facts);
    out->value[WHY] = h.why;
    if (st->text) out->text = clerk(st, arena, &h, out->value[FIBRES], &out->findings);
    return SV_OK;
}

static int run(const sv_words *line)
{
    int status;
    char today[11];
    sv_world *world = sv_line_world(line, SV_OPEN_ATLAS | SV_OPEN_LEXICON | SV_OPEN_TARIFF, &status);
    if (!world) return status;
    const char *date = sv_opt(line, "date");
    state st = {world, *date ? date : sv_today(today), sv_as(line) == 't' && !sv_has(line, "table")};
    status = sv_stream_run(line, &(sv_stream){reads, appends, answer, &st});
    sv_world_close(world);
    return status;
}

static const sv_option options[] = {
    {"text", "TEXT", "the piece in the seller's own words, label included"},
    SV_PIECE_OPTIONS,
    {"destination", "CODE", "where it goes: its customs practice comes first"},
    {"code", "DIGITS", "a code you already have, to be compared (6 to 12 digits)"},
    {"date", "DATE", "the day whose list of codes holds; today when not given"},
    {NULL, NULL, NULL}};

const sv_command sv_command_heading = {"heading",
                                       "the HS heading and subheading of a piece, with the reasons",
                                       "selvedge heading [OPTIONS]\nselvedge heading --table FILE [OPTIONS]",
                                       "Tells the Harmonized System heading and subheading (2022 edition) of "
                                       "clothing, shoes, bags and small things by "
                                       "the section and chapter notes: what was understood, the path note by "
                                       "note, the sums of fibres, what is still "
                                       "open and the one question that would settle it. With --table, every "
                                       "row is answered in columns of its own: hs6 "
                                       "heading certainty others ask fibres why findings.",
                                       "selvedge heading --text \"women's jumper 55% acrylic 45% cotton\"\n"
                                       "selvedge heading --garment jacket --gender women --construction "
                                       "woven --fibre \"100 polyester\" --destination US\n"
                                       "selvedge heading --table pieces.tsv > answered.tsv",
                                       options,
                                       run};
