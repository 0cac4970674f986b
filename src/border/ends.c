/* ends.c - the ends of the way: read from a code, and fitted to the cells of the tables. */
#include <string.h>

#include "border/border.h"

bool sv_in_list(const char *list, const char *word, size_t bytes)
{
    for (const char *p = list; *p;) {
        size_t n = strcspn(p, " ");
        if (n == bytes && n && memcmp(p, word, n) == 0) return true;
        p += n + (p[n] == ' ');
    }
    return false;
}

static bool is(const char *text, const char *word, size_t n)
{
    return text && strlen(text) == n && n && memcmp(text, word, n) == 0;
}

/* Where a territory stands, its unions count, not those of the country around it. The whole union is inside
 * both of its own. */
static bool inside(const sv_end *end, const char *word, size_t n)
{
    if (!end->place && is(end->region, "EU", 2)) return is("eu-customs", word, n) || is("eu-vat", word, n);
    if (end->territory) return is(end->territory->in_customs, word, n) || is(end->territory->in_vat, word, n);
    return end->place && sv_in_list(end->place->unions, word, n);
}

static bool atom_fits(const sv_end *end, const char *word, size_t n)
{
    if (n && *word == '!') return !atom_fits(end, word + 1, n - 1);
    if (n == 3 && memcmp(word, "any", 3) == 0) return true;
    if (n == 2 && memcmp(word, "EU", 2) == 0)
        return is(end->region, "EU", 2) || inside(end, "eu-customs", strlen("eu-customs"));
    if (end->place && is(end->place->code, word, n)) return true;
    if (end->territory && is(end->territory->id, word, n)) return true;
    return is(end->region, word, n) || inside(end, word, n);
}

bool sv_end_fits(const sv_end *end, const char *cell)
{
    for (const char *p = cell; *p;) {
        bool fits = true;
        size_t n = strcspn(p, " ");
        for (size_t i = 0; i < n;) {
            size_t m = strcspn(p + i, "+ ");
            fits = fits && atom_fits(end, p + i, m);
            i += m + 1;
        }
        if (fits) return true;
        p += n + (p[n] == ' ');
    }
    return false;
}

/* The part of its place an end lies in; "" where the territory is the whole place. */
static const char *part_of(const sv_end *end)
{
    if (!end->territory || !end->place || strcmp(end->territory->id, end->place->code) == 0) return "";
    return end->territory->id;
}

bool sv_same_end(const sv_end *a, const sv_end *b)
{
    return a->place && a->place == b->place && strcmp(part_of(a), part_of(b)) == 0;
}

/* Words of unions within which no customs border is crossed. */
static const char *const customs_unions[] = {"eu-customs", "uk-customs", "us-customs", "ch-customs"};

bool sv_ends_in_one_union(const sv_end *a, const sv_end *b)
{
    for (size_t i = 0; i < sizeof customs_unions / sizeof *customs_unions; i++) {
        const char *u = customs_unions[i];
        if (sv_end_fits(a, u) && sv_end_fits(b, u)) return true;
    }
    return sv_same_end(a, b);
}

static const char *known_region(const sv_border *b, const char *code)
{
    size_t row = sv_table_find(b->regions, code);
    return row == SV_NO_ROW ? NULL : sv_cell(b->regions, row, 0);
}

bool sv_end_read(const sv_world *world, sv_arena *arena, const char *code, sv_end *out)
{
    *out = (sv_end){.place = NULL, .territory = NULL, .region = ""};
    const char *upper = sv_upper_ascii(arena, code);
    if (strcmp(upper, "EU") == 0 || strcmp(upper, "ANY") == 0) {
        out->region = *upper == 'E' ? "EU" : "any";
        return true;
    }
    out->territory = sv_territory_by_id(world, code);
    if (!out->territory) out->territory = sv_territory_by_id(world, upper);
    /* XI is the code of trade data for Northern Ireland. */
    if (strcmp(upper, "XI") == 0) out->territory = sv_territory_by_id(world, "GB-NIR");
    const char *hyphen = strchr(code, '-');
    if (out->territory) {
        out->place = sv_place_by_code(world, out->territory->country);
    } else if (hyphen) {
        out->place = sv_place_by_code(world, sv_copy_n(arena, upper, (size_t)(hyphen - code)));
        const char *known = known_region(sv_border_in(world), upper);
        out->region = known ? known : upper;
    } else {
        out->place = sv_place_by_code(world, upper);
    }
    return out->place != NULL;
}

/* ---- an address ---------------------------------------------------------------------------------------- */

static bool same_word(const char *a, const char *b, size_t n)
{
    if (strlen(a) != n) return false;
    for (size_t i = 0; i < n; i++) {
        char x = a[i], y = b[i];
        if (x >= 'a' && x <= 'z') x = (char)(x - 32);
        if (y >= 'a' && y <= 'z') y = (char)(y - 32);
        if (x != y) return false;
    }
    return n > 0;
}

/* Postcodes stand in the cell as ranges of their first characters, such as 900-961. */
static bool postcode_among(const char *cell, const char *postcode)
{
    for (const char *p = cell; *p;) {
        size_t n = strcspn(p, " "), dash = strcspn(p, "- ");
        const char *last = dash < n ? p + dash + 1 : p;
        if (strlen(postcode) >= dash && memcmp(postcode, p, dash) >= 0 && memcmp(postcode, last, dash) <= 0)
            return true;
        p += n + (p[n] == ' ');
    }
    return false;
}

static const char *region_of(const sv_border *b, const char *country, const char *postcode,
                             const char *region)
{
    const sv_table *t = b->regions;
    for (size_t r = 0; r < t->rows; r++) {
        if (strcmp(sv_by_name(t, r, "country"), country) != 0) continue;
        if (*postcode && postcode_among(sv_by_name(t, r, "postcodes"), postcode)) return sv_cell(t, r, 0);
        for (const char *p = sv_by_name(t, r, "names"); *region && *p;) {
            size_t n = strcspn(p, ";");
            if (same_word(region, p, n)) return sv_cell(t, r, 0);
            p += n + (p[n] == ';');
        }
    }
    return "";
}

sv_end sv_end_of_address(const sv_world *world, const char *country, const char *postcode, const char *region,
                         const char *city)
{
    sv_end end = {.place = sv_place_by_code(world, country), .territory = NULL, .region = ""};
    if (!end.place) return end;
    end.territory = sv_territory_of(world, end.place->code, postcode, region, city);
    if (end.territory && strcmp(end.territory->country, end.place->code) != 0) {
        const sv_place *own = sv_place_by_code(world, end.territory->country);
        if (own) end.place = own;
    }
    end.region = region_of(sv_border_in(world), end.place->code, sv_or_empty(postcode), sv_or_empty(region));
    return end;
}
