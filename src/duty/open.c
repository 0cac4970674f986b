/* open.c - reads the tables of the duty room into rows. */
#include <string.h>

#include "duty/cells.h"

static void read_method(const duty_cells *c, void *out)
{
    duty_method *m = out;
    *m = (duty_method){.head = duty_head_of(c),
                       .money = duty_text(c, "money"),
                       .value_cif = duty_yes(c, "value", "cif"),
                       .gift_cif = duty_yes(c, "gift_value", "cif"),
                       .base_cif = duty_yes(c, "base", "cif"),
                       .inside = duty_yes(c, "inside", "yes"),
                       .whole = duty_yes(c, "scope", "parcel"),
                       .uplift = duty_number(c, "uplift"),
                       .low_share = duty_number(c, "low_share"),
                       .duty_on = duty_rounding(c, "duty_on"),
                       .duty_to = duty_rounding(c, "duty_to"),
                       .tax_on = duty_rounding(c, "tax_on"),
                       .tax_to = duty_rounding(c, "tax_to")};
    const char *parts = duty_text(c, "tax_parts"), *blank = strchr(parts, ' ');
    if (!blank) return;
    if (!sv_dec_read(sv_copy_n(c->arena, parts, (size_t)(blank - parts)), &m->part)) return;
    if (!sv_dec_read(blank + 1, &m->rest)) m->part = SV_DEC_UNKNOWN;
}

static void read_rate(const duty_cells *c, void *out)
{
    static const char *const rules[] = {"plus", "least", "most", NULL};
    duty_rate *r = out;
    *r = (duty_rate){.head = duty_head_of(c),
                     .goods = duty_text(c, "goods"),
                     .origin = duty_text(c, "origin"),
                     .edition = duty_text(c, "edition"),
                     .low = duty_number(c, "low"),
                     .pct = duty_number(c, "pct"),
                     .high = duty_number(c, "high"),
                     .each = duty_number(c, "each"),
                     .unit = duty_text(c, "unit"),
                     .money = duty_text(c, "money")};
    r->rule = (unsigned)duty_word(c, "rule", rules);
}

static void read_relief(const duty_cells *c, void *out)
{
    static const char *const bases[] = {"goods", "cif", "tax", "item", NULL};
    static const char *const above[] = {"full", "excess", "articles", NULL};
    duty_relief *r = out;
    *r = (duty_relief){.head = duty_head_of(c),
                       .when = duty_case_of(c),
                       .duty = !duty_yes(c, "covers", "tax"),
                       .tax = !duty_yes(c, "covers", "duty"),
                       .limit = duty_number(c, "limit"),
                       .money = duty_text(c, "money"),
                       .charged_at = duty_yes(c, "at", "charged"),
                       .only = duty_text(c, "only"),
                       .except = duty_text(c, "not"),
                       .weight = duty_number(c, "weight")};
    r->basis = (unsigned)duty_word(c, "basis", bases);
    r->above = (unsigned)duty_word(c, "above", above);
}

static void read_regime(const duty_cells *c, void *out)
{
    static const char *const kinds[] = {"rate", "add", "items", "parcel", "bands", NULL};
    static const char *const ways[] = {"usual", "included", "none", NULL};
    duty_regime *r = out;
    *r = (duty_regime){.head = duty_head_of(c),
                       .when = duty_case_of(c),
                       .goods = duty_text(c, "goods"),
                       .over = duty_number(c, "over"),
                       .up_to = duty_number(c, "up_to"),
                       .money = duty_text(c, "money"),
                       .by_cif = duty_yes(c, "basis", "cif"),
                       .low = duty_number(c, "low"),
                       .pct = duty_number(c, "pct"),
                       .high = duty_number(c, "high"),
                       .amount = duty_number(c, "amount"),
                       .least = duty_number(c, "least"),
                       .per_kg = duty_number(c, "per_kg"),
                       .less = duty_number(c, "less"),
                       .bands = duty_text(c, "bands"),
                       .open = duty_yes(c, "open", "yes")};
    r->kind = (unsigned)duty_word(c, "kind", kinds);
    r->tax = (unsigned)duty_word(c, "tax", ways);
}

static void read_tax(const duty_cells *c, void *out)
{
    duty_tax *t = out;
    *t = (duty_tax){.head = duty_head_of(c),
                    .goods = duty_text(c, "goods"),
                    .wearer = duty_text(c, "wearer"),
                    .name = duty_text(c, "name"),
                    .low = duty_number(c, "low"),
                    .pct = duty_number(c, "pct"),
                    .high = duty_number(c, "high")};
}

static void read_fee(const duty_cells *c, void *out)
{
    static const char *const per[] = {"parcel", "items", "kg", "value", NULL};
    static const char *const payers[] = {"addressee", "operator", "unconfirmed", NULL};
    duty_fee *f = out;
    *f = (duty_fee){.head = duty_head_of(c),
                    .service = duty_text(c, "service"),
                    .over = duty_number(c, "over"),
                    .up_to = duty_number(c, "up_to"),
                    .limit_money = duty_text(c, "limit_money"),
                    .by_cif = duty_yes(c, "basis", "cif"),
                    .taxed = duty_yes(c, "when", "taxed"),
                    .in_base = duty_yes(c, "in_base", "yes"),
                    .amount = duty_number(c, "amount"),
                    .pct = duty_number(c, "pct"),
                    .money = duty_text(c, "money")};
    f->per = (unsigned)duty_word(c, "per", per);
    f->payer = (unsigned)duty_word(c, "payer", payers);
}

static void read_scheme(const duty_cells *c, void *out)
{
    static const char *const bases[] = {"goods", "cif", "item", NULL};
    duty_scheme *s = out;
    *s = (duty_scheme){.head = duty_head_of(c),
                       .name = duty_text(c, "name"),
                       .words = duty_text(c, "words"),
                       .limit = duty_number(c, "limit"),
                       .floor = duty_number(c, "floor"),
                       .money = duty_text(c, "money"),
                       .floor_money = duty_text(c, "floor_money"),
                       .required = duty_yes(c, "status", "required"),
                       .all = duty_yes(c, "collects", "all"),
                       .number = duty_text(c, "number"),
                       .where = duty_text(c, "where")};
    s->basis = (unsigned)duty_word(c, "basis", bases);
}

static void read_gate(const duty_cells *c, void *out)
{
    static const char *const kinds[] = {"value", "pieces", "weight", NULL};
    duty_gate *g = out;
    *g = (duty_gate){.head = duty_head_of(c),
                     .when = duty_case_of(c),
                     .goods = duty_text(c, "goods"),
                     .money = duty_text(c, "money"),
                     .remedy = duty_text(c, "remedy"),
                     .limit = duty_number(c, "limit"),
                     .by_cif = duty_yes(c, "basis", "cif")};
    g->kind = (unsigned)duty_word(c, "kind", kinds);
}

static void read_doubt(const duty_cells *c, void *out)
{
    duty_head *h = out;
    *h = duty_head_of(c);
    h->note = duty_text(c, "text");
}

static void read_collect(const duty_cells *c, void *out)
{
    duty_collect *k = out;
    *k = (duty_collect){.head = duty_head_of(c),
                        .service = duty_text(c, "service"),
                        .by = duty_text(c, "by"),
                        .incoterm = duty_text(c, "incoterm")};
}

static void read_fx(const duty_cells *c, void *out)
{
    duty_fx *f = out;
    *f = (duty_fx){.head = duty_head_of(c), .per_euro = duty_number(c, "per_euro")};
    f->head.place = duty_text(c, "money");
    f->head.from = duty_text(c, "day");
}

/* Reads a table row by row, in its own order or (sorted) in that of its key. */
static sv_status read_list(sv_world *world, const char *name, size_t size, bool sorted,
                           void (*read)(const duty_cells *, void *), void **rows, size_t *n, sv_error *err)
{
    const sv_table *t;
    sv_status s = sv_world_need(world, name, &t, err);
    if (s) return s;
    char *out = sv_alloc_array(world->arena, t->rows + 1, size);
    if (!out) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", name);
    for (size_t i = 0; i < t->rows; i++) {
        duty_cells c = {t, sorted ? t->by_key[i] : i, world->arena};
        read(&c, out + i * size);
    }
    *rows = out;
    *n = t->rows;
    return SV_OK;
}

#define READ(list, name, sorted, read)                                                                       \
    do {                                                                                                     \
        void *rows_ = NULL;                                                                                  \
        if (!s)                                                                                              \
            s = read_list(world, "duty/" name, sizeof *room->list.row, sorted, read, &rows_, &room->list.n,  \
                          err);                                                                              \
        room->list.row = rows_;                                                                              \
    } while (0)

sv_status sv_duty_open(sv_world *world, sv_error *err)
{
    sv_status s = SV_OK;
    if (!sv_world_table(world, "duty/methods")) s = sv_world_load(world, "duty/", err);
    if (s) return s;
    duty_room *room = SV_NEW(world->arena, duty_room);
    if (!room) return sv_fail(err, SV_NO_MEMORY, "duty: out of memory");
    READ(methods, "methods", false, read_method);
    READ(rates, "rates", true, read_rate);
    READ(reliefs, "reliefs", false, read_relief);
    READ(regimes, "regimes", false, read_regime);
    READ(taxes, "taxes", false, read_tax);
    READ(fees, "fees", false, read_fee);
    READ(schemes, "schemes", false, read_scheme);
    READ(gates, "gates", false, read_gate);
    READ(doubts, "doubts", false, read_doubt);
    READ(collects, "collect", false, read_collect);
    READ(fx, "fx", true, read_fx);
    if (!s) s = sv_world_need(world, "duty/alias", &room->alias, err);
    if (!s) s = sv_world_need(world, "duty/materials", &room->materials, err);
    if (!s) s = sv_world_need(world, "duty/words", &room->words, err);
    if (!s) world->room[SV_ROOM_DUTY] = room;
    return s;
}
