/* cmd_number.c - whether an identifier is well formed, how it is written, and where it belongs. */
#include <string.h>

#include "cli/stream.h"

enum { C_KIND, C_VALUE };
static const char *const reads[] = {"kind", "value", NULL};
enum { A_VALID, A_NORMAL, A_PRINTED, A_REASON };
static const char *const appends[] = {"valid", "normal", "printed", "reason", NULL};

static const char *in_words(sv_arena *arena, const char *value, const sv_number *n)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put_format(&b, "%s: %s.\n", *n->printed ? n->printed : value, n->reason);
    if (n->valid) sv_put_format(&b, "Stored as %s.\n", n->normal);
    if (*n->use) sv_put_wrapped(&b, n->use, 0, 98);
    sv_print_caution(&b, n->source, n->as_of);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static sv_status answer(void *state, sv_arena *arena, const char *const cell[], sv_answer *out, sv_error *err)
{
    sv_number n;
    sv_status s = sv_number_check(state, arena, cell[C_KIND], cell[C_VALUE], &n);
    if (s) return sv_fail(err, s, "the number cannot be checked");
    out->value[A_VALID] = n.valid ? "1" : "0";
    out->value[A_NORMAL] = n.normal;
    out->value[A_PRINTED] = n.printed;
    out->value[A_REASON] = n.reason;
    out->text = in_words(arena, cell[C_VALUE], &n);
    out->bad = !n.valid;
    return SV_OK;
}

static int run(const sv_words *line)
{
    int status;
    sv_world *world = sv_line_world(line, SV_OPEN_ATLAS | SV_OPEN_BORDER, &status);
    if (!world) return status;
    const sv_stream job = {reads, appends, answer, world};
    status = sv_stream_run(line, &job);
    sv_world_close(world);
    return status;
}

static const sv_option options[] = {
    {"kind", "KIND",
     "S10 IOSS EORI XIEORI GBVAT EUVAT ABN AUARN IRD VOEC CHUID BRCPF BRCNPJ or KRPCCC, in either case"},
    {"value", "NUMBER", "as it was written to you; blanks, dots, hyphens and slashes do not matter"},
    {NULL, NULL, NULL}};

const sv_command sv_command_number = {
    .name = "number",
    .summary = "whether an item, tax or customs number is well formed",
    .usage = "selvedge number --kind KIND --value NUMBER\nselvedge number --table FILE",
    .about = "Checks the form and, where its rule is public, the check digit; says how the number is stored "
             "and printed, "
             "what it is\nfor and where it belongs. A number that passes is well formed; that does not show "
             "that it is "
             "registered. Columns read:\nkind value; appended: valid normal printed reason.",
    .example = "  selvedge number --kind S10 --value \"RR 473 124 829 GB\"",
    .options = options,
    .run = run,
};
