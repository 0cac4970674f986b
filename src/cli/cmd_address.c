/* cmd_address.c - lays out and checks an address; shows how a place writes them. */
#include <string.h>

#include "cli/cmd_address_split.h"
#include "cli/stream.h"
#include "selvedge/address.h"

enum { COUNTRY, RECIPIENT, ORGANISATION, STREET, DEPENDENT, CITY, REGION, POSTCODE, PHONE, EMAIL, SERVICE };
static const char *const reads[] = {
    "country", "recipient", "organisation", "street_lines", "dependent_locality",
    "city",    "region",    "postcode",     "phone",        "email",
    "service", NULL};
enum { BLOCK, BLOCK_LOCAL, POSTCODE_OK, TERRITORY };
static const char *const appends[] = {"block", "block_local", "postcode_ok", "territory", "findings", NULL};

typedef struct job {
    const sv_world *world;
    sv_press *press;
    bool one; /* a single question: typed lines are apart by \n, and a text for a reader is wanted */
} job;

const char *sv_typed_lines(sv_arena *arena, const char *text)
{
    char *copy = strstr(text, "\\n") ? sv_alloc(arena, strlen(text) + 1) : NULL, *out = copy;
    if (!copy) return text;
    while (*text) {
        bool line = text[0] == '\\' && text[1] == 'n';
        *out++ = line ? '\n' : *text;
        text += line ? 2 : 1;
    }
    return copy;
}

static const char *none_if_empty(const char *text)
{
    return *text ? text : NULL;
}

static const char *for_reader(sv_arena *arena, const sv_laid_address *laid, const sv_findings *findings)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put_format(&b, "%s\n", laid->block);
    if (*laid->block_local) sv_put_format(&b, "\n%s\n", laid->block_local);
    if (findings->first) sv_put(&b, "\n");
    sv_print_findings(&b, findings, sv_colour());
    sv_put(&b, "\n");
    sv_print_caution(&b, laid->format_source, laid->format_as_of);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static sv_status answer(void *state, sv_arena *arena, const char *const cell[], sv_answer *out, sv_error *err)
{
    const job *j = state;
    sv_address given = {.country = cell[COUNTRY],
                        .recipient = cell[RECIPIENT],
                        .organisation = cell[ORGANISATION],
                        .street_lines = j->one ? sv_typed_lines(arena, cell[STREET]) : cell[STREET],
                        .dependent_locality = cell[DEPENDENT],
                        .city = cell[CITY],
                        .region = cell[REGION],
                        .postcode = cell[POSTCODE],
                        .phone =
                            none_if_empty(cell[PHONE]), /* a missing one is a matter of the parcel's data */
                        .email = none_if_empty(cell[EMAIL])};
    sv_laid_address laid;
    sv_status s = sv_address_lay_out(j->world, j->press, arena, &given, cell[SERVICE], &laid, &out->findings);
    if (s) return sv_fail(err, s, "out of memory");
    out->value[BLOCK] = laid.block;
    out->value[BLOCK_LOCAL] = laid.block_local;
    out->value[POSTCODE_OK] = laid.postcode_ok < 0 ? "" : laid.postcode_ok ? "1" : "0";
    out->value[TERRITORY] = laid.territory ? laid.territory->id : "";
    if (j->one) out->text = for_reader(arena, &laid, &out->findings);
    return SV_OK;
}

static int print_rules(const sv_words *words, const sv_world *world)
{
    sv_arena *arena = sv_arena_new();
    sv_buf out;
    sv_buf_init(&out, 0);
    const char *rules = arena ? sv_address_rules(world, arena, sv_opt(words, "rules")) : NULL;
    int status = SV_EXIT_DONE;
    if (rules) {
        sv_put(&out, rules);
        if (!sv_flush(&out)) status = SV_EXIT_SYSTEM;
    } else {
        status = sv_line_usage(words, "no place is known by the name \"%s\"", sv_opt(words, "rules"));
    }
    sv_buf_free(&out);
    sv_arena_free(arena);
    return status;
}

static int run(const sv_words *words)
{
    int status;
    if (sv_has(words, "split")) return sv_run_address_split(words);
    sv_world *world = sv_line_world(words, SV_OPEN_ATLAS, &status);
    if (!world) return status;
    if (sv_has(words, "rules")) {
        status = print_rules(words, world);
    } else {
        job j = {.world = world, .press = sv_press_new(world), .one = !sv_has(words, "table")};
        sv_stream stream = {.reads = reads, .appends = appends, .answer = answer, .state = &j};
        status = sv_stream_run(words, &stream);
        sv_press_free(j.press);
    }
    sv_world_close(world);
    return status;
}

static const sv_option options[] = {
    {"country", "COUNTRY", "code of the country, or its name in any language"},
    {"recipient", "NAME", "the person"},
    {"organisation", "NAME", "the firm"},
    {"street-lines", "LINES", "street, box, floor; several lines with \\n between them"},
    {"dependent-locality", "NAME", "quarter, village, district below the town"},
    {"city", "NAME", "post town"},
    {"region", "NAME", "state, province, prefecture: name or code"},
    {"postcode", "CODE", "as it was given"},
    {"phone", "NUMBER", "telephone of the addressee"},
    {"email", "ADDRESS", "e-mail of the addressee"},
    {"service", "WORD", "letter-post, parcel-post, ems: some do not deliver to a box"},
    {"split", NULL, "take a whole address as it came apart (columns block and, where known, country)"},
    {"block", "TEXT", "with --split: the address as it came, lines with \\n between them"},
    {"rules", "COUNTRY", "show how this country writes addresses, with an example and its source"},
    {NULL, NULL, NULL}};

const sv_command sv_command_address = {
    .name = "address",
    .summary = "lays out and checks an address as the destination's post reads it",
    .usage =
        "selvedge address [OPTIONS]\nselvedge address --table FILE\nselvedge address --split --block TEXT\n"
        "selvedge address --split --table FILE\nselvedge address --rules COUNTRY",
    .about =
        "Prints the address with the country in capitals on the last line, in Latin letters and, where it "
        "was "
        "given so,\n"
        "in local script, and says what is missing or does not fit: postcode, region, customs territory.\n"
        "A table has the columns country recipient organisation street_lines dependent_locality city region "
        "postcode;\n"
        "block, block_local, postcode_ok, territory and findings are appended.\n"
        "With --split a table has the column block, and the parts are appended; every word goes to one "
        "column.",
    .example =
        "  selvedge address --country JP --recipient \"Ada Example\" --street-lines \"1-2-3 Example\" \\\n"
        "      --city Setagaya-ku --region Tokyo --postcode 1540023\n"
        "  selvedge address --split --block \"Ada Example\\n1-2-3 Example\\nSetagaya-ku, Tokyo "
        "154-0023\\nJapan\"",
    .options = options,
    .run = run,
};
