/* open.c - compiles the tables of the tariff once, when the world opens. */
#include <stdlib.h>
#include <string.h>

#include "tariff/tariff.h"

static sv_status no_memory(sv_error *err)
{
    return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the tariff");
}

/* ---- facts ---- */

/* Phrases apart by ";" into phrase[1] on. */
static void read_phrases(sv_arena *arena, const char *text, sv_fact_meta *m)
{
    for (int v = 1; v <= m->values && v < 16; v++) {
        size_t n = strcspn(text, ";");
        m->phrase[v] = sv_copy_n(arena, text, n);
        text += n + (text[n] == ';');
    }
}

static sv_status read_supposed(sv_world *world, sv_tariff *t, sv_supposed *to, const char *unsaid,
                               const char *usual, const char *where, sv_error *err)
{
    sv_when a, b;
    sv_status s = sv_when_read(t, world->arena, unsaid, where, &a, err);
    if (!s) s = sv_when_read(t, world->arena, usual, where, &b, err);
    if (s) return s;
    for (size_t i = 0; i < a.count; i++)
        to->unsaid[a.condition[i].fact] = a.condition[i].allowed;
    for (size_t i = 0; i < b.count; i++)
        to->usual[b.condition[i].fact] = (uint8_t)sv_lowest(b.condition[i].allowed);
    return SV_OK;
}

sv_status sv_tariff_meta(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *f;
    sv_status s = sv_world_need(world, "lexicon/facts", &f, err);
    if (s) return s;
    int name = sv_table_column(f, "fact"), question = sv_table_column(f, "question"),
        phrases = sv_table_column(f, "phrases"), rare = sv_table_column(f, "rare");
    for (size_t r = 0; r < f->rows; r++) {
        const char *word = sv_cell(f, r, name);
        int fact = sv_fact_find(word, strlen(word));
        if (fact < 0) continue; /* a user's own row: the build knows no such fact */
        sv_fact_meta *m = &t->meta[fact];
        while (*sv_fact_value_word(fact, m->values + 1))
            m->values++;
        m->all = (sv_set)((1u << m->values) - 1);
        m->question = sv_cell(f, r, question);
        read_phrases(world->arena, sv_cell(f, r, phrases), m);
        for (int v = 1; v <= m->values; v++) {
            if (sv_listed(sv_cell(f, r, rare), sv_fact_value_word(fact, v))) m->rare |= sv_bit(v);
        }
    }
    sv_fact_meta *g = &t->meta[SV_GROUP];
    *g = (sv_fact_meta){.all = SV_ALL_GROUPS, .values = SV_GROUPS};
    g->question = "What does the label say of the outer fabric, in per cent: of which fibre is most?";
    read_phrases(
        world->arena,
        "mostly silk;mostly wool;mostly cashmere;mostly other fine hair;mostly coarse hair;mostly cotton;"
        "mostly linen or other vegetable fibre;mostly synthetic (polyester, nylon, acrylic);"
        "mostly artificial (viscose, modal, lyocell);another textile",
        g);
    return SV_OK;
}

/* What holds of every article before its class says otherwise. */
static sv_status suppose_all(sv_tariff *t, sv_world *world, sv_supposed *base, sv_error *err)
{
    const sv_table *f = sv_world_table(world, "lexicon/facts");
    int name = sv_table_column(f, "fact"), unsaid = sv_table_column(f, "unsaid"),
        usual = sv_table_column(f, "default");
    for (int i = 0; i < SV_KNOWABLE; i++)
        base->unsaid[i] = t->meta[i].all;
    for (size_t r = 0; r < f->rows; r++) {
        const char *fact = sv_cell(f, r, name), *u = sv_cell(f, r, unsaid), *d = sv_cell(f, r, usual);
        char list[200];
        size_t n = 0;
        for (const char *p = u; *p && n + 1 < sizeof list; p++)
            list[n++] = *p == ' ' ? ',' : *p; /* the table of facts keeps its lists apart by blanks */
        list[n] = 0;
        const char *a = *u ? sv_format(world->arena, "%s=%s", fact, list) : "";
        const char *b = *d ? sv_format(world->arena, "%s=%s", fact, d) : "";
        sv_status s = read_supposed(world, t, base, a, b, "lexicon/facts", err);
        if (s) return s;
    }
    return SV_OK;
}

/* ---- classes and articles ---- */

static int by_name(const void *a, const void *b)
{
    return strcmp(((const sv_class *)a)->name, ((const sv_class *)b)->name);
}

/* Calls `add` for every class that a list of names of classes and groups means. */
static void each_class(sv_tariff *t, const char *list, void (*add)(sv_class *, const void *), const void *row)
{
    for (const char *p = list; *p;) {
        p += strspn(p, " ");
        size_t n = strcspn(p, " ");
        char word[64];
        if (n && n < sizeof word) {
            memcpy(word, p, n);
            word[n] = 0;
            sv_class wanted = {.name = word};
            sv_class *one = bsearch(&wanted, t->class, t->classes, sizeof wanted, by_name);
            if (one) add(one, row);
            for (size_t i = 0; !one && i < t->classes; i++) {
                if (sv_listed(t->class[i].groups, word)) add(&t->class[i], row);
            }
        }
        p += n;
    }
}

static void add_rule(sv_class *c, const void *row)
{
    if (!c->rules || c->rule[c->rules - 1] != row) c->rule[c->rules++] = row; /* once, though named twice */
}

static void add_second(sv_class *c, const void *row)
{
    if (!c->seconds || c->second[c->seconds - 1] != row) c->second[c->seconds++] = row;
}

static sv_status fill_classes(sv_tariff *t, sv_world *world, sv_error *err)
{
    for (size_t i = 0; i < t->classes; i++) {
        sv_class *c = &t->class[i];
        c->rule = (const sv_rule **)sv_alloc_array(world->arena, t->rules + 1, sizeof(sv_rule *));
        c->second = (const sv_second **)sv_alloc_array(world->arena, t->seconds + 1, sizeof(sv_second *));
        if (!c->rule || !c->second) return no_memory(err);
    }
    for (size_t i = 0; i < t->rules; i++)
        each_class(t, t->rule[i].classes, add_rule, &t->rule[i]);
    for (size_t i = 0; i < t->seconds; i++) {
        if (*t->second[i].classes) {
            each_class(t, t->second[i].classes, add_second, &t->second[i]);
            continue;
        }
        for (size_t c = 0; c < t->classes; c++)
            add_second(&t->class[c], &t -> second[i]);
    }
    return SV_OK;
}

static sv_status read_classes(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/classes", &k, err);
    sv_supposed *base = SV_NEW(world->arena, sv_supposed);
    if (!s && !base) s = no_memory(err);
    if (!s) s = suppose_all(t, world, base, err);
    if (s) return s;
    t->class = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_class);
    if (!t->class) return no_memory(err);
    for (size_t r = 0; !s && r < k->rows; r++) {
        sv_class *c = &t->class[t->classes++];
        c->name = sv_cell(k, k->by_key[r], sv_table_column(k, "class"));
        c->groups = sv_cell(k, k->by_key[r], sv_table_column(k, "groups"));
        c->supposed = *base;
        s = read_supposed(world, t, &c->supposed, sv_cell(k, k->by_key[r], sv_table_column(k, "unsaid")),
                          sv_cell(k, k->by_key[r], sv_table_column(k, "default")), c->name, err);
    }
    if (s) return s;
    qsort(t->class, t->classes, sizeof *t->class, by_name);
    return fill_classes(t, world, err);
}

static const sv_class *class_find(const sv_tariff *t, const char *name)
{
    sv_class wanted = {.name = name};
    return bsearch(&wanted, t->class, t->classes, sizeof wanted, by_name);
}

static int by_key(const void *a, const void *b)
{
    return strcmp(((const sv_known_article *)a)->key, ((const sv_known_article *)b)->key);
}

static const sv_known_article *article_find(const sv_tariff *t, const char *key)
{
    sv_known_article wanted = {.key = key};
    return bsearch(&wanted, t->article, t->articles, sizeof wanted, by_key);
}

/* Leaves out "fibre=", which is no fact: the reader of labels takes it. */
static const char *facts_only(sv_arena *arena, const char *list)
{
    const char *at = strstr(list, "fibre=");
    if (!at) return list;
    size_t n = strcspn(at, " ");
    return sv_format(arena, "%.*s%s", (int)(at - list), list, at + n);
}

/* For each row of the lexicon: the article here, or the wider one's, with what its word means taken as said
 * unless someone says otherwise. */
static sv_status link_lexicon(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *g;
    sv_status s = sv_world_need(world, "lexicon/garments", &g, err);
    size_t n = s ? 0 : sv_article_count(world);
    int means = s ? -1 : sv_table_column(g, "means");
    t->by_row = (const sv_known_article **)sv_alloc_array(world->arena, n + 1, sizeof(sv_known_article *));
    if (!t->by_row) return no_memory(err);
    for (size_t i = 0; !s && i < n; i++) {
        sv_article_row a = sv_article_at(world, (int)i);
        const sv_known_article *found = article_find(t, a.key);
        for (int row = a.wider, depth = 0; row >= 0 && depth < 8 && !found; depth++) {
            sv_article_row wider = sv_article_at(world, row);
            found = article_find(t, wider.key);
            row = wider.wider;
        }
        size_t row = sv_table_find(g, a.key);
        const char *list = row == SV_NO_ROW ? "" : facts_only(world->arena, sv_cell(g, row, means));
        if (found && *list) {
            sv_known_article *own = SV_NEW(world->arena, sv_known_article);
            if (!own) return no_memory(err);
            *own = *found;
            s = read_supposed(world, t, &own->supposed, list, "", a.key, err);
            found = own;
        }
        t->by_row[i] = found;
    }
    return s;
}

sv_status sv_tariff_articles(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = read_classes(t, world, err);
    if (!s) s = sv_world_need(world, "tariff/articles", &k, err);
    if (s) return s;
    t->article = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_known_article);
    if (!t->article) return no_memory(err);
    for (size_t r = 0; !s && r < k->rows; r++) {
        sv_known_article *a = &t->article[t->articles++];
        a->key = sv_cell(k, r, sv_table_column(k, "article"));
        a->class = class_find(t, sv_cell(k, r, sv_table_column(k, "class")));
        if (!a->class)
            return sv_fail(err, SV_BAD_FORMAT, "tariff/articles: %s: there is no class \"%s\"", a->key,
                           sv_cell(k, r, sv_table_column(k, "class")));
        a->supposed = a->class->supposed;
        s = read_supposed(world, t, &a->supposed, sv_cell(k, r, sv_table_column(k, "unsaid")),
                          sv_cell(k, r, sv_table_column(k, "default")), a->key, err);
    }
    if (s) return s;
    qsort(t->article, t->articles, sizeof *t->article, by_key);
    return link_lexicon(t, world, err);
}

sv_status sv_tariff_open(sv_world *world, sv_error *err)
{
    sv_status s = sv_world_load(world, "lexicon/", err);
    if (!s) s = sv_world_load(world, "tariff/", err);
    if (s) return s;
    sv_tariff *t = SV_NEW(world->arena, sv_tariff);
    if (!t) return no_memory(err);
    s = sv_tariff_meta(t, world, err);
    if (!s) s = sv_tariff_codes(t, world, err);
    if (!s) s = sv_tariff_lines(t, world, err);
    if (!s) s = sv_tariff_rules(t, world, err);
    if (!s) s = sv_tariff_articles(t, world, err);
    if (s) return s;
    world->room[SV_ROOM_TARIFF] = t;
    return SV_OK;
}
