/* open.c - opens the world: each room's tables, in the order of the rooms. */
#include <stdlib.h>

#include "address/address.h"
#include "atlas/atlas.h"
#include "base/world.h"
#include "border/border.h"
#include "duty/duty.h"
#include "garment/garment.h"
#include "papers/papers.h"
#include "selvedge/parcel.h"
#include "tariff/tariff.h"

/* Each room adds its line here. ORDER ROOMS. */
static const struct {
    unsigned flag;
    sv_status (*open)(sv_world *world, sv_error *err);
} rooms[] = {
    {SV_OPEN_ATLAS, sv_atlas_open},   {SV_OPEN_ADDRESS, sv_address_open}, {SV_OPEN_LEXICON, sv_garment_open},
    {SV_OPEN_TARIFF, sv_tariff_open}, {SV_OPEN_BORDER, sv_border_open},   {SV_OPEN_DUTY, sv_duty_open},
    {SV_OPEN_PAPERS, sv_papers_open},
};

sv_status sv_world_open(const sv_world_options *options, sv_world **out, sv_error *err)
{
    *out = NULL;
    sv_world *w = calloc(1, sizeof *w);
    sv_arena *arena = sv_arena_new();
    if (!w || !arena) {
        free(w);
        sv_arena_free(arena);
        return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    }
    w->arena = arena;
    w->data_dir = sv_copy(arena, options ? options->data_dir : NULL);
    w->today = sv_copy(arena, options ? options->today : NULL);
    unsigned wanted = options ? options->rooms : 0;
    sv_status s = SV_OK;
    for (size_t i = 0; !s && i < sizeof rooms / sizeof *rooms; i++) {
        if (rooms[i].open && (!wanted || wanted & rooms[i].flag)) s = rooms[i].open(w, err);
    }
    if (!s && sv_arena_failed(arena)) s = sv_fail(err, SV_NO_MEMORY, "out of memory while opening the data");
    if (s) {
        sv_world_close(w);
        return s;
    }
    *out = w;
    return SV_OK;
}

void sv_world_close(sv_world *w)
{
    if (!w) return;
    sv_arena_free(w->arena);
    free(w);
}
