/* compile.c - lines, rules, second answers and what follows from what was said: rows to conditions and codes.
 */
#include <stdlib.h>
#include <string.h>

#include "tariff/tariff.h"

static sv_status no_memory(sv_error *err)
{
    return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the tariff");
}

static const char *cell(const sv_table *k, size_t row, const char *column)
{
    return sv_cell(k, row, sv_table_column(k, column));
}

/* ---- lines ---- */

static const struct {
    const char *word;
    sv_set groups;
} spec_words[] = {
    {"silk", 1u << SV_G_SILK},
    {"wool", 1u << SV_G_WOOL},
    {"cashmere", 1u << SV_G_CASHMERE},
    {"fine-hair", 1u << SV_G_FINE_HAIR},
    {"hair", 1u << SV_G_WOOL | 1u << SV_G_CASHMERE | 1u << SV_G_FINE_HAIR},
    {"cotton", 1u << SV_G_COTTON},
    {"vegetable", 1u << SV_G_VEGETABLE},
    {"synthetic", 1u << SV_G_SYNTHETIC},
    {"artificial", 1u << SV_G_ARTIFICIAL},
    {"man-made", 1u << SV_G_SYNTHETIC | 1u << SV_G_ARTIFICIAL},
};

static sv_set spec_groups(const char *word, size_t bytes)
{
    for (size_t i = 0; i < sizeof spec_words / sizeof *spec_words; i++) {
        if (strncmp(spec_words[i].word, word, bytes) == 0 && !spec_words[i].word[bytes])
            return spec_words[i].groups;
    }
    return 0;
}

static sv_status read_spec(const sv_tariff *t, const char *spec, const char *where, sv_line_part *out,
                           sv_error *err)
{
    for (int g = 0; g < SV_GROUPS; g++)
        out->code[g] = -1;
    for (const char *p = spec; *p;) {
        p += strspn(p, " ");
        size_t word = strcspn(p, " "), name = strcspn(p, "=");
        char code[8] = "";
        if (name >= word || word - name - 1 != 6)
            return sv_fail(err, SV_BAD_FORMAT, "tariff/lines: %s: \"%.*s\" is not group=code", where,
                           (int)word, p);
        memcpy(code, p + name + 1, 6);
        int at = sv_code_find(t, code);
        if (at < 0)
            return sv_fail(err, SV_BAD_FORMAT, "tariff/lines: %s: the code %s is not in tariff/codes", where,
                           code);
        bool rest = (name == 4 && strncmp(p, "rest", 4) == 0) || (name == 3 && strncmp(p, "all", 3) == 0);
        sv_set groups = rest ? SV_ALL_GROUPS : spec_groups(p, name);
        if (!groups)
            return sv_fail(err, SV_BAD_FORMAT, "tariff/lines: %s: there is no fibre group \"%.*s\"", where,
                           (int)name, p);
        for (int g = 0; g < SV_GROUPS; g++) {
            if (groups & 1u << g && out->code[g] < 0) out->code[g] = (int16_t)at;
        }
        p += word;
    }
    for (int g = 0; g < SV_GROUPS; g++)
        out->by_fibre |= out->code[g] != out->code[0];
    return SV_OK;
}

static int by_line(const void *a, const void *b)
{
    return strcmp(((const sv_tariff_line *)a)->name, ((const sv_tariff_line *)b)->name);
}

const sv_tariff_line *sv_line_find(const sv_tariff *t, const char *name)
{
    sv_tariff_line wanted = {.name = name};
    return bsearch(&wanted, t->line, t->lines, sizeof wanted, by_line);
}

sv_status sv_tariff_lines(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/lines", &k, err);
    if (s) return s;
    sv_line_part *part = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_line_part);
    t->line = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_tariff_line);
    if (!part || !t->line) return no_memory(err);
    for (size_t i = 0; i < k->rows; i++) {
        size_t r = k->by_key[i]; /* line, then part */
        const char *name = cell(k, r, "line");
        part[i] = (sv_line_part){.says = cell(k, r, "says"),
                                 .note = cell(k, r, "rule"),
                                 .from = cell(k, r, "from"),
                                 .to = cell(k, r, "to"),
                                 .source = cell(k, r, "source"),
                                 .as_of = cell(k, r, "as_of")};
        s = sv_when_read(t, world->arena, cell(k, r, "when"), name, &part[i].when, err);
        if (!s) s = read_spec(t, cell(k, r, "codes"), name, &part[i], err);
        if (s) return s;
        if (t->lines && strcmp(t->line[t->lines - 1].name, name) == 0) {
            t->line[t->lines - 1].parts++;
        } else {
            t->line[t->lines++] = (sv_tariff_line){name, &part[i], 1};
        }
    }
    qsort(t->line, t->lines, sizeof *t->line, by_line);
    return SV_OK;
}

/* ---- rules ---- */

static sv_status need_line(const sv_tariff *t, const char *table, const char *id, const char *name,
                           const sv_tariff_line **out, sv_error *err)
{
    *out = sv_line_find(t, name);
    return *out ? SV_OK : sv_fail(err, SV_BAD_FORMAT, "%s: %s: there is no line \"%s\"", table, id, name);
}

static int by_rank(const void *a, const void *b)
{
    const sv_rule *x = a, *y = b;
    return (x->rank > y->rank) - (x->rank < y->rank);
}

static sv_status read_rules(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/rules", &k, err);
    if (s) return s;
    t->rule = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_rule);
    if (!t->rule) return no_memory(err);
    for (size_t r = 0; !s && r < k->rows; r++) {
        sv_rule *u = &t->rule[t->rules++];
        *u = (sv_rule){.id = cell(k, r, "rule"),
                       .classes = cell(k, r, "classes"),
                       .says = cell(k, r, "says"),
                       .unless = cell(k, r, "unless"),
                       .from = cell(k, r, "from"),
                       .to = cell(k, r, "to"),
                       .note = cell(k, r, "note"),
                       .source = cell(k, r, "source"),
                       .as_of = cell(k, r, "as_of")};
        u->rank = strtoll(cell(k, r, "rank"), NULL, 10);
        s = sv_when_read(t, world->arena, cell(k, r, "when"), u->id, &u->when, err);
        if (!s) s = need_line(t, "tariff/rules", u->id, cell(k, r, "line"), &u->line, err);
    }
    if (!s) qsort(t->rule, t->rules, sizeof *t->rule, by_rank);
    return s;
}

static sv_status read_seconds(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/others", &k, err);
    if (s) return s;
    t->second = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_second);
    if (!t->second) return no_memory(err);
    for (size_t r = 0; !s && r < k->rows; r++) {
        sv_second *o = &t->second[t->seconds++];
        *o = (sv_second){.after = cell(k, r, "after"),
                         .classes = cell(k, r, "classes"),
                         .place = cell(k, r, "place"),
                         .says = cell(k, r, "says"),
                         .note = cell(k, r, "note"),
                         .source = cell(k, r, "source"),
                         .as_of = cell(k, r, "as_of")};
        const char *id = cell(k, r, "other");
        s = sv_when_read(t, world->arena, cell(k, r, "when"), id, &o->when, err);
        if (!s) s = need_line(t, "tariff/others", id, cell(k, r, "line"), &o->line, err);
    }
    return s;
}

static sv_status read_derived(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/derive", &k, err);
    if (s) return s;
    t->derived = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_derived);
    if (!t->derived) return no_memory(err);
    for (size_t r = 0; !s && r < k->rows; r++) {
        sv_derived *d = &t->derived[t->deriveds++];
        const char *id = cell(k, r, "derived");
        sv_when then;
        d->says = cell(k, r, "says");
        d->source = cell(k, r, "source");
        d->as_of = cell(k, r, "as_of");
        d->sure = strcmp(cell(k, r, "strength"), "sure") == 0;
        d->usual = strcmp(cell(k, r, "strength"), "weak") == 0;
        s = sv_when_read(t, world->arena, cell(k, r, "when"), id, &d->when, err);
        if (!s) s = sv_when_read(t, world->arena, cell(k, r, "then"), id, &then, err);
        if (!s && then.count != 1)
            s = sv_fail(err, SV_BAD_FORMAT, "tariff/derive: %s: one fact follows, not %zu", id, then.count);
        if (s) return s;
        d->fact = then.condition[0].fact;
        d->set = then.condition[0].allowed;
    }
    return s;
}

sv_status sv_tariff_rules(sv_tariff *t, sv_world *world, sv_error *err)
{
    sv_status s = read_rules(t, world, err);
    if (!s) s = read_seconds(t, world, err);
    if (!s) s = read_derived(t, world, err);
    return s;
}
