/* test_border_sides.c - beside the goods: numbers asked, schemes, leaving the country, traders' duties, the
 * card. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "selvedge/border.h"

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

static sv_end end_of(sv_arena *a, const char *code)
{
    sv_end end;
    assert_true(sv_end_read(world, a, code, &end));
    return end;
}

static bool has(const sv_findings *list, sv_code code, sv_severity severity)
{
    for (const sv_finding *f = list->first; f; f = f->next) {
        if (f->code == code && f->severity == severity) return true;
    }
    return false;
}

/* Union Customs Code delegated regulation art. 141(4): to 1000 euros a postal item counts as declared; and
 * others. */
static void leaving(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    const sv_table *t = expected(a, "leaving");
    for (size_t r = 0; r < t->rows; r++) {
        sv_findings findings = sv_findings_in(a);
        sv_leaving out;
        long minor = strtol(field(t, r, "minor"), NULL, 10);
        assert_int_equal(sv_border_leaving(world, a, end_of(a, field(t, r, "from")),
                                           end_of(a, field(t, r, "to")), minor, field(t, r, "currency"), &out,
                                           &findings),
                         SV_OK);
        const char *id = sv_format(a, "row %zu", r + 1);
        same(id, "over", field(t, r, "over"), out.over ? "yes" : "no");
        same(id, "written", field(t, r, "written"), out.written);
        assert_int_equal(out.over, has(&findings, SV_F_EXPORT_OVER_LIMIT, SV_CAUTION));
    }
    sv_arena_free(a);
}

/* UPU circular 161 of 2019: Brazil asks for CPF or CNPJ; Korea for the clearance code. */
static void addressee_numbers(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    static const struct {
        const char *to, *number;
        int missing, wrong;
    } cases[] = {
        {"BR", "", 1, 0},
        {"BR", "390.533.447-05", 0, 0},
        {"BR", "16.727.230/0001-97", 0, 0},
        {"BR", "12345", 0, 1},
        {"KR", "P123456789012", 0, 0},
        {"KR", "", 1, 0},
        {"KR", "12", 0, 1},
        {"JP", "", 0, 0},
        {"TR", "", 0, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sv_findings f = sv_findings_in(a);
        assert_int_equal(sv_border_addressee_number(world, a, end_of(a, cases[i].to), cases[i].number, &f),
                         SV_OK);
        assert_int_equal(has(&f, SV_F_ADDRESSEE_NUMBER_MISSING, SV_CAUTION), cases[i].missing);
        assert_int_equal(has(&f, SV_F_NUMBER_FORM, SV_STOP), cases[i].wrong);
    }
    sv_asked asked[8];
    assert_true(sv_border_asked(world, end_of(a, "BR"), asked, 8) >= 1);
    assert_string_equal(asked[0].kinds, "BRCPF BRCNPJ");
    assert_true(asked[0].must);
    sv_arena_free(a);
}

/* Spanish Tax Agency, low value consignments: one IOSS number a consignment, no mixing. */
static void one_scheme_a_parcel(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    static const struct {
        const char *to, *scheme, *number, *own, *orders;
        sv_code code;
        int severity; /* -1: nothing is said */
    } cases[] = {
        {"FR", "IOSS", "IM2760000019", "IOSS IM2760000019", "1", SV_F_SCHEME_MIXED, -1},
        {"FR", "IOSS", "IM 276 000 0019", "VOEC 2024567; IOSS IM2760000019", "1", SV_F_SCHEME_OF_MARKETPLACE,
         -1},
        {"FR", "IOSS", "IM2760000027", "IOSS IM2760000019", "1", SV_F_SCHEME_OF_MARKETPLACE, SV_NOTE},
        {"FR", "IOSS", "IM2760000027", "IOSS IM2760000019", "1 2", SV_F_SCHEME_OF_MARKETPLACE, SV_CAUTION},
        {"FR", "IOSS", "IM2760000019; IM2760000027", "", "1 2", SV_F_SCHEME_MIXED, SV_STOP},
        {"FR", "IOSS; VOEC", "IM2760000019", "", "1 2", SV_F_SCHEME_MIXED, SV_STOP},
        {"NO", "IOSS", "IM2760000019", "IOSS IM2760000019", "1", SV_F_SCHEME_PLACE, SV_CAUTION},
        {"NO", "VOEC", "2024567", "VOEC 2024567", "1", SV_F_SCHEME_PLACE, -1},
        {"XI", "IOSS", "IM2760000019", "IOSS IM2760000019", "1", SV_F_SCHEME_PLACE, -1},
        {"US", "", "", "", "", SV_F_SCHEME_PLACE, -1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        sv_findings f = sv_findings_in(a);
        sv_scheme_use use = {end_of(a, cases[i].to), cases[i].scheme, cases[i].number, cases[i].own,
                             cases[i].orders};
        assert_int_equal(sv_border_schemes(world, a, &use, &f), SV_OK);
        if (cases[i].severity < 0) {
            if (f.first) fail_msg("case %zu says %s", i, sv_code_word(f.first->code));
        } else if (!has(&f, cases[i].code, (sv_severity)cases[i].severity)) {
            fail_msg("case %zu does not say %s", i, sv_code_word(cases[i].code));
        }
    }
    assert_false(sv_border_scheme_outside(world, "IOSS"));
    assert_false(sv_border_scheme_outside(world, "unheard of"));
    assert_true(sv_border_scheme_outside(world, "IRD"));
    sv_arena_free(a);
}

static void same_day(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    sv_findings f = sv_findings_in(a);
    sv_border_same_day(world, end_of(a, "TW"), "parcel", &f);
    assert_true(has(&f, SV_F_SAME_DAY, SV_CAUTION));
    assert_non_null(strstr(f.first->source, "Taiwan"));
    sv_arena_free(a);
}

static sv_border_answer judge(sv_arena *a, const char *from, const char *to, const char *item,
                              const char *condition, const char *status, sv_findings *findings)
{
    sv_goods goods = {.item = item,
                      .hs6 = "",
                      .condition = condition,
                      .situation = "sale",
                      .presentation = "",
                      .value = SV_DEC_UNKNOWN,
                      .currency = "",
                      .net_weight_g = SV_DEC_UNKNOWN,
                      .documents = "",
                      .sender_status = status};
    sv_border_answer out;
    assert_int_equal(
        sv_border_goods(world, a, end_of(a, from), end_of(a, to), &goods, "", "piece[1]", &out, findings),
        SV_OK);
    return out;
}

/* Regulation (EU) 2023/988 binds those who sell in the course of trade; it does not touch the goods' verdict.
 */
static void traders(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    sv_findings f = sv_findings_in(a);
    assert_int_equal(judge(a, "US", "FR", "wool jumper", "used", "trader", &f).verdict,
                     SV_NO_RESTRICTION_KNOWN);
    assert_true(has(&f, SV_F_TRADER_DUTIES, SV_CAUTION));
    size_t before = f.cautions;
    judge(a, "US", "FR", "wool skirt", "used", "trader", &f);
    assert_int_equal(f.cautions, before); /* once a parcel */
    f = sv_findings_in(a);
    assert_int_equal(judge(a, "US", "FR", "wool jumper", "used", "private", &f).verdict,
                     SV_NO_RESTRICTION_KNOWN);
    assert_true(has(&f, SV_F_TRADER_DUTIES, SV_NOTE));
    assert_int_equal(f.cautions, 0);
    sv_arena_free(a);
}

/* Goods no mail may carry: no reason overrides. */
static void no_mail_is_final(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    sv_findings f = sv_findings_in(a);
    judge(a, "DE", "US", "perfume sample", "new", "private", &f);
    assert_true(has(&f, SV_F_GOODS_NO_MAIL, SV_STOP));
    assert_true(f.first->final);
    f = sv_findings_in(a);
    judge(a, "DE", "DZ", "jeans", "used", "private", &f);
    assert_true(has(&f, SV_F_GOODS_PROHIBITED, SV_STOP));
    assert_false(f.first->final);
    sv_arena_free(a);
}

/* A paper that lifts a row goes to its field of the CN 23: licences to 12, certificates to 13. */
static void papers_to_their_fields(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    sv_findings f = sv_findings_in(a);
    sv_goods goods = {.item = "python leather belt",
                      .hs6 = "",
                      .condition = "used",
                      .situation = "sale",
                      .presentation = "",
                      .value = SV_DEC_UNKNOWN,
                      .currency = "",
                      .net_weight_g = SV_DEC_UNKNOWN,
                      .documents = "CITES export permit US-123; invoice",
                      .sender_status = ""};
    sv_border_answer out;
    assert_int_equal(
        sv_border_goods(world, a, end_of(a, "US"), end_of(a, "JP"), &goods, "", "piece[1]", &out, &f), SV_OK);
    assert_int_equal(out.verdict, SV_BORDER_CAUTION);
    assert_string_equal(out.document_certificate, "CITES export permit US-123");
    assert_string_equal(out.document_licence, "");
    goods.item = "jumper";
    goods.documents = "import permit ZA 77";
    assert_int_equal(
        sv_border_goods(world, a, end_of(a, "US"), end_of(a, "ZA"), &goods, "", "piece[1]", &out, &f), SV_OK);
    assert_int_equal(out.verdict, SV_BORDER_CAUTION);
    assert_string_equal(out.document_licence, "import permit ZA 77");
    sv_arena_free(a);
}

static void ends(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    sv_end end;
    assert_true(sv_end_read(world, a, "us-ca", &end));
    assert_string_equal(end.place->code, "US");
    assert_string_equal(end.region, "US-CA");
    assert_true(sv_end_read(world, a, "EU", &end));
    assert_null(end.place);
    assert_true(sv_end_read(world, a, "XI", &end));
    assert_string_equal(end.territory->id, "GB-NIR");
    assert_false(sv_end_read(world, a, "QQ", &end));
    assert_string_equal(sv_end_of_address(world, "US", "90210", "", "Beverly Hills").region, "US-CA");
    assert_string_equal(sv_end_of_address(world, "US", "", "california", "").region, "US-CA");
    assert_string_equal(sv_end_of_address(world, "US", "97201", "OR", "Portland").region, "");
    assert_string_equal(sv_end_of_address(world, "ES", "35001", "", "").territory->id, "ES-CN");
    sv_arena_free(a);
}

static void card(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    sv_card c;
    assert_int_equal(sv_border_card(world, a, end_of(a, "DE"), end_of(a, "TT"), &c), SV_OK);
    bool camouflage = false;
    for (size_t i = 0; i < c.lines; i++) {
        assert_true(*c.line[i].text && *c.line[i].source && *c.line[i].as_of);
        camouflage |= strcmp(c.line[i].section, "prohibited") == 0 && strstr(c.line[i].text, "camouflage");
    }
    assert_true(camouflage);
    assert_true(*c.oldest);
    sv_arena_free(a);
}

/* A row of the user's own lies over ours, says so, and is asked first; what it rests on may be old. */
static void users_rows(void **state)
{
    (void)state;
    sv_arena *a = sv_arena_new();
    int status;
    run(a, "mkdir -p build/tmp/border-data/border", &status);
    FILE *f = fopen("build/tmp/border-data/border/used.tsv", "w");
    assert_non_null(f);
    fputs("place\tgoods\trule\tsingle\tsale\tgift\tbulk\tremedy\tsource\tas_of\tconfidence\n"
          "JP\tany\tbarred\tyes\tprohibited\tprohibited\tprohibited\task\tletter of the customs office\t"
          "2025-01-02\topened\n",
          f);
    assert_int_equal(fclose(f), 0);
    sv_world *ours = world;
    sv_error err = {SV_OK, ""};
    sv_world_options options = {.data_dir = "build/tmp/border-data",
                                .today = "2026-11-25",
                                .rooms = SV_OPEN_ATLAS | SV_OPEN_LEXICON | SV_OPEN_BORDER};
    assert_int_equal(sv_world_open(&options, &world, &err), SV_OK);
    sv_findings found = sv_findings_in(a);
    sv_border_answer out = judge(a, "DE", "JP", "wool jumper", "used", "private", &found);
    assert_int_equal(out.verdict, SV_BORDER_PROHIBITED);
    assert_string_equal(out.as_of, "2025-01-02");
    assert_true(has(&found, SV_F_DATA_USERS, SV_NOTE));
    assert_true(has(&found, SV_F_DATA_OLD, SV_CAUTION));
    sv_world_close(world);
    world = ours;
    sv_arena_free(a);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(leaving),
        cmocka_unit_test(addressee_numbers),
        cmocka_unit_test(one_scheme_a_parcel),
        cmocka_unit_test(same_day),
        cmocka_unit_test(traders),
        cmocka_unit_test(no_mail_is_final),
        cmocka_unit_test(papers_to_their_fields),
        cmocka_unit_test(ends),
        cmocka_unit_test(card),
        cmocka_unit_test(users_rows),
    };
    return cmocka_run_group_tests(tests, open_it, close_it);
}
