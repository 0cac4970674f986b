/* cmd_address_split.c - address --split: a whole address as it came, in parts (contracts, section 2). */
#include "cli/cmd_address_split.h"

#include <string.h>

#include "cli/stream.h"
#include "selvedge/address.h"

enum { BLOCK, COUNTRY };
static const char *const reads[] = {"block", "country", NULL};
static const char *const appends[] = {
    "country",  "recipient", "organisation", "street_lines", "dependent_locality", "city", "region",
    "postcode", "phone",     "email",        "unplaced",     "findings",           NULL};

typedef struct job {
    const sv_world *world;
    sv_press *press;
    bool one; /* a single question: typed lines are apart by \n, and a text for a reader is wanted */
} job;

static void put_part(sv_buf *b, const char *name, const char *text)
{
    if (!*text) return;
    sv_put_format(b, "%-20s", name);
    for (const char *p = text; *p; p++) {
        sv_put_char(b, *p);
        if (*p == '\n') sv_put_format(b, "%-20s", "");
    }
    sv_put_char(b, '\n');
}

static const char *for_reader(sv_arena *arena, const sv_answer *answer)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (size_t i = 0; strcmp(appends[i], "findings") != 0; i++)
        put_part(&b, appends[i], answer->value[i]);
    if (answer->findings.first) sv_put(&b, "\n");
    sv_print_findings(&b, &answer->findings, sv_colour());
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static sv_status answer(void *state, sv_arena *arena, const char *const cell[], sv_answer *out, sv_error *err)
{
    const job *j = state;
    const char *block = j->one ? sv_typed_lines(arena, cell[BLOCK]) : cell[BLOCK];
    sv_address a;
    sv_status s =
        sv_address_split(j->world, j->press, arena, block, strlen(block), cell[COUNTRY], &a, &out->findings);
    if (s) return sv_fail(err, s, "out of memory");
    const char *const value[] = {a.country, a.recipient, a.organisation, a.street_lines, a.dependent_locality,
                                 a.city,    a.region,    a.postcode,     a.phone,        a.email,
                                 a.unplaced};
    memcpy(out->value, value, sizeof value);
    if (j->one) out->text = for_reader(arena, out);
    return SV_OK;
}

int sv_run_address_split(const sv_words *words)
{
    int status;
    sv_world *world = sv_line_world(words, SV_OPEN_ATLAS | SV_OPEN_ADDRESS, &status);
    if (!world) return status;
    job j = {.world = world, .press = sv_press_new(world), .one = !sv_has(words, "table")};
    sv_stream stream = {.reads = reads, .appends = appends, .answer = answer, .state = &j};
    status = sv_stream_run(words, &stream);
    sv_press_free(j.press);
    sv_world_close(world);
    return status;
}
