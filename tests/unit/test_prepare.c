/* test_prepare.c - a parcel through all judges: sums, forms, stops, reasons that set stops aside. */
#include "support.h"

#include <stdlib.h>
#include <string.h>

#include "base/node.h"
#include "parcel/judges.h"

static sv_world *world;
static sv_press *press;
static sv_arena *arena;

static int setup(void **state)
{
    (void)state;
    world = open_world(0);
    press = sv_press_new(world);
    arena = sv_arena_new();
    return press && arena ? 0 : -1;
}

static int teardown(void **state)
{
    (void)state;
    sv_press_free(press);
    sv_arena_free(arena);
    sv_world_close(world);
    return 0;
}

typedef void (*seen)(const sv_dossier *d, void *with);

/* Prepares every parcel of a file and shows it. */
static size_t each_parcel(const char *path, const sv_prepare_options *options, seen show, void *with)
{
    sv_error err = {SV_OK, ""};
    sv_parcels *parcels = NULL;
    sv_reading how = {.profiles = "data/demo/profiles"};
    if (sv_parcels_open(world, path, &how, &parcels, &err) != SV_OK) fail_msg("%s", err.text);
    size_t n = 0;
    for (;; n++) {
        const sv_parcel *parcel;
        sv_dossier *d;
        if (sv_parcels_next(parcels, arena, &parcel, &err) != SV_OK) fail_msg("%s", err.text);
        if (!parcel) break;
        if (sv_prepare(world, press, arena, parcel, options, &d, &err) != SV_OK) fail_msg("%s", err.text);
        show(d, with);
    }
    sv_parcels_close(parcels);
    return n;
}

static void form_and_stop(const sv_dossier *d, void *with)
{
    const sv_table *t = with;
    size_t row = sv_table_find(t, d->reference);
    if (row == SV_NO_ROW) fail_msg("%s is not among the expected", d->reference);
    same(d->reference, "form", field(t, row, "form"), d->form.form);
    same(d->reference, "stopped", field(t, row, "stopped"), d->stopped ? "yes" : "no");
}

static void the_demo_gets_its_forms(void **state)
{
    (void)state;
    const sv_table *t = expected(arena, "demo");
    assert_int_equal(each_parcel("data/demo/orders.csv", NULL, form_and_stop, (void *)(uintptr_t)t), t->rows);
    assert_int_equal(each_parcel("data/demo/parcels.xml", NULL, form_and_stop, (void *)(uintptr_t)t),
                     t->rows);
}

static void sums_hold(const sv_dossier *d, void *with)
{
    (void)with;
    int64_t value = 0, paid = 0, net = 0, price = 0;
    for (size_t i = 0; i < d->lines; i++) {
        const sv_line *line = &d->line[i];
        value += line->value;
        paid += line->paid;
        net += line->net_g;
        if (!line->piece->free) price += line->unit_paid * line->quantity;
        if (line->piece->free) assert_int_equal(line->paid, 0);
        assert_true(line->value >= line->paid);
    }
    assert_int_equal(value, d->goods_value);
    assert_int_equal(paid, d->goods_paid);
    assert_int_equal(paid, price - (d->discount > 0 ? d->discount : 0));
    assert_int_equal(net, d->net_g);
    assert_true(net < d->gross_g);
    assert_string_equal(sv_text_at(d->tree, "totals.goods_value"),
                        sv_amount_text(d->arena, value, d->exponent));
}

static void the_lines_sum_to_what_was_paid(void **state)
{
    (void)state;
    assert_int_equal(each_parcel("data/demo/orders.csv", NULL, sums_hold, NULL), 5);
}

static void still_stopped(const sv_dossier *d, void *with)
{
    bool stopped = strcmp(d->reference, "demo-5-stopped") == 0;
    assert_int_equal(d->stopped, stopped); /* no reason lifts what no mail may carry */
    if (!with) assert_string_equal(sv_text_at(d->tree, "override"), "the buyer insists");
}

static void no_reason_lifts_what_no_mail_may_carry(void **state)
{
    (void)state;
    sv_prepare_options options = {.override_reason = "the buyer insists"};
    each_parcel("data/demo/orders.csv", &options, still_stopped, NULL);
}

/* Shares sum to the whole, none is off by more than the number of parts, and none is negative (seeded). */
static void a_spread_loses_nothing(void **state)
{
    (void)state;
    uint64_t seed = 20261125;
    for (int round = 0; round < 20000; round++) {
        int64_t weight[8], share[8], sum = 0, whole = 0;
        seed = seed * 6364136223846793005u + 1442695040888963407u;
        size_t n = 1 + (seed >> 33) % 8;
        for (size_t i = 0; i < n; i++) {
            seed = seed * 6364136223846793005u + 1442695040888963407u;
            weight[i] = (int64_t)((seed >> 33) % 100000);
            whole += weight[i];
        }
        int64_t total = whole ? (int64_t)((seed >> 20) % (uint64_t)(whole + 1)) : 0;
        sv_spread(total, weight, share, n);
        for (size_t i = 0; i < n; i++) {
            sum += share[i];
            assert_true(share[i] >= 0 && share[i] <= weight[i] + (int64_t)n);
        }
        assert_int_equal(sum, total);
    }
    int64_t equal[] = {3333, 3333, 3334}, share[3];
    sv_spread(1000, equal, share, 3);
    assert_int_equal(share[0], 333);
    assert_int_equal(share[2], 334);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_demo_gets_its_forms),
        cmocka_unit_test(the_lines_sum_to_what_was_paid),
        cmocka_unit_test(no_reason_lifts_what_no_mail_may_carry),
        cmocka_unit_test(a_spread_loses_nothing),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
