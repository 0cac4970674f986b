/* codes.c - the list of codes with its dates: what an edition holds, what became of what left it; the digits
 * that places ask for. */
#include <stdlib.h>
#include <string.h>

#include "tariff/tariff.h"

static int by_code(const void *a, const void *b)
{
    return strcmp(((const sv_tariff_code *)a)->code, ((const sv_tariff_code *)b)->code);
}

int sv_code_find(const sv_tariff *t, const char *code)
{
    sv_tariff_code wanted = {.code = code};
    sv_tariff_code *found = bsearch(&wanted, t->code, t->codes, sizeof wanted, by_code);
    return found ? (int)(found - t->code) : -1;
}

bool sv_in_force(const char *from, const char *to, const char *date)
{
    if (!*date) return !*to;
    if (*to && strcmp(date, to) > 0) return false;
    return !*from || strcmp(date, from) >= 0;
}

static sv_status read_editions(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/editions", &k, err);
    if (s) return s;
    t->edition = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_edition);
    if (!t->edition) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the tariff");
    for (size_t r = 0; r < k->rows; r++)
        t->edition[t->editions++] =
            (sv_edition){sv_cell(k, r, sv_table_column(k, "edition")),
                         sv_cell(k, r, sv_table_column(k, "from")), sv_cell(k, r, sv_table_column(k, "to"))};
    return SV_OK;
}

static sv_status read_digits(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/digits", &k, err);
    if (s) return s;
    t->digits = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_digits);
    if (!t->digits) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the tariff");
    for (size_t r = 0; r < k->rows; r++) {
        sv_digits *d = &t->digits[t->digit_rows++];
        d->place = sv_cell(k, r, sv_table_column(k, "place"));
        d->covers = sv_cell(k, r, sv_table_column(k, "covers"));
        d->says = sv_cell(k, r, sv_table_column(k, "says"));
        d->look = sv_cell(k, r, sv_table_column(k, "look"));
        d->source = sv_cell(k, r, sv_table_column(k, "source"));
        d->as_of = sv_cell(k, r, sv_table_column(k, "as_of"));
        d->digits = strtoll(sv_cell(k, r, sv_table_column(k, "digits")), NULL, 10);
    }
    return SV_OK;
}

static const struct {
    const char *group;
    sv_set bits;
} kind_groups[] = {
    {"silk", 1u << SV_G_SILK},
    {"wool", 1u << SV_G_WOOL},
    {"cashmere", 1u << SV_G_CASHMERE},
    {"fine-hair", 1u << SV_G_FINE_HAIR},
    {"coarse-hair", 1u << SV_G_COARSE_HAIR},
    {"cotton", 1u << SV_G_COTTON},
    {"vegetable", 1u << SV_G_VEGETABLE},
    {"synthetic", 1u << SV_G_SYNTHETIC},
    {"artificial", 1u << SV_G_ARTIFICIAL},
    {"man-made", 1u << SV_G_SYNTHETIC | 1u << SV_G_ARTIFICIAL},
    {"metallised", 1u << SV_G_OTHER},
    {"glass", 1u << SV_G_OTHER},
    {"imitation-fur", 1u << SV_G_SYNTHETIC},
    {"unknown", SV_ALL_GROUPS},
    {"textile", SV_ALL_GROUPS},
};

/* Materials that are no textile: what the piece is made of when they are its outer part. */
static const char *const solid[] = {"leather", "fur", "rubber", "plastic", "straw", "metal"};

static void read_kind(const sv_table *k, size_t r, sv_fibre_kind *f)
{
    const char *group = sv_cell(k, r, sv_table_column(k, "group"));
    f->key = sv_cell(k, r, sv_table_column(k, "key"));
    f->chapter = (uint8_t)strtol(sv_cell(k, r, sv_table_column(k, "chapter")), NULL, 10);
    f->made_of = "";
    for (size_t i = 0; i < sizeof kind_groups / sizeof *kind_groups; i++) {
        if (strcmp(kind_groups[i].group, group) == 0) f->groups = kind_groups[i].bits;
    }
    if (strcmp(group, "imitation-fur") == 0) f->chapter = 54;
    if (!f->groups) f->chapter = 0;
    for (size_t i = 0; i < sizeof solid / sizeof *solid; i++) {
        if (strcmp(solid[i], group) == 0) f->made_of = solid[i];
    }
}

static int by_fibre(const void *a, const void *b)
{
    return strcmp(((const sv_fibre_kind *)a)->key, ((const sv_fibre_kind *)b)->key);
}

static sv_status read_fibres(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "lexicon/fibres", &k, err);
    if (s) return s;
    t->fibre = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_fibre_kind);
    if (!t->fibre) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the tariff");
    for (size_t r = 0; r < k->rows; r++)
        read_kind(k, r, &t->fibre[t->fibres++]);
    qsort(t->fibre, t->fibres, sizeof *t->fibre, by_fibre);
    return SV_OK;
}

sv_status sv_tariff_codes(sv_tariff *t, sv_world *world, sv_error *err)
{
    const sv_table *k;
    sv_status s = sv_world_need(world, "tariff/codes", &k, err);
    if (s) return s;
    t->code = SV_NEW_ARRAY(world->arena, k->rows + 1, sv_tariff_code);
    if (!t->code) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening the tariff");
    for (size_t r = 0; r < k->rows; r++) {
        sv_tariff_code *c = &t->code[t->codes++];
        c->code = sv_cell(k, r, sv_table_column(k, "code"));
        c->from = sv_cell(k, r, sv_table_column(k, "from"));
        c->to = sv_cell(k, r, sv_table_column(k, "to"));
        c->title = sv_cell(k, r, sv_table_column(k, "title"));
        c->now = sv_cell(k, r, sv_table_column(k, "now"));
        c->source = sv_cell(k, r, sv_table_column(k, "source"));
        c->as_of = sv_cell(k, r, sv_table_column(k, "as_of"));
    }
    qsort(t->code, t->codes, sizeof *t->code, by_code);
    s = read_digits(t, world, err);
    if (!s) s = read_editions(t, world, err);
    return s ? s : read_fibres(t, world, err);
}

const char *sv_hs_title(const sv_world *world, const char *code, const char *date)
{
    const sv_tariff *t = sv_tariff_of(world);
    char six[7] = "";
    if (!t || !code || strlen(code) < 6) return NULL;
    memcpy(six, code, 6);
    int at = sv_code_find(t, six);
    if (at < 0 || !sv_in_force(t->code[at].from, t->code[at].to, date ? date : "")) return NULL;
    return t->code[at].title;
}

/* The row of a destination: its own, or that of the union whose tariff it uses. */
static const sv_digits *digits_of(const sv_tariff *t, const char *destination)
{
    char place[3] = "";
    if (strlen(destination) < 2) return NULL;
    memcpy(place, destination, 2); /* US of US-CA */
    for (size_t i = 0; i < t->digit_rows; i++) {
        if (strcmp(t->digits[i].place, place) == 0 || sv_listed(t->digits[i].covers, place))
            return &t->digits[i];
    }
    return NULL;
}

bool sv_place_holds(const sv_tariff *t, const char *places, const char *destination)
{
    if (!*destination || strcmp(destination, "any") == 0) return false;
    const sv_digits *d = digits_of(t, destination);
    return d && sv_listed(places, d->place);
}

/* ---- the code that the seller already has ---- */

/* Digits alone, blanks and dots taken off; false when anything else stands there or they are not 6 to 12. */
static bool only_digits(const char *stated, char out[16])
{
    size_t n = 0;
    for (const char *p = stated; *p; p++) {
        if (*p == '.' || *p == ' ') continue;
        if (*p < '0' || *p > '9' || n == 12) return false;
        out[n++] = *p;
    }
    out[n] = 0;
    return n >= 6;
}

static void judge_left(const sv_tariff_code *old, const char *digits, sv_findings *findings)
{
    if (!*old->to) { /* in force only later */
        sv_find(findings, SV_F_CODE_EARLY, "code", SV_ARGS(digits, old->from));
        return;
    }
    sv_finding *f = sv_find(findings, SV_F_CODE_LEFT, "code", SV_ARGS(digits, old->to, old->now));
    sv_finding_source(f, old->source, old->as_of);
}

static void judge_digits(const sv_tariff *t, sv_arena *arena, const char *digits, const char *destination,
                         sv_findings *findings)
{
    const sv_digits *d = digits_of(t, destination);
    if (!d || d->digits <= 6) return;
    size_t n = strlen(digits);
    sv_finding *f =
        n > 6 ? sv_find(findings, SV_F_CODE_WHOLE, "code", SV_ARGS(digits, d->place, d->says, d->look))
              : sv_find(findings, SV_F_CODE_LONGER, "code",
                        SV_ARGS(sv_format(arena, "%s", d->place), d->says, d->look));
    sv_finding_source(f, d->source, d->as_of);
}

void sv_judge_stated(const sv_tariff *t, sv_arena *arena, const char *stated, const char *destination,
                     const char *date, const sv_heading *ours, sv_findings *findings)
{
    char digits[16], six[7] = "";
    if (!*stated) {
        judge_digits(t, arena, ours->hs6, destination, findings);
        return;
    }
    if (!only_digits(stated, digits)) {
        sv_find(findings, SV_F_CODE_FORM, "code", SV_ARGS(stated));
        return;
    }
    memcpy(six, digits, 6);
    int at = sv_code_find(t, six);
    if (at >= 0 && !sv_in_force(t->code[at].from, t->code[at].to, date)) {
        judge_left(&t->code[at], digits, findings);
        return;
    }
    sv_finding *f = NULL;
    if (!*ours->hs6) {
        f = sv_find(findings, SV_F_CODE_UNCHECKED, "code", SV_ARGS(digits));
    } else if (strcmp(six, ours->hs6) == 0) {
        f = sv_find(findings, SV_F_CODE_AGREES, "code", SV_ARGS(digits, sv_certainty_word(ours->certainty)));
    } else if (at < 0) {
        f = sv_find(findings, SV_F_CODE_UNKNOWN, "code", SV_ARGS(digits, ours->hs6));
    } else {
        f = sv_find(findings, SV_F_CODE_DIFFERS, "code",
                    SV_ARGS(digits, t->code[at].title, ours->hs6, ours->why));
    }
    sv_finding_source(f, ours->source, ours->as_of);
    judge_digits(t, arena, digits, destination, findings);
}
