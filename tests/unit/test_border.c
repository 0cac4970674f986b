/* test_border.c - is a declaration needed, which form, and what may go. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "border/border.h"

static sv_world *world;

static int open_it(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_ATLAS | SV_OPEN_LEXICON | SV_OPEN_BORDER);
    return 0;
}

static int close_it(void **state)
{
    (void)state;
    sv_world_close(world);
    return 0;
}

/* Union rules and the exceptions of territories, from both ends. */
static void declaration_pairs(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    const sv_table *t = expected(a, "declaration-pairs");
    for (size_t r = 0; r < t->rows; r++) {
        sv_end from, to;
        assert_true(sv_end_read(world, a, field(t, r, "from"), &from));
        assert_true(sv_end_read(world, a, field(t, r, "to"), &to));
        sv_declaration d;
        assert_int_equal(sv_border_declaration(world, a, from, to, "2026-11-25", &d), SV_OK);
        const char *id = sv_format(a, "%s-%s by %s", field(t, r, "from"), field(t, r, "to"), d.rule);
        same(id, "needed", field(t, r, "needed"), d.needed ? "yes" : "no");
        assert_true(*d.source && *d.as_of && *d.why);
    }
    sv_arena_free(a);
}

/* One question of border-questions.tsv: the words, and what the garment room reads in them. */
static sv_verdict ask(sv_arena *a, const sv_table *t, size_t r)
{
    sv_end from, to;
    assert_true(sv_end_read(world, a, field(t, r, "from"), &from));
    assert_true(sv_end_read(world, a, field(t, r, "destination"), &to));
    sv_facts facts;
    sv_garment_given given = {.text = field(t, r, "item"), .condition = field(t, r, "condition")};
    sv_findings findings = sv_findings_in(a), unheard = sv_findings_in(a);
    assert_int_equal(sv_garment_read(world, a, &given, &facts, &unheard), SV_OK);
    sv_goods goods = {.item = field(t, r, "item"),
                      .facts = &facts,
                      .hs6 = "",
                      .condition = field(t, r, "condition"),
                      .situation = field(t, r, "situation"),
                      .presentation = "",
                      .currency = field(t, r, "currency"),
                      .documents = field(t, r, "documents"),
                      .sender_status = ""};
    if (!sv_dec_read(field(t, r, "value"), &goods.value)) goods.value = SV_DEC_UNKNOWN;
    if (!sv_dec_read(field(t, r, "net_weight_g"), &goods.net_weight_g)) goods.net_weight_g = SV_DEC_UNKNOWN;
    sv_border_answer out;
    assert_int_equal(sv_border_goods(world, a, from, to, &goods, "2026-11-25", "item", &out, &findings),
                     SV_OK);
    assert_true(*out.why && *out.remedy && *out.source && *out.as_of);
    if (out.verdict == SV_NO_RESTRICTION_KNOWN) {
        assert_non_null(strstr(out.why, "no restriction known to this table as of 20"));
    } else {
        assert_true(findings.stops + findings.cautions > 0);
    }
    assert_int_equal(out.verdict == SV_BORDER_PROHIBITED, findings.stops > 0);
    return out.verdict;
}

static void agree(const char *name)
{
    sv_arena *a = sv_arena_new(), *job = sv_arena_new();
    const sv_table *t = expected(a, name);
    for (size_t r = 0; r < t->rows; r++) {
        const char *id =
            sv_format(a, "row %zu, %s to %s", r + 1, field(t, r, "item"), field(t, r, "destination"));
        sv_arena_reset(job);
        same(id, "verdict", field(t, r, "expected"), sv_verdict_word(ask(job, t, r)));
    }
    sv_arena_free(job);
    sv_arena_free(a);
}

/* What the published rules say of an item between two places. Every answer must agree. */
static void questions(void **state)
{
    (void)state;
    agree("border-questions");
}

/* Words that hide goods, and words that only look so. */
static void words(void **state)
{
    (void)state;
    agree("border-words");
}

/* A row from memory gives at most a caution, but for goods no mail may carry and for wildlife. */
static void memory_rule(void **state)
{
    (void)state;
    const sv_table *t = sv_world_table(world, "border/goods"), *u = sv_world_table(world, "border/used");
    assert_true(t->rows > 150 && u->rows > 120);
    for (size_t r = 0; r < t->rows; r++) {
        const char *topic = sv_by_name(t, r, "topic"), *source = sv_by_name(t, r, "source");
        bool may = strcmp(topic, "no-mail") == 0 || strcmp(topic, "wildlife") == 0;
        bool bar = strcmp(sv_by_name(t, r, "verdict"), "prohibited") == 0;
        if (strcmp(source, "memory") == 0 && bar && !may) fail_msg("%s bars from memory", sv_cell(t, r, 0));
        bool memory = strcmp(sv_by_name(t, r, "confidence"), "memory") == 0;
        if (memory != (strcmp(source, "memory") == 0))
            fail_msg("%s: confidence and source differ", sv_cell(t, r, 0));
    }
    for (size_t r = 0; r < u->rows; r++) {
        if (strcmp(sv_by_name(u, r, "source"), "memory") == 0)
            assert_string_not_equal(sv_by_name(u, r, "sale"), "prohibited");
    }
}

/* A thing that no word, sign or combination can bring forth would be a rule that never speaks. */
static bool brought_forth(const char *thing, size_t bytes)
{
    static const char *const from[][2] = {
        {"border/words", "things"}, {"border/signs", "things"}, {"border/combine", "gives"}};
    static const char *const taken[] = {"imitation-", "printed-", "no-", "perhaps-"};
    for (size_t i = 0; i < sizeof taken / sizeof *taken; i++) {
        size_t n = strlen(taken[i]);
        if (bytes > n && memcmp(thing, taken[i], n) == 0) return brought_forth(thing + n, bytes - n);
    }
    for (size_t i = 0; i < 3; i++) {
        const sv_table *t = sv_world_table(world, from[i][0]);
        for (size_t r = 0; r < t->rows; r++) {
            if (sv_in_list(sv_by_name(t, r, from[i][1]), thing, bytes)) return true;
        }
    }
    return bytes == 3 && memcmp(thing, "any", 3) == 0;
}

static void every_thing_has_a_word(void **state)
{
    (void)state;
    static const char *const lists[][2] = {
        {"border/goods", "thing"}, {"border/goods", "but"}, {"border/used", "goods"}};
    for (size_t i = 0; i < 3; i++) {
        const sv_table *t = sv_world_table(world, lists[i][0]);
        for (size_t r = 0; r < t->rows; r++) {
            for (const char *p = sv_by_name(t, r, lists[i][1]); *p;) {
                size_t n = strcspn(p, " ");
                if (!brought_forth(p, n))
                    fail_msg("%s: nothing brings forth %.*s", sv_cell(t, r, 0), (int)n, p);
                p += n + (p[n] == ' ');
            }
        }
    }
}

/* UPU CN 22 instructions: up to 300 SDR CN 22, above CN 23; parcel post always CN 23. */
static void forms(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    const sv_table *t = expected(a, "form-choice");
    for (size_t r = 0; r < t->rows; r++) {
        sv_end from, to;
        assert_true(sv_end_read(world, a, field(t, r, "from"), &from));
        assert_true(sv_end_read(world, a, field(t, r, "to"), &to));
        sv_declaration need;
        assert_int_equal(sv_border_declaration(world, a, from, to, "", &need), SV_OK);
        sv_dec value = SV_DEC_UNKNOWN;
        int64_t minor = sv_dec_read(field(t, r, "value"), &value) ? value.units : -1;
        int exponent = sv_currency_exponent(world, field(t, r, "currency"));
        for (int i = value.scale; minor > 0 && i < exponent; i++)
            minor *= 10;
        sv_findings findings = sv_findings_in(a);
        sv_form_choice out;
        assert_int_equal(
            sv_border_form(world, a, from, &need, field(t, r, "service"), field(t, r, "category"),
                           (size_t)strtol(field(t, r, "lines"), NULL, 10), minor, field(t, r, "currency"),
                           strtol(field(t, r, "gross_g"), NULL, 10), "", &out, &findings),
            SV_OK);
        const char *id = sv_format(a, "row %zu", r + 1);
        same(id, "form", field(t, r, "form"), out.form);
        same(id, "warned", field(t, r, "warned"), findings.cautions ? "yes" : "no");
        assert_true(*out.why && *out.source && *out.as_of);
    }
    sv_arena_free(a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(declaration_pairs),
        cmocka_unit_test(questions),
        cmocka_unit_test(words),
        cmocka_unit_test(memory_rule),
        cmocka_unit_test(every_thing_has_a_word),
        cmocka_unit_test(forms),
    };
    return cmocka_run_group_tests(tests, open_it, close_it);
}
