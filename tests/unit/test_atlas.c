/* test_atlas.c - codes, names, postcodes, regions and territories of places. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "atlas/atlas.h"
#include "base/files.h"
#include "text/text.h"

static sv_world world_of_atlas;

static int open_atlas(void **state)
{
    (void)state;
    sv_error err;
    world_of_atlas = (sv_world){.arena = sv_arena_new(), .data_dir = "", .today = "2026-11-25"};
    if (sv_atlas_open(&world_of_atlas, &err)) fail_msg("%s", err.text);
    return 0;
}

static int close_atlas(void **state)
{
    (void)state;
    sv_arena_free(world_of_atlas.arena);
    return 0;
}

#define WORLD (&world_of_atlas)

/* The next "key": "value" pair of a file of iso-codes that has one a line; false at the end. */
static bool next_pair(const char **at, char key[32], char value[256])
{
    while ((*at = strchr(*at, '\n')) != NULL) {
        (*at)++;
        if (sscanf(*at, " \"%31[a-z_0-9]\": \"%255[^\"]\"", key, value) == 2) return true;
    }
    return false;
}

/* Alpha-2, alpha-3 and numeric codes against ISO 3166-1 as Debian's iso-codes publishes it. */
static void codes_are_those_of_iso_3166(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    size_t bytes, found = 0;
    const char *text = slurp(arena, "/usr/share/iso-codes/json/iso_3166-1.json", &bytes);
    if (!text) {
        print_message("SKIP: iso-codes is not installed\n");
        skip();
    }
    char key[32], value[256];
    const sv_place *p = NULL;
    for (const char *at = text; next_pair(&at, key, value);) {
        if (strcmp(key, "alpha_2") == 0) {
            p = sv_place_by_code(WORLD, value);
            if (!p) fail_msg("%s is missing", value);
            same(value, "code", value, p->code);
            found++;
        } else if (strcmp(key, "alpha_3") == 0) {
            same(p->code, "alpha3", value, p->alpha3);
            assert_ptr_equal(sv_place_by_code(WORLD, value), p);
        } else if (strcmp(key, "numeric") == 0) {
            same(p->code, "numeric", value, p->numeric);
        } else if (strcmp(key, "name") == 0) {
            const sv_place *named = sv_place_by_name(WORLD, value);
            if (named != p) fail_msg("%s is taken for %s", value, named ? named->code : "nothing");
        }
    }
    assert_int_equal(found, 249);
    assert_int_equal(sv_place_count(WORLD), 250); /* and XK */
    sv_arena_free(arena);
}

/* Every code of ISO 4217 in Debian's iso-codes has a row. */
static void currencies_are_those_of_iso_4217(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    size_t bytes, found = 0;
    const char *text = slurp(arena, "/usr/share/iso-codes/json/iso_4217.json", &bytes);
    if (!text) {
        print_message("SKIP: iso-codes is not installed\n");
        skip();
    }
    const sv_table *t = sv_world_table(WORLD, "atlas/currencies");
    char key[32], value[256];
    for (const char *at = text; next_pair(&at, key, value);) {
        if (strcmp(key, "alpha_3") != 0) continue;
        if (sv_table_find(t, value) == SV_NO_ROW) fail_msg("%s is missing", value);
        found++;
    }
    assert_true(found > 170);
    sv_arena_free(arena);
}

static void exponents(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "atlas-currencies");
    for (size_t i = 0; i < t->rows; i++) {
        char got[8];
        snprintf(got, sizeof got, "%d", sv_currency_exponent(WORLD, field(t, i, "currency")));
        same(field(t, i, "currency"), "exponent", field(t, i, "exponent"), got);
    }
    sv_arena_free(arena);
}

static void names_of_places(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "atlas-names");
    for (size_t i = 0; i < t->rows; i++) {
        const sv_place *p = sv_place_by_name(WORLD, field(t, i, "name"));
        same(field(t, i, "name"), "country", field(t, i, "country"), p ? p->code : "");
    }
    sv_arena_free(arena);
}

static void postcodes(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "atlas-postcodes");
    for (size_t i = 0; i < t->rows; i++) {
        const sv_place *p = sv_place_by_code(WORLD, field(t, i, "country"));
        const char *given = field(t, i, "postcode");
        assert_non_null(p);
        sv_postcode code;
        bool fits = sv_postcode_read(sv_atlas_place_of(p), given, strlen(given), &code);
        const char *id = sv_format(arena, "%s %s", p->code, given);
        same(id, "ok", field(t, i, "ok"), fits ? "1" : "0");
        if (strcmp(field(t, i, "normal"), "*") != 0) same(id, "normal", field(t, i, "normal"), code.text);
    }
    sv_arena_free(arena);
}

/* The example of every place fits its own forms as printed. */
static void examples_fit(void **state)
{
    (void)state;
    for (size_t i = 0; i < sv_place_count(WORLD); i++) {
        const sv_atlas_place *p = sv_atlas_place_of(sv_place_at(WORLD, i));
        sv_postcode code;
        if (!p->forms) continue;
        if (!*p->example) fail_msg("%s has no example", p->place.code);
        if (!sv_postcode_read(p, p->example, strlen(p->example), &code))
            fail_msg("%s: the example %s does not fit", p->place.code, p->example);
        same(p->place.code, "example", p->example, code.text);
    }
}

static void postcodes_in_running_text(void **state)
{
    (void)state;
    static const struct {
        const char *country, *text, *normal;
        size_t used;
        bool glued;
    } row[] = {{"DE", "26133 Oldenburg", "26133", 5, false},
               {"DE", "D-26133 Oldenburg", "26133", 7, false},
               {"JP", "〒154-0023東京都", "154-0023", 11, true},
               {"JP", "1540023 Tokyo", "154-0023", 7, false},
               {"GB", "ec1y8sy", "EC1Y 8SY", 7, false},
               {"AT", "1010Wien", "1010", 4, true},
               {"AT", "1010Wien", "", 0, false},
               {"DE", "12 345 Musterdorf", "", 0, false},
               {"SE", "114 55 STOCKHOLM", "114 55", 6, false},
               {"NL", "1234AB Amsterdam", "1234 AB", 6, false},
               {"IN", "110 034", "110034", 7, false},
               {"US", "95014-1234", "95014-1234", 10, false},
               {"US", "95014 Cupertino", "95014", 5, false}};
    for (size_t i = 0; i < sizeof row / sizeof *row; i++) {
        const sv_atlas_place *p = sv_atlas_place_of(sv_place_by_code(WORLD, row[i].country));
        sv_postcode code;
        size_t used = sv_postcode_at(p, row[i].text, strlen(row[i].text), row[i].glued, &code);
        if (used != row[i].used) fail_msg("%s: %s: %zu bytes are taken", row[i].country, row[i].text, used);
        same(row[i].text, "normal", row[i].normal, code.text);
    }
}

static void territories(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "atlas-territories");
    for (size_t i = 0; i < t->rows; i++) {
        const sv_territory *found = sv_territory_of(WORLD, field(t, i, "country"), field(t, i, "postcode"),
                                                    field(t, i, "region"), field(t, i, "city"));
        const char *id = sv_format(arena, "%s %s %s %s", field(t, i, "country"), field(t, i, "postcode"),
                                   field(t, i, "region"), field(t, i, "city"));
        same(id, "territory", field(t, i, "territory"), found ? found->id : "");
        if (!found) continue;
        same(id, "in_customs", field(t, i, "in_customs"), found->in_customs);
        same(id, "in_vat", field(t, i, "in_vat"), found->in_vat);
    }
    sv_arena_free(arena);
}

static void regions(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "atlas-regions");
    for (size_t i = 0; i < t->rows; i++) {
        const char *given = field(t, i, "given");
        const sv_atlas_place *p = sv_atlas_place_of(sv_place_by_code(WORLD, field(t, i, "country")));
        const sv_region *r = sv_region_find(p, given, strlen(given));
        same(given, "code", field(t, i, "code"), r ? r->code : "");
        if (*field(t, i, "postcode") && r) assert_true(sv_region_has_postcode(r, field(t, i, "postcode")));
    }
    sv_arena_free(arena);
}

/* Region codes are those of ISO 3166-2; these few are codes of the posts. */
static void region_codes_are_those_of_iso_3166_2(void **state)
{
    (void)state;
    static const char of_posts[] = "US-AA US-AE US-AP US-FM US-MH US-PW AU-JBT IT-AO";
    sv_arena *arena = sv_arena_new();
    size_t bytes, checked = 0;
    const char *text = slurp(arena, "/usr/share/iso-codes/json/iso_3166-2.json", &bytes);
    if (!text) {
        print_message("SKIP: iso-codes is not installed\n");
        skip();
    }
    for (size_t i = 0; i < sv_place_count(WORLD); i++) {
        const sv_atlas_place *p = sv_atlas_place_of(sv_place_at(WORLD, i));
        for (size_t k = 0; k < p->regions; k++) {
            const char *code = sv_format(arena, "%s-%s", p->place.code, p->region[k].code);
            if (!*p->region[k].code || strstr(of_posts, code)) continue;
            if (!strstr(text, sv_format(arena, "\"%s\"", code)))
                fail_msg("%s %s is no code", code, p->region[k].name);
            checked++;
        }
    }
    assert_true(checked > 1300);
    sv_arena_free(arena);
}

/* Names in the generated table are the keys that a lookup makes: a name written otherwise would never be
 * found. */
static void names_are_keys(void **state)
{
    (void)state;
    const sv_table *t = sv_world_table(WORLD, "atlas/names");
    size_t checked = 0;
    for (size_t i = 0; i < t->rows; i++) {
        const char *list = sv_cell(t, i, sv_table_column(t, "names"));
        while (*list) {
            char key[256];
            size_t n = strcspn(list, "|"), made = sv_alias_key(key, sizeof key, list, n);
            if (made != n || memcmp(key, list, n) != 0) fail_msg("%.*s is no key: %s", (int)n, list, key);
            list += n + (list[n] == '|');
            checked++;
        }
    }
    assert_true(checked > 20000);
}

static sv_alias alias_of(const sv_world *world, const char *key, size_t bytes)
{
    sv_alias found = {.part = "none"};
    sv_alias_find(sv_atlas_in(world), key, bytes, &found);
    return found;
}

static void same_alias(const sv_world *world, const char *key, size_t bytes)
{
    sv_alias ours = alias_of(WORLD, key, bytes), theirs = alias_of(world, key, bytes);
    assert_string_equal(ours.place ? ours.place->code : "", theirs.place ? theirs.place->code : "");
    assert_string_equal(ours.part, theirs.part);
    assert_int_equal(ours.weak, theirs.weak);
    assert_int_equal(ours.shared, theirs.shared);
}

/* Names of the user's own are known, ours may be taken away, and all others answer as the index made when the
 * program was built does. */
static void users_names_lie_over_ours(void **state)
{
    (void)state;
    static const char folder[] = "build/test_atlas_data";
    write_table(folder, "atlas/aliases",
                "name\tcountry\tpart\tweak\tsource\tas_of\n"
                "Inventia\tJP\teast\tyes\tinvented\t2026-11-01\n-Holland "
                "(Netherlands)\t\t\t\tinvented\t2026-11-01\n");
    write_table(folder, "atlas/regions",
                "country\tid\tcode\tname\tsource\tas_of\nDE\tXX\tXX\tInventland\tinvented\t2026-11-01\n");
    sv_world world = {.arena = sv_arena_new(), .data_dir = folder, .today = "2026-11-25"};
    sv_error err;
    if (sv_atlas_open(&world, &err)) fail_msg("%s", err.text);
    sv_alias mine = alias_of(&world, "inventia", 8);
    assert_non_null(mine.place);
    assert_string_equal(mine.place->code, "JP");
    assert_string_equal(mine.part, "east");
    assert_true(mine.weak);
    assert_null(alias_of(WORLD, "inventia", 8).place);
    assert_null(alias_of(&world, "holland netherlands", 19).place);
    assert_non_null(alias_of(WORLD, "holland netherlands", 19).place);
    const sv_region *r = sv_region_find(sv_atlas_place_of(sv_place_by_code(&world, "DE")), "Inventland", 10);
    assert_non_null(r);
    assert_string_equal(r->code, "XX");
    const sv_table *t = sv_world_table(WORLD, "atlas/names");
    for (size_t i = 0; i < t->rows; i++) {
        const char *list = sv_cell(t, i, sv_table_column(t, "names"));
        for (size_t n; (n = strcspn(list, "|")) != 0; list += n + (list[n] == '|')) {
            same_alias(&world, list, n);
        }
    }
    sv_arena_free(world.arena);
}

/* All tables of the room, read strictly: types, sources, dates. */
static void tables_are_sound(void **state)
{
    (void)state;
    for (size_t i = 0; i < sv_builtin_count; i++) {
        const sv_builtin *b = &sv_builtins[i];
        if (strncmp(b->name, "atlas/", 6) != 0) continue;
        sv_arena *arena = sv_arena_new();
        sv_table t;
        sv_error err;
        const char *file = sv_format(arena, "data/%s.tsv", b->name), *text;
        size_t bytes;
        if (sv_file_read(arena, file, (size_t)1 << 26, &text, &bytes, &err) ||
            sv_table_read(arena, b->name, file, text, bytes, true, &t, &err))
            fail_msg("%s", err.text);
        sv_arena_free(arena);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(codes_are_those_of_iso_3166),
        cmocka_unit_test(currencies_are_those_of_iso_4217),
        cmocka_unit_test(exponents),
        cmocka_unit_test(names_of_places),
        cmocka_unit_test(postcodes),
        cmocka_unit_test(examples_fit),
        cmocka_unit_test(postcodes_in_running_text),
        cmocka_unit_test(territories),
        cmocka_unit_test(regions),
        cmocka_unit_test(region_codes_are_those_of_iso_3166_2),
        cmocka_unit_test(names_are_keys),
        cmocka_unit_test(users_names_lie_over_ours),
        cmocka_unit_test(tables_are_sound),
    };
    return cmocka_run_group_tests(tests, open_atlas, close_atlas);
}
