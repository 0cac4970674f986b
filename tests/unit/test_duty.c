/* test_duty.c - worked cases of customs authorities, rules at their limits and dates, and what must always
 * hold. */
#include "support.h"

#include <stdio.h>
#include <string.h>

#include "duty/duty.h"

static sv_world *world;

static int open_all(void **state)
{
    (void)state;
    world = open_world(SV_OPEN_ATLAS | SV_OPEN_DUTY);
    return 0;
}

static int close_all(void **state)
{
    (void)state;
    sv_world_close(world);
    return 0;
}

static sv_dec number(const char *text)
{
    sv_dec value = SV_DEC_UNKNOWN;
    if (*text) assert_true(sv_dec_read(text, &value));
    return value;
}

#define MOST 8
typedef struct parcel {
    sv_consignment c;
    sv_duty_line line[MOST];
} parcel;

static void read_row(sv_arena *arena, const sv_table *t, size_t row, parcel *p)
{
    sv_consignment *c = &p->c;
    if (c->lines == 0) {
        *c = (sv_consignment){.date = field(t, row, "date"),
                              .from = sv_duty_end(world, arena, field(t, row, "from")),
                              .to = sv_duty_end(world, arena, field(t, row, "destination")),
                              .situation = field(t, row, "situation"),
                              .service = field(t, row, "service"),
                              .scheme = field(t, row, "scheme"),
                              .sender_status = field(t, row, "sender_status"),
                              .currency = field(t, row, "currency"),
                              .freight = number(field(t, row, "freight")),
                              .insurance = number(field(t, row, "insurance")),
                              .fx_to_local = number(field(t, row, "fx_to_local"))};
    }
    assert_true(c->lines < MOST);
    sv_dec pieces = number(field(t, row, "quantity"));
    p->line[c->lines++] = (sv_duty_line){.hs6 = field(t, row, "hs6"),
                                         .made_in = field(t, row, "made_in"),
                                         .wearer = field(t, row, "gender"),
                                         .goods = number(field(t, row, "goods")),
                                         .net_weight_g = number(field(t, row, "net_weight_g")),
                                         .quantity = pieces.known ? sv_dec_to_int(pieces, SV_DOWN) : 1,
                                         .duty_rate_pct = number(field(t, row, "duty_rate_pct")),
                                         .vat_rate_pct = number(field(t, row, "vat_rate_pct"))};
}

static bool has_finding(const sv_findings *list, const char *code)
{
    for (const sv_finding *f = list->first; f; f = f->next) {
        if (strcmp(sv_code_word(f->code), code) == 0) return true;
    }
    return false;
}

static size_t wrong;

static void compare(const sv_table *t, size_t row, const char *column, const char *got)
{
    const char *wanted = field(t, row, column);
    if (!*wanted || strcmp(wanted, got) == 0) return;
    printf("%s: %s is %s, wanted %s (%s)\n", field(t, row, "id"), column, *got ? got : "unknown", wanted,
           field(t, row, "source"));
    wrong++;
}

static void compare_row(sv_arena *arena, const sv_table *t, size_t row, const sv_duty *d,
                        const sv_duty_part *p, const sv_findings *findings)
{
    const struct {
        const char *name;
        sv_dec value;
    } each[] = {{"customs_value", p->customs_value},
                {"duty", p->duty},
                {"vat_base", p->vat_base},
                {"vat", p->vat},
                {"fees", p->fees},
                {"total", p->total},
                {"low", p->low},
                {"high", p->high}};
    for (size_t i = 0; i < sizeof each / sizeof *each; i++)
        compare(t, row, each[i].name, sv_dec_text(arena, each[i].value));
    compare(t, row, "collected_by", d->collected_by);
    const char *code = field(t, row, "finding");
    if (!*code || has_finding(findings, code)) return;
    printf("%s: no finding %s\n", field(t, row, "id"), code);
    wrong++;
}

/* Rows with the same parcel stand together in these files. */
static void run_file(const char *name)
{
    sv_arena *arena = sv_arena_new();
    const sv_table *t = expected(arena, name);
    wrong = 0;
    for (size_t row = 0; row < t->rows;) {
        parcel p = {.c = {.lines = 0}};
        size_t first = row;
        do {
            read_row(arena, t, row++, &p);
        } while (row < t->rows && *field(t, first, "parcel") &&
                 strcmp(field(t, first, "parcel"), field(t, row, "parcel")) == 0);
        p.c.line = p.line;
        sv_duty d;
        sv_findings findings = sv_findings_in(arena);
        assert_int_equal(sv_duty_estimate(world, arena, &p.c, &d, &findings), SV_OK);
        for (size_t i = 0; i < p.c.lines; i++)
            compare_row(arena, t, first + i, &d, &d.line[i], &findings);
    }
    assert_int_equal(wrong, 0);
    sv_arena_free(arena);
}

static void worked_cases_come_out(void **state)
{
    (void)state;
    run_file("landed-cost");
}

static void rules_hold_at_their_limits_and_dates(void **state)
{
    (void)state;
    run_file("duty-rules");
}

/* ---- what must always hold ---- */

static uint32_t seed = 20261125;
static uint32_t dice(uint32_t sides)
{
    seed = seed * 1664525u + 1013904223u;
    return (seed >> 8) % sides;
}

static const char *const codes[] = {"610910", "611020", "620442", "620342",
                                    "640399", "420221", "611120", "650500"};
static const char *const days[] = {"2020-03-01", "2024-05-17", "2025-09-15",
                                   "2026-03-10", "2026-05-20", "2026-11-25"};

static sv_consignment a_parcel(sv_duty_line line[MOST], const sv_place *to)
{
    sv_consignment c = {.date = days[dice(6)],
                        .to = {.place = to},
                        .situation = dice(4) ? "sale" : "gift",
                        .service = dice(3) ? "parcel-post" : "courier",
                        .currency = to->currency,
                        .freight = SV_DEC((int64_t)dice(3000), 2),
                        .insurance = dice(2) ? SV_DEC((int64_t)dice(500), 2) : SV_DEC_UNKNOWN,
                        .fx_to_local = SV_DEC(1, 0),
                        .line = line,
                        .lines = 1 + dice(MOST - 1)};
    c.from.place = sv_place_by_code(world, dice(2) ? "US" : "JP");
    for (size_t i = 0; i < c.lines; i++)
        line[i] = (sv_duty_line){.hs6 = codes[dice(8)],
                                 .made_in = "CN",
                                 .goods = SV_DEC((int64_t)dice(40000) + 1, 2),
                                 .net_weight_g = SV_DEC((int64_t)dice(900) + 50, 0),
                                 .quantity = 1 + dice(3)};
    return c;
}

static sv_duty estimate(sv_arena *arena, const sv_consignment *c)
{
    sv_duty d;
    sv_findings findings = sv_findings_in(arena);
    assert_int_equal(sv_duty_estimate(world, arena, c, &d, &findings), SV_OK);
    return d;
}

static void equal_sum(const sv_consignment *c, const char *what, sv_dec whole, sv_dec sum)
{
    bool same_known = whole.known == sum.known;
    if (same_known && (!whole.known || sv_dec_cmp(whole, sum) == 0)) return;
    fail_msg("%s of %s on %s: lines do not sum to the parcel", what, c->to.place->code, c->date);
}

static void lines_sum_to_the_parcel(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    for (size_t i = 0; i < sv_place_count(world) * 6; i++) {
        sv_duty_line line[MOST];
        sv_consignment c = a_parcel(line, sv_place_at(world, i % sv_place_count(world)));
        sv_arena_reset(arena);
        sv_duty d = estimate(arena, &c);
        sv_dec duty = SV_DEC(0, 0), vat = duty, fees = duty, total = duty, value = duty, low = duty,
               high = duty;
        for (size_t k = 0; k < c.lines; k++) {
            duty = sv_dec_add(duty, d.line[k].duty);
            vat = sv_dec_add(vat, d.line[k].vat);
            fees = sv_dec_add(fees, d.line[k].fees);
            total = sv_dec_add(total, d.line[k].total);
            value = sv_dec_add(value, d.line[k].customs_value);
            low = sv_dec_add(low, d.line[k].low);
            high = sv_dec_add(high, d.line[k].high);
        }
        equal_sum(&c, "duty", d.whole.duty, duty);
        equal_sum(&c, "tax", d.whole.vat, vat);
        equal_sum(&c, "fees", d.whole.fees, fees);
        equal_sum(&c, "total", d.whole.total, total);
        equal_sum(&c, "value", d.whole.customs_value, value);
        equal_sum(&c, "low", d.low, low);
        equal_sum(&c, "high", d.high, high);
    }
    sv_arena_free(arena);
}

static void the_range_holds_the_figure(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    for (size_t i = 0; i < sv_place_count(world) * 6; i++) {
        sv_duty_line line[MOST];
        sv_consignment c = a_parcel(line, sv_place_at(world, i % sv_place_count(world)));
        sv_arena_reset(arena);
        sv_duty d = estimate(arena, &c);
        if (d.low.known && d.whole.total.known) assert_true(sv_dec_cmp(d.low, d.whole.total) <= 0);
        if (d.high.known && d.whole.total.known) assert_true(sv_dec_cmp(d.whole.total, d.high) <= 0);
        assert_true(d.known == d.whole.total.known);
        assert_true(*d.as_of && *d.source);
    }
    sv_arena_free(arena);
}

/* Dearer goods never bear less under one rule: charges at the lowest and the usual rise with each line's
 * price. A step into another rule (over a limit) may change the way of charging, so pairs in different rules
 * are left out. */
static void more_value_never_means_less_charged(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    size_t compared = 0;
    for (size_t i = 0; i < sv_place_count(world) * 8; i++) {
        sv_duty_line line[MOST];
        sv_consignment c = a_parcel(line, sv_place_at(world, i % sv_place_count(world)));
        sv_arena_reset(arena);
        sv_duty before = estimate(arena, &c);
        size_t k = dice((uint32_t)c.lines);
        line[k].goods = sv_dec_add(line[k].goods, SV_DEC((int64_t)dice(2000) + 1, 2));
        sv_duty after = estimate(arena, &c);
        if (!before.known || !after.known || strcmp(before.why, after.why) != 0) continue;
        compared++;
        if (sv_dec_cmp(after.whole.total, before.whole.total) < 0)
            fail_msg("%s on %s: dearer goods bear less (%s to %s): %s", c.to.place->code, c.date,
                     sv_dec_text(arena, before.whole.total), sv_dec_text(arena, after.whole.total),
                     after.why);
    }
    assert_true(compared > 200);
    sv_arena_free(arena);
}

/* Every relief with a limit in the destination's own money, at the limit, one minor unit under and one over:
 * what it covers is free within it, and beyond it the relief no longer speaks, or leaves only the excess to
 * be charged. */
static void reliefs_turn_at_their_limit(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    const duty_room *room = duty_room_of(world);
    size_t tried = 0;
    for (size_t i = 0; i < room->reliefs.n; i++) {
        const duty_relief *r = &room->reliefs.row[i];
        sv_end to = sv_duty_end(world, arena, strcmp(r->head.place, "EU") == 0 ? "DE" : r->head.place);
        bool own = to.place && strcmp(to.place->currency, r->money) == 0;
        bool plain = r->basis == BY_GOODS || r->basis == BY_CIF;
        if (!own || !plain || r->head.memory || !r->limit.known || strcmp(r->when.scheme, "any") != 0)
            continue;
        int exponent = sv_currency_exponent(world, r->money);
        for (int step = -1; step <= 1; step++) {
            sv_dec minor = SV_DEC(step, (uint8_t)exponent);
            sv_duty_line line = {.hs6 = "620442", .goods = sv_dec_add(r->limit, minor), .quantity = 1};
            sv_consignment c = {.date = *r->head.to ? r->head.to : "2026-05-20",
                                .to = to,
                                .situation = strcmp(r->when.situation, "any") ? r->when.situation : "sale",
                                .service = strcmp(r->when.service, "any") ? r->when.service : "post",
                                .sender_status = "private",
                                .currency = r->money,
                                .line = &line,
                                .lines = 1};
            char first[3] = "";
            memcpy(first, strcmp(r->when.posted, "any") ? r->when.posted : "ID", 2);
            c.from.place = sv_place_by_code(world, first);
            sv_duty d = estimate(arena, &c);
            bool within = step < 0 || (step == 0 && !r->charged_at);
            bool seller =
                strncmp(d.collected_by, "seller", 6) == 0; /* tax at the sale is not a border relief */
            if (within && r->duty) assert_true(d.whole.duty.known && d.whole.duty.units == 0);
            if (within && r->tax && !seller) assert_true(d.whole.vat.known && d.whole.vat.units == 0);
            if (!within && r->above == ABOVE_FULL) assert_null(strstr(d.why, r->head.note));
            if (!within && r->above == ABOVE_EXCESS) assert_true(d.whole.customs_value.units <= 1);
            tried++;
        }
    }
    assert_true(tried > 60);
    sv_arena_free(arena);
}

static void a_parcel_is_judged_by_the_rules_of_its_day(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    sv_duty_line line = {.hs6 = "620442", .goods = SV_DEC(9000, 2), .quantity = 1};
    sv_consignment c = {.from = sv_duty_end(world, arena, "GB"),
                        .to = sv_duty_end(world, arena, "DE"),
                        .currency = "EUR",
                        .line = &line,
                        .lines = 1};
    c.date = "2026-05-12";
    assert_int_equal(estimate(arena, &c).whole.duty.units, 0);
    c.date = "2026-07-12";
    assert_int_equal(estimate(arena, &c).whole.duty.units, 300);
    c.date = ""; /* today of the test world is 2026-11-25 */
    assert_int_equal(estimate(arena, &c).whole.duty.units, 300);
    sv_arena_free(arena);
}

static void memory_gives_no_figure(void **state)
{
    (void)state;
    sv_arena *arena = sv_arena_new();
    static const char *const places[] = {"PK", "LK", "NP", "KW", "QA", "OM", "JO", "EG", "TN", "DZ",
                                         "NG", "KE", "GH", "CR", "JM", "BB", "MD", "ME", "MK", "GG"};
    for (size_t i = 0; i < sizeof places / sizeof *places; i++) {
        sv_duty_line line = {.hs6 = "610910", .goods = SV_DEC(900000, 2), .quantity = 1};
        sv_consignment c = {.date = "2026-11-25",
                            .from = sv_duty_end(world, arena, "US"),
                            .to = sv_duty_end(world, arena, places[i]),
                            .line = &line,
                            .lines = 1};
        sv_findings findings = sv_findings_in(arena);
        sv_duty d;
        assert_int_equal(sv_duty_estimate(world, arena, &c, &d, &findings), SV_OK);
        assert_false(d.known);
        assert_false(d.whole.total.known || d.whole.duty.known);
        assert_true(has_finding(&findings, "duty-unknown") || has_finding(&findings, "duty-no-rule"));
    }
    sv_arena_free(arena);
}

static void old_data_speaks_up(void **state)
{
    (void)state;
    static const struct {
        const char *today;
        bool old;
    } cases[] = {{"2027-11-25", false}, {"2027-11-26", true}};
    for (size_t i = 0; i < 2; i++) {
        sv_arena *arena = sv_arena_new();
        sv_world_options options = {.today = cases[i].today, .rooms = SV_OPEN_ATLAS | SV_OPEN_DUTY};
        sv_error err;
        sv_world *later;
        assert_int_equal(sv_world_open(&options, &later, &err), SV_OK);
        sv_duty_line line = {.hs6 = "620442", .goods = SV_DEC(9000, 2)};
        sv_consignment c = {.to = sv_duty_end(later, arena, "DE"), .line = &line, .lines = 1};
        sv_findings findings = sv_findings_in(arena);
        sv_duty d;
        assert_int_equal(sv_duty_estimate(later, arena, &c, &d, &findings), SV_OK);
        assert_true(has_finding(&findings, "data-old") == cases[i].old);
        sv_arena_free(arena);
        sv_world_close(later);
    }
}

static void tables_name_known_places_and_money(void **state)
{
    (void)state;
    const duty_room *room = duty_room_of(world);
    for (size_t i = 0; i < room->reliefs.n; i++) {
        const duty_relief *r = &room->reliefs.row[i];
        bool known = strcmp(r->head.place, "EU") == 0 || strcmp(r->head.place, "XI") == 0 ||
                     sv_place_by_code(world, r->head.place);
        assert_true(known);
        if (*r->money) assert_true(sv_currency_exponent(world, r->money) >= 0);
        assert_true(!*r->head.from || !*r->head.to || strcmp(r->head.from, r->head.to) <= 0);
    }
    for (size_t i = 0; i < room->rates.n; i++) {
        const duty_rate *r = &room->rates.row[i];
        if (r->low.known && r->pct.known) assert_true(sv_dec_cmp(r->low, r->pct) <= 0);
        if (r->pct.known && r->high.known) assert_true(sv_dec_cmp(r->pct, r->high) <= 0);
        assert_true(!r->each.known || *r->unit);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(worked_cases_come_out),
        cmocka_unit_test(rules_hold_at_their_limits_and_dates),
        cmocka_unit_test(a_parcel_is_judged_by_the_rules_of_its_day),
        cmocka_unit_test(lines_sum_to_the_parcel),
        cmocka_unit_test(the_range_holds_the_figure),
        cmocka_unit_test(more_value_never_means_less_charged),
        cmocka_unit_test(reliefs_turn_at_their_limit),
        cmocka_unit_test(memory_gives_no_figure),
        cmocka_unit_test(old_data_speaks_up),
        cmocka_unit_test(tables_name_known_places_and_money),
    };
    return cmocka_run_group_tests(tests, open_all, close_all);
}
