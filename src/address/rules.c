/* rules.c - how a place writes addresses, for a reader. */
#include <string.h>

#include "atlas/layout.h"
#include "base/buf.h"
#include "selvedge/address.h"

static const char *const slot_names[SV_SLOTS] = {
    "recipient", "organisation", "street lines", "dependent locality", "town", "region", "postcode"};

static void put_lines(sv_buf *b, const sv_layout_lines *l)
{
    int line = -1;
    for (uint8_t i = 0; i < l->items; i++) {
        const sv_layout_item *item = &l->item[i];
        if (item->line != line)
            sv_put(b, line < 0 ? "  " : "\n  ");
        else
            sv_put_n(b, item->before, item->before_length);
        line = item->line;
        sv_put(b, item->literal ? item->literal : "");
        if (item->slot < SV_SLOTS) sv_put_format(b, "<%s>", slot_names[item->slot]);
    }
    sv_put(b, "\n");
}

static void put_parts(sv_buf *b, const char *title, uint8_t parts)
{
    const char *apart = "";
    if (!parts) return;
    sv_put_format(b, "%s: ", title);
    for (int i = 0; i < SV_SLOTS; i++) {
        if (!(parts & 1u << i)) continue;
        sv_put_format(b, "%s%s", apart, slot_names[i]);
        apart = ", ";
    }
    sv_put(b, "\n");
}

static void put_postcodes(sv_buf *b, const sv_atlas_place *p)
{
    if (!p->forms) {
        sv_put(b, "Postcode: none\n");
        return;
    }
    sv_put_format(b, "Postcode: such as %s%s\n", p->prefix, p->example);
    for (size_t i = 0; i < p->forms; i++) {
        const sv_postcode_form *f = &p->form[i];
        sv_put_format(b, "  %s%s%s%s\n", f->mask, f->old ? "  older, still used" : "", *f->note ? ": " : "",
                      f->note);
    }
    sv_put(
        b,
        "  (9 a digit, A a letter, # either, {1-7} one of these, in round brackets what may be missing)\n");
}

static void put_regions(sv_buf *b, const sv_atlas_place *p)
{
    if (!p->regions) return;
    sv_put(b, "Regions: ");
    for (size_t i = 0; i < p->regions; i++) {
        const sv_region *r = &p->region[i];
        sv_put(b, i ? ", " : "");
        if (p->region_short && *r->shorter) sv_put_format(b, "%s ", r->shorter);
        sv_put(b, r->name);
        if (*r->local) sv_put_format(b, " %s", r->local);
    }
    sv_put(b, "\n");
}

static void put_territories(sv_buf *b, const sv_atlas_place *p)
{
    for (size_t i = 0; i < p->territories; i++) {
        const sv_territory *t = &p->territory[i]->territory;
        const char *codes = p->territory[i]->postcodes;
        sv_put_format(b, "%s (%s%s%s): %s\n", t->name, t->id, *codes ? ", postcode " : "", codes, t->note);
    }
}

/* An example with the place's own postcode and made-up names. */
static void put_example(sv_buf *b, const sv_world *world, const sv_place *place)
{
    const sv_atlas_place *p = sv_atlas_place_of(place);
    sv_arena *arena = sv_arena_new();
    if (!arena) return;
    sv_findings findings = sv_findings_in(arena);
    const char *region = p->regions ? p->region[0].name : "";
    if (p->regions && *p->example && sv_region_by_postcode(p, p->example))
        region = sv_region_by_postcode(p, p->example)->name;
    bool asks = p->required & SV_PART_REGION;
    sv_address example = {.country = place->code,
                          .recipient = "Ada Example",
                          .street_lines = "1 Example Street",
                          .city = *p->town ? "" : "Town",
                          .region = asks ? region : "",
                          .postcode = p->example};
    sv_laid_address laid;
    if (sv_address_lay_out(world, NULL, arena, &example, NULL, &laid, &findings) == SV_OK) {
        sv_put(b, "Example (made up):\n  ");
        for (const char *c = laid.block; *c; c++) {
            sv_put_char(b, *c);
            if (*c == '\n') sv_put(b, "  ");
        }
        sv_put(b, "\n");
    }
    sv_arena_free(arena);
}

const char *sv_address_rules(const sv_world *world, sv_arena *arena, const char *country)
{
    const sv_place *place = sv_place_by_code(world, country);
    if (!place) return NULL;
    const sv_atlas_place *p = sv_atlas_place_of(place);
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put_format(&b, "%s (%s)\nLast line: %s, in French %s\n\nLines:\n", place->common_en, place->code,
                  place->name_en, place->name_fr);
    put_lines(&b, &p->latin->whole);
    if (*p->lines_local) {
        sv_put(&b, "In local script:\n");
        put_lines(&b, &p->local->whole);
    }
    put_parts(&b, "Must be there", p->required);
    put_parts(&b, "In capitals", p->capitals);
    put_postcodes(&b, p);
    put_regions(&b, p);
    put_territories(&b, p);
    put_example(&b, world, place);
    sv_put_format(&b, "Source: %s, %s\n", *p->format_source ? p->format_source : "general layout, no source",
                  *p->format_as_of ? p->format_as_of : place->as_of);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}
