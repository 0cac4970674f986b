/* lay_out.c - an address in parts becomes the block that the destination's post reads. */
#include "address/lay_out.h"

#include <string.h>

#include "atlas/atlas_room.h"

static const char *text_of(const char *text)
{
    return text ? text : "";
}

/* ---- what the parts mean
 * ------------------------------------------------------------------------------------ */

static void find_country(sv_job *j)
{
    const char *country = text_of(j->given->country);
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
    const char *code = text_of(j->given->postcode);
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
    const char *region = text_of(j->given->region), *city = text_of(j->given->city);
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
    const char *region = text_of(j->given->region);
    if (*region) j->region = sv_region_find(j->place, region, strlen(region));
}

/* ---- what is printed
 * ------------------------------------------------------------------------------------------ */

/* In Latin: the short form where the post wants it; the name where a code or another script was given; else
 * as given. */
static const char *region_text(const sv_job *j, bool latin)
{
    const char *given = text_of(j->given->region);
    const sv_region *r = j->region;
    if (!r) return given;
    bool foreign = sv_is_foreign(given, strlen(given));
    if (!latin) return foreign || !*r->local ? given : r->local;
    if (j->place->region_short && *r->shorter) return r->shorter;
    bool code = strlen(given) <= 3 && strlen(r->name) > 3;
    return code || foreign ? r->name : given;
}

static bool same_town(const sv_job *j, const char *city)
{
    char key[SV_KEY_ROOM], town[64];
    size_t n = sv_alias_key(key, sizeof key, city, strlen(city));
    if (n == SIZE_MAX) return false;
    size_t m = sv_alias_key(town, sizeof town, j->place->town, strlen(j->place->town));
    if (n == m && memcmp(key, town, n) == 0) return true;
    sv_alias alias;
    return sv_alias_find(j->place->atlas, key, n, &alias) && alias.place == &j->place->place;
}

static sv_part with_line(sv_scratch *s, sv_part first, const char *second, sv_capitals how)
{
    char *start = s->at;
    memcpy(start, first.text, first.length);
    s->at += first.length;
    if (first.length) *s->at++ = '\n';
    sv_part more = sv_clean(s, second, how);
    return (sv_part){start, first.length + (first.length ? 1 : 0) + more.length};
}

/* The town where every address of the place has the same one is printed by the template; another name given
 * as the town is then the quarter. */
static void settle_town(const sv_job *j, sv_scratch *s, sv_part part[SV_SLOTS], sv_capitals how)
{
    const char *city = text_of(j->given->city);
    if (*j->place->town && part[SV_SLOT_TOWN].length) {
        if (!same_town(j, city)) part[SV_SLOT_DEPENDENT] = with_line(s, part[SV_SLOT_DEPENDENT], city, how);
        part[SV_SLOT_TOWN].length = 0;
        return;
    }
    /* A region given where the town is missing and the template has no region stands for the town. */
    bool prints = (j->place->latin->has & SV_PART_REGION) != 0;
    if (!part[SV_SLOT_TOWN].length && part[SV_SLOT_REGION].length && !prints && !*j->place->town)
        part[SV_SLOT_TOWN] = part[SV_SLOT_REGION];
    /* Town and region of one name: once where the table says so. */
    bool one =
        j->place->once && j->region && *city && sv_region_find(j->place, city, strlen(city)) == j->region;
    if (one) part[SV_SLOT_REGION].length = 0;
}

static const char *const *given_texts(const sv_job *j, const char *text[SV_SLOTS], bool latin)
{
    const sv_address *g = j->given;
    const char *code = j->code.fit                               ? j->code.text
                       : j->place->forms && !j->code_placeholder ? text_of(g->postcode)
                                                                 : "";
    text[SV_SLOT_NAME] = g->recipient;
    text[SV_SLOT_FIRM] = g->organisation;
    text[SV_SLOT_STREET] = g->street_lines;
    text[SV_SLOT_DEPENDENT] = g->dependent_locality;
    text[SV_SLOT_TOWN] = g->city;
    text[SV_SLOT_REGION] = region_text(j, latin);
    text[SV_SLOT_CODE] = code;
    return text;
}

static size_t room_of(const char *const text[SV_SLOTS])
{
    size_t n = 0;
    for (int i = 0; i < SV_SLOTS; i++)
        n += sv_scratch_room(text[i] ? strlen(text[i]) : 0);
    /* The town may be cleaned twice (as a quarter). */
    return n + sv_scratch_room(text[SV_SLOT_TOWN] ? strlen(text[SV_SLOT_TOWN]) : 0) +
           sv_scratch_room(text[SV_SLOT_DEPENDENT] ? strlen(text[SV_SLOT_DEPENDENT]) : 0);
}

/* One block of these texts. *foreign: a text has letters that are not Latin (nothing is then printed when
 * `latin`). */
static const char *print_texts(sv_job *j, const char *const text[SV_SLOTS], bool latin, bool *foreign)
{
    char small[2048];
    size_t room = room_of(text);
    sv_scratch s = {.at = room <= sizeof small ? small : sv_alloc(j->arena, room)};
    if (!s.at) return "";
    sv_part part[SV_SLOTS];
    sv_capitals how = sv_capitals_of(&j->place->place);
    for (int i = 0; i < SV_SLOTS; i++) {
        bool capitals = latin && (j->place->capitals & 1u << i);
        part[i] = sv_clean(&s, text[i], capitals ? how : SV_AS_GIVEN);
        j->dropped = j->dropped || s.dropped;
        if (latin && s.foreign) {
            *foreign = true;
            return "";
        }
    }
    settle_town(j, &s, part, latin && (j->place->capitals & SV_PART_TOWN) ? how : SV_AS_GIVEN);
    *foreign = s.foreign;
    return sv_print_block(j->arena, latin ? j->place->latin : j->place->local, part, j->out->country_line);
}

/* Latin texts made of local ones, where every one of them can be; false when one cannot. */
static bool make_latin(sv_job *j, const char *text[SV_SLOTS])
{
    for (int i = 0; i < SV_SLOTS; i++) {
        if (!text[i] || !sv_is_foreign(text[i], strlen(text[i]))) continue;
        const char *latin = i == SV_SLOT_TOWN ? sv_latin_town(j, text[i]) : NULL;
        if (!latin) latin = sv_latin_of(j, text[i]);
        if (!latin) return false;
        text[i] = latin;
    }
    return true;
}

/* The local lines with the town or region in Latin above the country, as far as the tables know them. */
static const char *local_with_latin_town(const sv_job *j)
{
    const char *local = j->out->block_local, *last = strrchr(local, '\n');
    const char *town = text_of(j->given->city), *latin = NULL;
    if (sv_is_foreign(town, strlen(town))) latin = sv_latin_town(j, town);
    if (!latin && j->region) latin = j->region->name;
    if (!latin || !last) return local;
    sv_scratch s = {.at = sv_alloc(j->arena, sv_scratch_room(strlen(latin)))};
    if (!s.at) return local;
    sv_part capitals = sv_clean(&s, latin, SV_CAPITALS);
    return sv_format(j->arena, "%.*s\n%.*s%s", (int)(last - local), local, (int)capitals.length,
                     capitals.text, last);
}

static void print_address(sv_job *j)
{
    const char *text[SV_SLOTS];
    bool foreign = false;
    j->out->block_local = "";
    j->out->block = print_texts(j, given_texts(j, text, true), true, &foreign);
    if (!foreign) return;
    j->out->block_local = print_texts(j, given_texts(j, text, false), false, &foreign);
    given_texts(j, text, true);
    if (make_latin(j, text)) {
        j->out->block = print_texts(j, text, true, &foreign);
        if (!foreign) {
            sv_find(j->findings, SV_F_LATIN_MADE, "", SV_NO_ARGS);
            return;
        }
    }
    j->out->block = local_with_latin_town(j);
    sv_find(j->findings, SV_F_LATIN_WANTED, "", SV_ARGS(j->place->place.common_en));
}

/* Without a country there is no template: the parts in the order most posts use, what was given as the
 * country last. */
static void print_without_country(sv_job *j)
{
    const sv_address *g = j->given;
    const char *text[] = {g->recipient, g->organisation, g->street_lines, g->dependent_locality,
                          g->city,      g->region,       g->postcode,     g->country};
    const char *block = "";
    for (size_t i = 0; i < sizeof text / sizeof *text; i++) {
        if (!text[i] || !*text[i]) continue;
        sv_scratch s = {.at = sv_alloc(j->arena, sv_scratch_room(strlen(text[i])))};
        if (!s.at) return;
        sv_part p = sv_clean(&s, text[i], i + 1 == sizeof text / sizeof *text ? SV_CAPITALS : SV_AS_GIVEN);
        if (p.length)
            block = sv_format(j->arena, "%s%s%.*s", block, *block ? "\n" : "", (int)p.length, p.text);
    }
    j->out->block = block;
}

sv_status sv_address_lay_out(const sv_world *world, sv_press *press, sv_arena *arena, const sv_address *given,
                             const char *service, sv_laid_address *out, sv_findings *findings)
{
    sv_job j = {.world = world,
                .press = press,
                .arena = arena,
                .given = given,
                .findings = findings,
                .service = text_of(service),
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
        bool missing = !*text_of(given->country);
        out->postcode = sv_copy(arena, given->postcode);
        sv_find(findings, missing ? SV_F_COUNTRY_MISSING : SV_F_COUNTRY_UNKNOWN, "country",
                SV_ARGS(text_of(given->country)));
        print_without_country(&j);
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
    print_address(&j);
    sv_check_address(&j);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
