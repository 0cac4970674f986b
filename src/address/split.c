/* split.c - takes a whole pasted address apart (contracts, section 2, address --split). */
#include <string.h>

#include "address/split.h"
#include "selvedge/codes.h"

const sv_place *sp_own_code(const sv_world *world, const sv_place *place, const char *postcode,
                            const char *region, const char *city)
{
    const sv_territory *t = sv_territory_of(world, place->code, postcode, region, city);
    if (!t || strcmp(t->id, t->country) != 0 || strcmp(t->country, place->code) == 0) return place;
    const sv_place *own = sv_place_by_code(world, t->country);
    return own ? own : place;
}

static void report(const sp_job *j, bool known, const sv_address *a)
{
    sv_findings *f = j->findings;
    if (!f) return;
    const char *read_as =
        j->place ? sv_format(j->arena, "; the block was read as one of %s", j->place->place.common_en) : "";
    if (!known)
        sv_find(f, SV_F_SPLIT_COUNTRY_OPEN, "country", SV_ARGS(read_as));
    else if (j->inferred)
        sv_find(f, SV_F_SPLIT_COUNTRY_INFERRED, "country",
                SV_ARGS(j->place->place.common_en, j->why ? j->why : ""));
    if (known && !*a->city && (j->place->required & SV_PART_TOWN))
        sv_find(f, SV_F_SPLIT_TOWN_OPEN, "city", SV_NO_ARGS);
    if (known && !*a->postcode && (j->place->required & SV_PART_CODE))
        sv_find(f, SV_F_SPLIT_POSTCODE_OPEN, "postcode", SV_ARGS(j->place->place.common_en));
    if (!*a->recipient && !*a->organisation) sv_find(f, SV_F_SPLIT_RECIPIENT_OPEN, "recipient", SV_NO_ARGS);
    if (j->rest) sv_find(f, SV_F_SPLIT_LONG, "block", SV_NO_ARGS);
    if (*a->unplaced && !j->rest) sv_find(f, SV_F_SPLIT_UNPLACED, "unplaced", SV_ARGS(a->unplaced));
}

/* No more words than there are signs between them: everything but letters and figures in ASCII, the first
 * bytes of punctuation elsewhere, and figures with letters written on. */
static size_t words_at_most(const char *text, size_t bytes)
{
    size_t n = 4;
    for (size_t i = 0; i < bytes && n < SP_MOST_WORDS; i++) {
        unsigned char c = (unsigned char)text[i];
        bool digit = c >= '0' && c <= '9', letter = (c | 32) >= 'a' && (c | 32) <= 'z';
        if (c < 0x80
                ? !digit && !letter
                : c == 0xC2 || c == 0xD8 || c == 0xDB || c == 0xE1 || c == 0xE2 || c == 0xE3 || c == 0xEF)
            n++;
        if (digit && i + 1 < bytes && (unsigned char)text[i + 1] > '9') n++;
    }
    return n < SP_MOST_WORDS ? n : SP_MOST_WORDS;
}

static bool make_room(sp_job *j)
{
    j->most = words_at_most(j->text, j->bytes);
    j->room = j->most + 24;
    j->word = SV_NEW_ARRAY(j->arena, j->room, sp_word);
    /* A key is rarely longer than its word; a word whose key does not fit is one that no table knows. */
    j->keys_room = (j->bytes < 65536 ? j->bytes : 65536) * 3 + 512;
    j->keys = sv_alloc(j->arena, j->keys_room);
    return j->word && j->keys;
}

/* A territory with a code of its own has towns and an own name: GY1 2JU with UK is read as Guernsey. */
static void read_as_territory(sp_job *j)
{
    const sv_place *own = *j->postcode ? sp_own_code(j->world, &j->place->place, j->postcode, "", "") : NULL;
    if (!own || own == &j->place->place) return;
    j->place = sv_atlas_place_of(own);
    sp_mask(j);
}

static void read_block(sp_job *j, const char *country)
{
    sp_labels(j);
    sp_contacts(j);
    sp_mask(j);
    sp_country(j, country);
    if (!j->place) {
        sp_late_phones(j);
        sp_rest(j);
        return;
    }
    sp_refresh(j);
    sp_mask(j); /* by what counts in the place */
    sp_fixed_lines(j);
    sp_code(j);
    sp_refresh(j);
    read_as_territory(j);
    sp_late_phones(j);
    if (!sp_east(j)) {
        sp_town(j);
        sp_rest(j);
    }
    sp_titles(j);
}

sv_status sv_address_split(const sv_world *world, sv_press *press, sv_arena *arena, const char *block,
                           size_t bytes, const char *country, sv_address *out, sv_findings *findings)
{
    *out = (sv_address){"", "", "", "", "", "", "", "", "", "", ""};
    const sp_data *data = sp_data_in(world);
    const sv_atlas *atlas = sv_atlas_in(world);
    if (!data || !atlas) return SV_USAGE;
    sp_job j = {
        .world = world, .data = data, .atlas = atlas, .arena = arena, .press = press, .findings = findings};
    j.code_from = j.code_to = j.town_from = j.town_to = -1;
    j.text = sp_clean(arena, block, bytes, &j.bytes);
    if (!make_room(&j)) return SV_NO_MEMORY;
    sp_cut(&j);
    if (j.words) read_block(&j, country);
    sp_write(&j, out);
    bool known = j.place && !j.unsure;
    if (known) {
        const sv_place *own = sp_own_code(world, &j.place->place, out->postcode, out->region, out->city);
        out->country = own->code;
    }
    report(&j, known, out);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
