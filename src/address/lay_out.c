/* lay_out.c - an address in parts becomes the block that the destination's post reads. */
#include "address/lay_out.h"

#include <string.h>

/* ---- what the parts mean ---- */

static void find_country(sv_job *j)
{
    const char *country = sv_text_of(j->given->country);
    while (*country == ' ')
        country++;
    size_t n = strlen(country);
    while (n && country[n - 1] == ' ')
        n--;
    const sv_place *p = NULL;
    if (n && !country[n])
        p = sv_place_by_code(j->world, country);
    else if (n)
        p = sv_place_by_code(j->world, sv_copy_n(j->arena, country, n));
    j->place = j->written = p ? sv_atlas_place_of(p) : NULL;
}

static void read_code(sv_job *j)
{
    const char *code = sv_text_of(j->given->postcode);
    size_t n = strlen(code);
    while (n && (code[0] == ' ' || code[0] == '\t')) {
        code++;
        n--;
    }
    while (n && (code[n - 1] == ' ' || code[n - 1] == '\t'))
        n--;
    j->code_given = n > 0;
    if (!n) return;
    j->code_placeholder = sv_postcode_placeholder(j->place, code, n);
    if (!j->code_placeholder) sv_postcode_read(j->place, code, n, &j->code);
}

/* A place with a code of its own behind its mother country's name is the place that the address is for. */
static void find_territory(sv_job *j)
{
    if (!j->place->territories) return;
    const char *region = sv_text_of(j->given->region), *city = sv_text_of(j->given->city);
    const char *code = j->code.fit ? j->code.text : "";
    const sv_territory *t = sv_territory_of(j->world, j->place->place.code, code, region, city);
    j->territory = t;
    if (!t || !*t->print || strcmp(t->country, j->place->place.code) == 0) return;
    const sv_place *own = sv_place_by_code(j->world, t->country);
    if (!own) return;
    j->place = sv_atlas_place_of(own);
    sv_postcode again;
    if (j->code.fit && sv_postcode_read(j->place, j->code.text, strlen(j->code.text), &again)) {
        again.fit = j->code.fit;
        j->code = again;
    }
}

static void find_region(sv_job *j)
{
    const char *region = sv_text_of(j->given->region);
    if (*region) j->region = sv_region_find(j->place, region, strlen(region));
}

sv_status sv_address_lay_out(const sv_world *world, sv_press *press, sv_arena *arena, const sv_address *given,
                             const char *service, sv_laid_address *out, sv_findings *findings)
{
    sv_job j = {.world = world,
                .press = press,
                .arena = arena,
                .given = given,
                .findings = findings,
                .service = sv_text_of(service),
                .out = out};
    *out = (sv_laid_address){.block = "",
                             .block_local = "",
                             .postcode = "",
                             .postcode_ok = -1,
                             .region_code = "",
                             .country_line = "",
                             .format_source = "",
                             .format_as_of = ""};
    find_country(&j);
    if (!j.place) {
        bool missing = !*sv_text_of(given->country);
        out->postcode = sv_copy(arena, given->postcode);
        sv_find(findings, missing ? SV_F_COUNTRY_MISSING : SV_F_COUNTRY_UNKNOWN, "country",
                SV_ARGS(sv_text_of(given->country)));
        sv_print_without_country(&j);
        return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
    }
    read_code(&j);
    find_territory(&j);
    find_region(&j);
    out->place = &j.place->place;
    out->territory = j.territory;
    out->country_line = j.territory && *j.territory->print ? j.territory->print : j.place->place.name_en;
    out->region_code = j.region ? j.region->code : "";
    if (j.code_given) out->postcode_ok = j.code.fit != SV_POST_NONE;
    out->postcode = j.code.fit ? sv_copy(arena, j.code.text) : sv_copy(arena, given->postcode);
    out->format_source = j.place->format_source;
    out->format_as_of = j.place->format_as_of;
    sv_print_address(&j);
    sv_check_address(&j);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
