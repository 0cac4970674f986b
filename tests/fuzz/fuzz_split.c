/* fuzz_split.c - any bytes as a pasted address (a tab, then a country, may follow): nothing is read or
 * written beyond its bounds, and no column holds more letters than the block. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "selvedge/address.h"
#include "selvedge/parcel.h"

static sv_world *world;

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes);

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    sv_error err;
    unsigned rooms = SV_OPEN_ATLAS | SV_OPEN_ADDRESS;
    if (sv_world_open(&(sv_world_options){.today = "2026-11-25", .rooms = rooms}, &world, &err)) abort();
    return 0;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes)
{
    static sv_arena *arena;
    if (!arena) arena = sv_arena_new();
    sv_arena_reset(arena);
    char *text = malloc(bytes + 1);
    if (!text) return 0;
    memcpy(text, data, bytes);
    text[bytes] = 0;
    char *tab = memchr(text, '\t', bytes);
    const char *country = tab ? tab + 1 : "";
    size_t length = tab ? (size_t)(tab - text) : bytes;
    char *block = malloc(length ? length : 1); /* its own piece of memory, so that a byte beyond is seen */
    if (block) {
        memcpy(block, text, length);
        sv_findings f = sv_findings_in(arena);
        sv_address out;
        if (sv_address_split(world, NULL, arena, block, length, country, &out, &f)) abort();
        const char *part[] = {out.recipient, out.organisation, out.street_lines, out.dependent_locality,
                              out.city,      out.region,       out.unplaced};
        size_t sum = 0;
        for (size_t i = 0; i < sizeof part / sizeof *part; i++)
            sum += strlen(part[i]);
        if (sum > length * 3 + 64) abort(); /* a bad byte is printed as three */
    }
    free(block);
    free(text);
    return 0;
}
