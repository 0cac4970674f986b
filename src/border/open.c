/* open.c - opens the border room: its tables, checked, and the index of words. */
#include <string.h>

#include "border/border.h"
#include "border/words.h"

const sv_border *sv_border_in(const sv_world *world)
{
    return world->room[SV_ROOM_BORDER];
}

sv_status sv_border_open(sv_world *world, sv_error *err)
{
    if (world->room[SV_ROOM_BORDER]) return SV_OK;
    sv_status s = sv_world_load(world, "border/", err);
    if (s) return s;
    sv_border *b = SV_NEW(world->arena, sv_border);
    if (!b) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the border's tables");
    const struct {
        const char *name;
        const sv_table **table;
    } wanted[] = {
        {"border/goods", &b->goods},
        {"border/used", &b->used},
        {"border/words", &b->words},
        {"border/signs", &b->signs},
        {"border/combine", &b->combine},
        {"border/declaration", &b->declaration},
        {"border/regions", &b->regions},
        {"border/form", &b->form},
        {"border/form-limits", &b->limits},
        {"border/sdr", &b->sdr},
        {"border/numbers", &b->numbers},
        {"border/number-forms", &b->number_forms},
        {"border/s10", &b->s10},
        {"border/trader", &b->trader},
        {"border/asked", &b->asked},
        {"border/schemes", &b->schemes},
        {"border/same-day", &b->same_day},
        {"border/leaving", &b->leaving},
        {"border/changes", &b->changes},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        s = sv_world_need(world, wanted[i].name, wanted[i].table, err);
        if (s) return s;
    }
    s = sv_lexicon_open(world->arena, b->words, &b->lexicon, err);
    if (s) return s;
    world->room[SV_ROOM_BORDER] = b;
    return SV_OK;
}
