/* formats.c - how places write addresses and postcodes: data/atlas/formats.tsv and postcodes.tsv, made ready.
 */
#include <string.h>

#include "atlas/atlas_room.h"
#include "atlas/layout.h"
#include "atlas/mask.h"

static const char general_lines[] = "C Z|S"; /* a place without a row */

/* ACSZ and the like, in the letters of the templates, as SV_PART_ bits. */
static uint8_t parts_of(const char *letters)
{
    static const char order[] = "NOADCSZ";
    unsigned bits = 0;
    for (; *letters; letters++) {
        const char *p = strchr(order, *letters);
        if (p) bits |= 1u << (p - order);
    }
    return (uint8_t)bits;
}

static sv_side side_of(const char *word)
{
    static const char *const words[] = {"none", "left", "right", "below", "above"};
    for (int i = 1; i < 5; i++) {
        if (strcmp(word, words[i]) == 0) return (sv_side)i;
    }
    return SV_SIDE_NONE;
}

static void general_format(sv_atlas_place *p)
{
    p->lines = general_lines;
    p->script = "Latn";
    p->required = SV_PART_STREET | SV_PART_TOWN;
    p->capitals = SV_PART_TOWN;
    p->side = SV_SIDE_RIGHT;
    p->lines_local = p->town = p->prefix = p->signs = p->placeholders = p->example = p->expects = "";
    p->format_source = p->format_as_of = p->postcode_source = p->postcode_as_of = "";
}

static void read_format(const sv_table *t, size_t row, sv_atlas_place *p)
{
#define CELL(name) sv_cell(t, row, sv_table_column(t, name))
    p->lines = CELL("lines");
    p->lines_local = CELL("lines_local");
    p->town = CELL("town");
    p->script = CELL("script");
    p->firm_first = strcmp(CELL("firm_first"), "yes") == 0;
    p->required = parts_of(CELL("required"));
    p->capitals = parts_of(CELL("capitals"));
    p->side = side_of(CELL("side"));
    p->prefix = CELL("prefix");
    p->signs = CELL("signs");
    p->placeholders = CELL("placeholders");
    p->region_short = strcmp(CELL("region"), "short") == 0;
    p->once = strcmp(CELL("once"), "yes") == 0;
    p->expects = CELL("expects");
    p->format_source = CELL("source");
    p->format_as_of = CELL("as_of");
#undef CELL
}

static bool make_layouts(sv_arena *arena, sv_atlas_place *p)
{
    bool own = *p->lines_local != 0, same = !own && !*p->prefix;
    sv_layout *latin = SV_NEW(arena, sv_layout), *local = same ? latin : SV_NEW(arena, sv_layout);
    if (!latin || !local) return true; /* the arena's failure is seen by the caller */
    p->latin = latin;
    p->local = local;
    if (!sv_layout_make(arena, p->lines, true, p->firm_first, p->side, p->prefix, latin)) return false;
    return same ||
           sv_layout_make(arena, own ? p->lines_local : p->lines, !own, p->firm_first, p->side, "", local);
}

sv_status sv_atlas_formats(sv_atlas *a, sv_world *w, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(w, "atlas/formats", &t, err);
    for (size_t i = 0; !s && i < a->places; i++) {
        sv_atlas_place *p = &a->place[i];
        size_t row = sv_table_find(t, p->place.code);
        general_format(p);
        if (row != SV_NO_ROW) read_format(t, row, p);
        if (!make_layouts(w->arena, p)) s = sv_atlas_bad(err, t, row == SV_NO_ROW ? 0 : row, "lines");
    }
    return s;
}

static sv_status read_forms(sv_arena *arena, const sv_table *t, size_t first, size_t n, sv_atlas_place *p,
                            sv_error *err)
{
    int mask = sv_table_column(t, "mask"), old = sv_table_column(t, "old"), note = sv_table_column(t, "note");
    int letters = sv_table_column(t, "letters"), example = sv_table_column(t, "example");
    sv_postcode_form *form = SV_NEW_ARRAY(arena, n, sv_postcode_form);
    uint8_t *groups = SV_NEW_ARRAY(arena, SV_GROUP_BYTES, uint8_t);
    for (size_t i = 0; form && groups && i < n; i++) {
        size_t row = t->by_key[first + i];
        if (!sv_mask_make(sv_cell(t, row, mask), &form[i])) return sv_atlas_bad(err, t, row, "mask");
        form[i].old = strcmp(sv_cell(t, row, old), "yes") == 0;
        form[i].note = sv_cell(t, row, note);
        if (*sv_cell(t, row, example)) p->example = sv_cell(t, row, example);
        if (!*sv_cell(t, row, letters) || p->groups) continue;
        sv_groups_make(sv_cell(t, row, letters), groups);
        p->groups = groups;
    }
    p->form = form;
    p->forms = form ? n : 0;
    p->postcode_source = sv_cell(t, t->by_key[first], sv_table_column(t, "source"));
    p->postcode_as_of = sv_cell(t, t->by_key[first], sv_table_column(t, "as_of"));
    return SV_OK;
}

sv_status sv_atlas_postcodes(sv_atlas *a, sv_world *w, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(w, "atlas/postcodes", &t, err);
    for (size_t i = 0; !s && i < a->places; i++) {
        size_t first, n = sv_table_run(t, a->place[i].place.code, &first);
        if (n) s = read_forms(w->arena, t, first, n, &a->place[i], err);
    }
    return s;
}
