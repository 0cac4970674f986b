/* end.c - a destination as the contracts write it: ISO 3166-1, XK, ISO 3166-2, EU, XI. */
#include <string.h>

#include "duty/duty.h"

/* The customs union taken as one destination; its members' taxes differ. */
static const sv_place union_place = {.code = "EU",
                                     .alpha3 = "",
                                     .numeric = "",
                                     .name_en = "EUROPEAN UNION",
                                     .name_fr = "UNION EUROPÉENNE",
                                     .common_en = "the European Union",
                                     .currency = "EUR",
                                     .languages = "en",
                                     .unions = "eu-customs eu-vat",
                                     .sovereign = "",
                                     .source = "Regulation (EU) No 952/2013 art. 4",
                                     .as_of = "2026-11-25"};

sv_end duty_whole_union(sv_end end)
{
    if (!end.place && end.region && strcmp(end.region, "EU") == 0) end.place = &union_place;
    return end;
}

sv_end sv_duty_end(const sv_world *world, sv_arena *arena, const char *code)
{
    sv_end end = {.place = NULL, .territory = NULL, .region = ""};
    if (!code || !*code) return end;
    char *capitals = sv_alloc(arena, strlen(code) + 1);
    if (!capitals) return end;
    for (size_t i = 0; code[i]; i++)
        capitals[i] = code[i] >= 'a' && code[i] <= 'z' ? (char)(code[i] - 32) : code[i];
    if (strcmp(capitals, "EU") == 0) {
        end.region = capitals;
        return duty_whole_union(end);
    }
    const char *id = strcmp(capitals, "XI") == 0 ? "GB-NIR" : capitals;
    end.territory = sv_territory_by_id(world, id);
    const char *hyphen = strchr(id, '-');
    const char *country = end.territory ? end.territory->country
                          : hyphen      ? sv_copy_n(arena, id, (size_t)(hyphen - id))
                                        : id;
    end.place = sv_place_by_code(world, country);
    if (!end.place) end.place = sv_place_by_name(world, code);
    if (!end.place) end.territory = NULL;
    if (hyphen && !end.territory) end.region = capitals;
    return end;
}
