/* cmd_describe.c - `selvedge describe`: the content line for a piece, and whether a description is fit to
 * print. */
#include <string.h>

#include "cli/stream.h"

static const char *const reads[] = {"text",     "garment",   "gender",       "construction", "fibre",
                                    "features", "condition", "presentation", "language",     NULL};
enum { TEXT, GARMENT, GENDER, CONSTRUCTION, FIBRE, FEATURES, CONDITION, PRESENTATION, LANGUAGE };
static const char *const appends[] = {"line", "short", "acceptable", "reason", NULL};
enum { LINE, SHORT, ACCEPTABLE, REASON };

#define WIDTH 96

typedef struct state {
    const sv_world *world;
    bool text; /* a reader's answer is wanted */
} state;

static void put_labelled(sv_buf *b, sv_arena *arena, const char *label, const char *value)
{
    if (*value) sv_put_wrapped(b, sv_format(arena, "%s: %s", label, value), 0, WIDTH);
}

static const char *as_text(sv_arena *arena, const char *given, const sv_answer *a)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    bool fit = strcmp(a->value[ACCEPTABLE], "1") == 0;
    if (*given)
        sv_put_wrapped(&b, sv_format(arena, "\"%s\" is %s to print.", given, fit ? "fit" : "not fit"), 0,
                       WIDTH);
    sv_put_wrapped(&b, a->value[REASON], 0, WIDTH);
    put_labelled(&b, arena, *given && !fit ? "Better" : "Line", a->value[LINE]);
    put_labelled(&b, arena, "In 40 characters", a->value[SHORT]);
    sv_print_caution(&b,
                     "UPU CN 22 and CN 23 completion instructions (2018 text); Regulation (EU) 2015/2446 "
                     "annex B, D.E. 18 05",
                     "2026-11-25");
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static sv_status answer(void *context, sv_arena *arena, const char *const cell[], sv_answer *out,
                        sv_error *err)
{
    const state *st = context;
    sv_garment_given given = {.text = cell[TEXT],
                              .garment = cell[GARMENT],
                              .gender = cell[GENDER],
                              .construction = cell[CONSTRUCTION],
                              .fibre = cell[FIBRE],
                              .features = cell[FEATURES],
                              .condition = cell[CONDITION],
                              .presentation = cell[PRESENTATION]};
    sv_facts *facts = SV_NEW(arena, sv_facts);
    bool fit = false;
    const char *reason = "";
    sv_status s = facts ? sv_garment_read(st->world, arena, &given, facts, &out->findings) : SV_NO_MEMORY;
    if (!s)
        s = sv_content_line(st->world, arena, facts, facts->pieces, cell[LANGUAGE], &out->value[LINE],
                            &out->value[SHORT]);
    const char *judged = *cell[TEXT] ? cell[TEXT] : out->value[LINE];
    if (!s) s = sv_description_judge(st->world, arena, judged, cell[LANGUAGE], &fit, &reason);
    if (s) return sv_fail(err, s, "the row could not be read");
    out->value[ACCEPTABLE] = fit ? "1" : "0";
    out->value[REASON] = reason;
    if (st->text) out->text = as_text(arena, cell[TEXT], out);
    return SV_OK;
}

static int run(const sv_words *line)
{
    int exit_status = 0;
    sv_world *world = sv_line_world(line, SV_OPEN_LEXICON, &exit_status);
    if (!world) return exit_status;
    state st = {world, sv_as(line) == 't'};
    sv_stream job = {reads, appends, answer, &st};
    exit_status = sv_stream_run(line, &job);
    sv_world_close(world);
    return exit_status;
}

static const sv_option options[] = {{"text", "TEXT", "a description that someone wrote; it is judged"},
                                    SV_PIECE_OPTIONS,
                                    {"language", "CODE", "en (default) fr de es it nl pl pt ja ko zh"},
                                    {NULL, NULL, NULL}};

const sv_command sv_command_describe = {
    .name = "describe",
    .summary = "the content line for a piece, and whether a description is fit to print",
    .usage = "selvedge describe --garment WORD [--gender WORD] [--fibre LABEL] ...\n"
             "selvedge describe --text DESCRIPTION\n"
             "selvedge describe --table FILE",
    .about = "Writes the line that the customs form asks for: number, user, knitted or woven, article, "
             "fibres, used. "
             "Judges a description: it must name the article and its user or material; general words, sizes, "
             "codes and "
             "links alone are refused, as the data systems of customs refuse them.",
    .example = "selvedge describe --garment jumper --gender women --fibre \"70% Wolle 30% Polyamid\" "
               "--condition used\n"
               "selvedge describe --text \"clothes\"",
    .options = options,
    .run = run};
