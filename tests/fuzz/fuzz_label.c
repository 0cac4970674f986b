/* fuzz_label.c - any bytes as free text, as a label, as a description: nothing is read or written beyond its
 * bounds, percentages stay in their range, the short line is short. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/utf8.h"
#include "selvedge/parcel.h"

static sv_world *world;

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes);

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    sv_error err;
    if (sv_world_open(&(sv_world_options){.today = "2026-11-25", .rooms = SV_OPEN_LEXICON}, &world, &err))
        abort();
    return 0;
}

static void check(sv_arena *arena, const sv_facts *facts)
{
    static const char *const languages[] = {"en", "de", "ja"};
    for (size_t i = 0; i < facts->parts; i++) {
        for (size_t k = 0; k < facts->part[i].count; k++) {
            sv_dec p = facts->part[i].fibre[k].percent;
            if (p.known && (p.units < 0 || sv_dec_cmp(p, sv_dec_int(200)) > 0)) abort();
        }
    }
    for (size_t i = 0; i < sizeof languages / sizeof *languages; i++) {
        const char *line, *short_line;
        if (sv_content_line(world, arena, facts, 2, languages[i], &line, &short_line)) abort();
        if (sv_utf8_length(short_line) > 40) abort();
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes)
{
    static sv_arena *arena;
    if (!arena) arena = sv_arena_new();
    sv_arena_reset(arena);
    char *text = malloc(bytes + 1); /* its own piece of memory, so that a byte beyond is seen */
    if (!text) return 0;
    memcpy(text, data, bytes);
    text[bytes] = 0;
    const sv_garment_given given[] = {{.text = text}, {.garment = "coat", .fibre = text, .features = text}};
    for (size_t i = 0; i < sizeof given / sizeof *given; i++) {
        sv_facts facts;
        sv_findings findings = sv_findings_in(arena);
        if (sv_garment_read(world, arena, &given[i], &facts, &findings)) abort();
        check(arena, &facts);
    }
    bool fit;
    const char *reason;
    if (sv_description_judge(world, arena, text, "en", &fit, &reason) || !*reason) abort();
    free(text);
    return 0;
}
