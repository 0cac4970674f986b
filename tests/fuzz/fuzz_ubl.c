/* fuzz_ubl.c - the judge of UBL documents. */
#include <stdlib.h>

#include "papers/ubl.h"
#include "selvedge/parcel.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes)
{
    static sv_world *world;
    sv_world_options options = {.today = "2026-11-25"};
    if (!world && sv_world_open(&options, &world, NULL) != SV_OK) abort();
    sv_arena *arena = sv_arena_new();
    sv_findings findings = sv_findings_in(arena);
    sv_error err = {SV_OK, ""};
    sv_status s = sv_ubl_check(world, arena, "input", (const char *)data, bytes, &findings, &err);
    if (s != SV_OK && !err.text[0]) abort();
    sv_arena_free(arena);
    return 0;
}
