/* fuzz_lay_out.c - any bytes as the parts of an address (apart by tabs): a block comes out, nothing is read
 * or written beyond its bounds, and what is laid out again from its own postcode gives the same postcode. */
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "selvedge/address.h"
#include "selvedge/parcel.h"

static sv_world *world;
static sv_press *press;

int LLVMFuzzerInitialize(int *argc, char ***argv);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes);

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    sv_error err;
    if (sv_world_open(&(sv_world_options){.today = "2026-11-25", .rooms = SV_OPEN_ATLAS}, &world, &err))
        abort();
    press = sv_press_new(world);
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
    const char *part[10] = {"", "", "", "", "", "", "", "", "", ""};
    char *p = text;
    for (int i = 0; i < 10; i++) {
        char *tab = strchr(p, '\t');
        if (tab) *tab = 0;
        part[i] = p;
        if (!tab) break;
        p = tab + 1;
    }
    sv_address a = {.country = part[0],
                    .postcode = part[1],
                    .city = part[2],
                    .region = part[3],
                    .recipient = part[4],
                    .street_lines = part[5],
                    .dependent_locality = part[6],
                    .organisation = part[7],
                    .phone = part[8]};
    sv_findings f = sv_findings_in(arena);
    sv_laid_address out, again;
    if (sv_address_lay_out(world, press, arena, &a, part[9], &out, &f)) abort();
    if (out.postcode_ok == 1) {
        a.country = out.place->code;
        a.postcode = out.postcode;
        if (sv_address_lay_out(world, press, arena, &a, part[9], &again, &f)) abort();
        if (again.postcode_ok != 1 || strcmp(again.postcode, out.postcode) != 0) abort();
    }
    free(text);
    return 0;
}
