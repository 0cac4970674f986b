/* blocks.c - which text goes where, in which letters: the Latin block and the local one. */
#include <string.h>

#include "address/lay_out.h"
#include "atlas/atlas_room.h"
#include "text/text.h"

/* ---- what is printed ---- */

static bool same_key(const char *a, const char *b)
{
    char x[SV_KEY_ROOM], y[SV_KEY_ROOM];
    size_t n = sv_alias_key(x, sizeof x, a, strlen(a)), m = sv_alias_key(y, sizeof y, b, strlen(b));
    return n != SIZE_MAX && n == m && memcmp(x, y, n) == 0;
}

/* An island that is the last line of its own is not printed as the region above it once more. */
static bool is_last_line(const sv_job *j, const char *region)
{
    return j->territory && *j->territory->print && *region && same_key(region, j->territory->print);
}

/* In Latin: the short form where the post wants it; the name where a code or another script was given; else
 * as given. */
static const char *region_text(const sv_job *j, bool latin)
{
    const char *given = sv_text_of(j->given->region);
    const sv_region *r = j->region;
    if (is_last_line(j, given)) return "";
    if (!r) return given;
    bool foreign = sv_is_foreign(given, strlen(given));
    if (!latin) return foreign || !*r->local ? given : r->local;
    if (j->place->region_short && *r->shorter) return r->shorter;
    bool code = strlen(given) <= 3 && strlen(r->name) > 3;
    return code || foreign ? r->name : given;
}

static bool same_town(const sv_job *j, const char *city)
{
    if (same_key(city, j->place->town)) return true;
    char key[SV_KEY_ROOM];
    sv_alias alias;
    size_t n = sv_alias_key(key, sizeof key, city, strlen(city));
    return n != SIZE_MAX && sv_alias_find(j->place->atlas, key, n, &alias) && alias.place == &j->place->place;
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
    const char *city = sv_text_of(j->given->city);
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
    const char *region = sv_text_of(j->given->region);
    bool one =
        j->place->once && *city && *region &&
        (j->region ? sv_region_find(j->place, city, strlen(city)) == j->region : same_key(city, region));
    if (one) part[SV_SLOT_REGION].length = 0;
}

static const char **given_texts(const sv_job *j, const char *text[SV_SLOTS], bool latin)
{
    const sv_address *g = j->given;
    const char *code = j->code.fit                               ? j->code.text
                       : j->place->forms && !j->code_placeholder ? sv_text_of(g->postcode)
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

/* Blocks of these texts. *foreign: bits (SV_PART_) of the texts that have letters which are not Latin. */
static const char *print_texts(sv_job *j, const char *text[SV_SLOTS], bool latin, unsigned *foreign)
{
    char small[2048];
    size_t room = room_of(text);
    sv_scratch s = {.at = room <= sizeof small ? small : sv_alloc(j->arena, room), .latin = latin};
    if (!s.at) return "";
    sv_part part[SV_SLOTS];
    sv_capitals how = sv_capitals_of(&j->place->place);
    *foreign = 0;
    for (int i = 0; i < SV_SLOTS; i++) {
        bool capitals = latin && (j->place->capitals & 1u << i);
        s.foreign = s.combining = false;
        part[i] = sv_clean(&s, text[i], capitals ? how : SV_AS_GIVEN);
        if (s.foreign) *foreign |= 1u << i;
        if (s.combining) j->decomposed = true;
    }
    j->dropped = j->dropped || s.dropped;
    settle_town(j, &s, part, latin && (j->place->capitals & SV_PART_TOWN) ? how : SV_AS_GIVEN);
    return sv_print_block(j->arena, latin ? j->place->latin : j->place->local, part, j->out->country_line);
}

/* Latin texts made of local ones, where every one of them can be; false when one cannot. */
static bool make_latin(const sv_job *j, const char *text[SV_SLOTS], unsigned foreign)
{
    for (int i = 0; i < SV_SLOTS; i++) {
        if (!(foreign & 1u << i)) continue;
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
    const char *town = sv_text_of(j->given->city), *latin = NULL;
    if (sv_is_foreign(town, strlen(town))) latin = sv_latin_town(j, town);
    if (!latin && j->region) latin = j->region->name;
    if (!latin || !last) return local;
    sv_scratch s = {.at = sv_alloc(j->arena, sv_scratch_room(strlen(latin)))};
    if (!s.at) return local;
    sv_part capitals = sv_clean(&s, latin, SV_CAPITALS);
    return sv_format(j->arena, "%.*s\n%.*s%s", (int)(last - local), local, (int)capitals.length,
                     capitals.text, last);
}

/* Composed letters: e and an accent of its own become one letter, which the fonts and the registers know. */
static void compose(const sv_job *j, const char *text[SV_SLOTS])
{
    bool clean;
    for (int i = 0; i < SV_SLOTS; i++)
        text[i] = text[i] && *text[i] ? sv_nfc(j->arena, text[i], &clean) : text[i];
}

static void print_latin(sv_job *j, const char *text[SV_SLOTS], unsigned *foreign)
{
    j->out->block = print_texts(j, given_texts(j, text, true), true, foreign);
    if (!j->decomposed) return;
    compose(j, text);
    j->out->block = print_texts(j, text, true, foreign);
}

/* A name in local script over an address in Latin letters: the Latin order, the name in Latin where it can
 * be. */
static void print_local_name(sv_job *j, const char *text[SV_SLOTS], unsigned foreign)
{
    unsigned left;
    bool made = make_latin(j, text, foreign);
    if (made) j->out->block = print_texts(j, text, true, &left);
    sv_find(j->findings, made ? SV_F_LATIN_MADE : SV_F_LATIN_WANTED, "recipient",
            SV_ARGS(j->place->place.common_en));
}

void sv_print_address(sv_job *j)
{
    const char *text[SV_SLOTS];
    unsigned foreign = 0, ignored;
    j->out->block_local = "";
    print_latin(j, text, &foreign);
    if (!foreign) return;
    if (!(foreign & (SV_PART_STREET | SV_PART_DEPENDENT | SV_PART_TOWN))) {
        print_local_name(j, text, foreign);
        return;
    }
    given_texts(j, text, false);
    if (j->decomposed) compose(j, text);
    j->out->block_local = print_texts(j, text, false, &ignored);
    given_texts(j, text, true);
    if (make_latin(j, text, foreign)) {
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
void sv_print_without_country(sv_job *j)
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
