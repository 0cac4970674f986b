/* test_garment.c - labels and free text: fibres by part, the article, facts and where they come from. */
#include <string.h>

#include "garment/lexicon.h"
#include "support.h"

static sv_world *world;

static int open_all(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_ATLAS | SV_OPEN_LEXICON | SV_OPEN_TARIFF);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    sv_world_close(world);
    return 0;
}

static sv_facts read_given(sv_arena *arena, const sv_garment_given *given)
{
    sv_facts facts;
    sv_findings findings = sv_findings_in(arena);
    assert_int_equal(sv_garment_read(world, arena, given, &facts, &findings), SV_OK);
    return facts;
}

static sv_facts read_text(sv_arena *arena, const char *text)
{
    sv_garment_given given = {.text = text};
    return read_given(arena, &given);
}

static bool finds(sv_arena *arena, const sv_garment_given *given, const char *code)
{
    sv_facts facts;
    sv_findings findings = sv_findings_in(arena);
    assert_int_equal(sv_garment_read(world, arena, given, &facts, &findings), SV_OK);
    for (const sv_finding *f = findings.first; f; f = f->next) {
        if (strcmp(sv_code_word(f->code), code) == 0) return true;
    }
    return false;
}

/* ---- labels ---- */

/* Every label as free text; those of fibres alone in the column too. */
static void labels_are_read(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "labels");
    for (size_t i = 0; i < t->rows; i++) {
        sv_facts facts = read_text(arena, field(t, i, "text"));
        same(sv_cell(t, i, 0), field(t, i, "text"), field(t, i, "fibres"), sv_fibres_text(arena, &facts));
    }
    sv_arena_free(arena);
}

/* The order in which a label names its fibres says nothing (Regulation (EU) No 1007/2011 article 9:
 * descending order is for the label). */
static void order_says_nothing(void **state)
{
    (void)state;
    static const char *const fibres[] = {"60% cotton", "30% polyester", "7% viscose", "3% elastane"};
    static const int orders[][4] = {{0, 1, 2, 3}, {3, 2, 1, 0}, {1, 3, 0, 2}, {2, 0, 3, 1}};
    sv_arena *arena = sv_arena_new();
    for (size_t i = 0; i < sizeof orders / sizeof *orders; i++) {
        const char *label = "";
        for (int k = 0; k < 4; k++)
            label = sv_format(arena, "%s%s%s", label, k ? " " : "", fibres[orders[i][k]]);
        sv_facts facts = read_text(arena, label);
        same(label, "fibres", "shell=cotton 60, polyester 30, viscose 7, elastane 3",
             sv_fibres_text(arena, &facts));
    }
    sv_arena_free(arena);
}

/* The official names of the regulation's languages give one and the same fibre. */
static void one_fibre_in_many_languages(void **state)
{
    (void)state;
    static const char *const cotton[] = {
        "cotton",   "Baumwolle", "coton",   "cotone", "algodón", "algodão", "katoen",  "bomuld", "bomull",
        "puuvilla", "bawełna",   "bavlna",  "pamut",  "bumbac",  "памук",   "βαμβάκι", "pamuk",  "bombaž",
        "medvilnė", "kokvilna",  "puuvill", "qoton",  "cadás",   "хлопок",  "бавовна", "綿",     "棉",
        "면",       "قطن",       "כותנה",   "ฝ้าย",    "सूती",     "katun"};
    sv_arena *arena = sv_arena_new();
    for (size_t i = 0; i < sizeof cotton / sizeof *cotton; i++) {
        sv_facts facts = read_text(arena, sv_format(arena, "100%% %s", cotton[i]));
        same(cotton[i], "fibres", "shell=cotton 100", sv_fibres_text(arena, &facts));
        sv_arena_reset(arena);
    }
    sv_arena_free(arena);
}

static void doubts_of_labels_are_said(void **state)
{
    (void)state;
    static const struct {
        const char *fibre, *code;
    } cases[] = {
        {"60% cotton 30% polyester", "fibre-sum"},        {"60-70% cotton, 30-40% polyester", "fibre-range"},
        {"80% wool 20% other fibres", "fibre-other"},     {"70% bamboo 30% cotton", "fibre-trade-word"},
        {"cotton, 5% elastane", "fibre-percent-missing"}, {"hand wash", "fibre-none"}};
    sv_arena *arena = sv_arena_new();
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sv_garment_given given = {.garment = "shirt", .fibre = cases[i].fibre};
        if (!finds(arena, &given, cases[i].code))
            fail_msg("%s: no finding %s", cases[i].fibre, cases[i].code);
    }
    sv_garment_given plain = {.garment = "shirt", .fibre = "60% cotton 40% polyester"};
    assert_false(finds(arena, &plain, "fibre-sum"));
    sv_arena_free(arena);
}

/* ---- titles ---- */

static bool among(const char *word, const char *list)
{
    const char *at = strstr(list, word);
    return *word && at && (at == list || at[-1] == ' ');
}

static void titles_give_their_heading(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, "titles");
    size_t wrong = 0;
    for (size_t i = 0; i < t->rows; i++) {
        sv_arena *row = sv_arena_new();
        sv_facts facts = read_text(row, field(t, i, "text"));
        sv_findings findings = sv_findings_in(row);
        sv_heading h;
        assert_int_equal(sv_classify(world, row, &facts, "", "2026-11-25", "", &h, &findings), SV_OK);
        if (!among(h.heading, field(t, i, "headings"))) {
            print_message("%s %s: wanted %s, got %s\n", sv_cell(t, i, 0), field(t, i, "text"),
                          field(t, i, "headings"), h.heading);
            wrong++;
        }
        sv_arena_free(row);
    }
    assert_int_equal(wrong, 0);
    sv_arena_free(arena);
}

/* ---- facts ---- */

typedef struct fact_case {
    const char *text, *article, *facts; /* "hood=yes sleeves=long" */
} fact_case;

static const fact_case fact_cases[] = {
    {"Woman's zip pullover with turtleneck collar and drawstring waist, cotton knit", "jumper",
     "wearer=women construction=knit high_neck=yes tightening_at_bottom=yes zip=yes"},
    {"mens sleeveless top without collar, no pockets", "tank-top",
     "wearer=men sleeves=none collar=no pockets=no"},
    {"jacket with hood, full zip, lined, quilted", "jacket",
     "hood=yes neck_opening=full fastening=zip lined=yes padded=yes"},
    {"Mädchenkleid ohne Ärmel", "dress", "wearer=girls sleeves=none"},
    {"robe pull femme", "dress", "wearer=women"},
    {"swim shorts with inner mesh brief", "swim-trunks", "liner=yes worn_as=swim"},
    {"trousers with elastic waist", "trousers", "waistband=elastic"},
    {"sweatshirt with elastic waist", "sweatshirt", "tightening_at_bottom=yes"},
    {"cardigan 3-6 months", "cardigan", "wearer=baby"},
    {"Jungen Jacke Gr. 140", "jacket", "wearer=boys"},
    {"Babykleid Gr. 92", "dress", "wearer=unisex"},
    {"suede ankle boots, leather sole", "ankle-boots", "upper=leather sole=leather covers_ankle=yes"},
    {"canvas tote bag", "tote-bag", "outer_surface=textile carried=other"},
    {"925 silver earrings", "earrings", "matter=silver"},
    {"tights 20 denier", "tights", "decitex=under-67"},
    {"silk scarf 50 x 50 cm", "scarf", "side_over_60=no square=yes"},
    {"leather jacket, faux fur collar", "leather-jacket", "construction=leather fur=trim"},
    {"cargo trousers", "cargo-trousers", "pockets=yes"},
    {"used clothing compressed into bales", "worn-clothing", "condition=used presentation=bulk"},
};

static void check_fact(sv_arena *arena, const fact_case *c, const sv_facts *facts, const char *wanted)
{
    const char *equals = strchr(wanted, '=');
    int fact = sv_fact_find(wanted, (size_t)(equals - wanted));
    assert_true(fact >= 0);
    size_t bytes = strcspn(equals + 1, " ");
    same(c->text, sv_fact_name(fact), sv_copy_n(arena, equals + 1, bytes), sv_fact_word(facts, fact));
}

static void words_become_facts(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    for (size_t i = 0; i < sizeof fact_cases / sizeof *fact_cases; i++) {
        const fact_case *c = &fact_cases[i];
        sv_facts facts = read_text(arena, c->text);
        same(c->text, "article", c->article, facts.article);
        for (const char *p = c->facts; p; p = strchr(p, ' ') ? strchr(p, ' ') + 1 : NULL)
            check_fact(arena, c, &facts, p);
        sv_arena_reset(arena);
    }
    sv_arena_free(arena);
}

/* A stated fact beats what the word suggests, and both are kept apart. */
static void stated_beats_suggested(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    sv_garment_given given = {.garment = "jumper", .construction = "woven", .gender = "men"};
    sv_facts facts = read_given(arena, &given);
    assert_true(sv_fact_is(&facts, SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_WOVEN));
    assert_int_equal(facts.fact[SV_FACT_CONSTRUCTION].from, SV_FROM_STATED);
    given.construction = "";
    facts = read_given(arena, &given);
    assert_true(sv_fact_is(&facts, SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_KNIT));
    assert_int_equal(facts.fact[SV_FACT_CONSTRUCTION].from, SV_FROM_WORD);
    sv_arena_free(arena);
}

static void columns_take_their_words(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    sv_garment_given given = {
        .garment = "vest", .construction = "fur+knit", .condition = "deadstock", .presentation = "bulk"};
    sv_facts facts = read_given(arena, &given);
    assert_true(sv_fact_is(&facts, SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_MIXED));
    assert_true(sv_fact_is(&facts, SV_FACT_FRONT_CONSTRUCTION, SV_FRONT_CONSTRUCTION_FUR));
    assert_true(sv_fact_is(&facts, SV_FACT_CONDITION, SV_CONDITION_USED_UNSOLD_STOCK));
    assert_true(sv_fact_is(&facts, SV_FACT_PRESENTATION, SV_PRESENTATION_BULK));
    given.condition = "qwertz";
    assert_true(finds(arena, &given, "column-word"));
    sv_arena_free(arena);
}

/* ---- the tables ---- */

/* Without the built-in index the tables give the same one. */
static void index_is_that_of_the_tables(void **state)
{
    (void)state;
    sv_world fresh = {.arena = sv_arena_new(), .data_dir = "", .today = ""};
    sv_error err = {SV_OK, ""};
    sv_wordbook *lex;
    const void *block;
    size_t bytes;
    if (sv_wordbook_tables(&fresh, &lex, &err) || sv_index_make(lex, &fresh, &block, &bytes, &err))
        fail_msg("%s", err.text);
    assert_int_equal(bytes, (size_t)(sv_index_block_end - sv_index_block));
    assert_memory_equal(block, sv_index_block, bytes);
    sv_arena_free(fresh.arena);
}

static void every_article_has_a_name_and_a_kind(void **state)
{
    (void)state;
    for (size_t i = 0; i < sv_article_count(world); i++) {
        sv_article_row a = sv_article_at(world, (int)i);
        assert_true(*a.key && *a.kind && *a.name && *a.plural && *a.source && *a.as_of);
        assert_int_equal(sv_article_find(world, a.key), (int)i);
        assert_true(a.wider < (int)sv_article_count(world) && a.wider != (int)i);
    }
}

/* Any text is fine: what is understood does not depend on what stood in memory before. */
static void same_text_same_answer(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const char *text = "Damen Wintermantel 80% Wolle 20% Polyamid, Futter 100% Viskose, gebraucht";
    sv_facts first = read_text(arena, text);
    const char *fibres = sv_fibres_text(arena, &first);
    for (int i = 0; i < 20; i++) {
        read_text(arena, "Ω≈ç 999% ??? 100% 100% 100% cotton cotton; ; ;");
        sv_facts again = read_text(arena, text);
        same(text, "fibres", fibres, sv_fibres_text(arena, &again));
        same(text, "article", first.article, again.article);
    }
    sv_arena_free(arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(labels_are_read),
        cmocka_unit_test(order_says_nothing),
        cmocka_unit_test(one_fibre_in_many_languages),
        cmocka_unit_test(doubts_of_labels_are_said),
        cmocka_unit_test(titles_give_their_heading),
        cmocka_unit_test(words_become_facts),
        cmocka_unit_test(stated_beats_suggested),
        cmocka_unit_test(columns_take_their_words),
        cmocka_unit_test(index_is_that_of_the_tables),
        cmocka_unit_test(every_article_has_a_name_and_a_kind),
        cmocka_unit_test(same_text_same_answer),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
