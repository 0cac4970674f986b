/* weigh.c - which textile a garment is "of": Section XI note 2 and subheading note 2, with the sums in words.
 *
 * Only the part that gives the garment its character is weighed (subheading note 2(A)): the shell, else the
 * front. Percentages are weights; what they add up to does not matter.
 */
#include <stdlib.h>
#include <string.h>

#include "tariff/tariff.h"

#define CLOSE_POINTS 4
#define MOST_FIBRES  16

static const struct {
    int chapter;
    const char *name;
} chapters[] = {{50, "silk"},
                {51, "wool and hair"},
                {52, "cotton"},
                {53, "linen and other vegetable fibre"},
                {54, "man-made fibres"},
                {56, "metallised yarn"}};

static const char *chapter_name(int chapter)
{
    for (size_t i = 0; i < sizeof chapters / sizeof *chapters; i++) {
        if (chapters[i].chapter == chapter) return chapters[i].name;
    }
    return "other textiles";
}

/* ---- the note itself ---- */

size_t sv_note_2a_heaviest_or_last(const sv_sum *sum, size_t count, bool *tie)
{
    size_t best = 0;
    *tie = false;
    for (size_t i = 1; i < count; i++) {
        int order = sv_dec_cmp(sum[i].weight, sum[best].weight);
        if (order == 0) *tie = true;
        if (order > 0) *tie = false;
        if (order > 0 || (order == 0 && sum[i].chapter > sum[best].chapter)) best = i;
    }
    return best;
}

size_t sv_note_2b_by_chapter(const sv_sum *fibre, size_t count, sv_sum out[SV_SUMS_MAX])
{
    size_t n = 0;
    for (size_t i = 0; i < count; i++) {
        int chapter = fibre[i].chapter == 55 ? 54 : fibre[i].chapter; /* (B)(c): 54 and 55 are one chapter */
        size_t at = 0;
        while (at < n && out[at].chapter != chapter)
            at++;
        if (at == n) {
            if (n == SV_SUMS_MAX) continue;
            out[n++] = (sv_sum){chapter, SV_DEC(0, 0)};
        }
        out[at].weight = sv_dec_add(out[at].weight, fibre[i].weight);
    }
    return n;
}

/* ---- what the label gave ---- */

typedef struct counted {
    const sv_fibre_kind *kind;
    sv_dec weight;
} counted;

static int by_fibre(const void *a, const void *b)
{
    return strcmp(((const sv_fibre_kind *)a)->key, ((const sv_fibre_kind *)b)->key);
}

static const sv_fibre_kind *kind_of(const sv_tariff *t, const char *key)
{
    sv_fibre_kind wanted = {.key = key};
    return bsearch(&wanted, t->fibre, t->fibres, sizeof wanted, by_fibre);
}

/* The part that gives the character: shell, else front, else the first that is more than a lining or trim. */
static const sv_fibre_part *main_part(const sv_facts *facts)
{
    static const char *const wanted[] = {"shell", "front", "other", "back", "sleeves"};
    for (size_t w = 0; w < sizeof wanted / sizeof *wanted; w++) {
        for (size_t i = 0; i < facts->parts; i++) {
            if (strcmp(facts->part[i].part, wanted[w]) == 0 && facts->part[i].count) return &facts->part[i];
        }
    }
    return NULL;
}

static bool all_weighed(const sv_fibre_part *part)
{
    for (size_t i = 0; i < part->count; i++) {
        if (!part->fibre[i].percent.known) return false;
    }
    return part->count > 0;
}

/* Elastic yarn that stands without a percentage is a small addition, never the chief weight. */
static bool minor(const char *key)
{
    return strncmp(key, "elast", 5) == 0;
}

/* ---- within a chapter ---- */

static sv_dec group_weight(const counted *c, size_t n, sv_set group)
{
    sv_dec sum = SV_DEC(0, 0);
    for (size_t i = 0; i < n; i++) {
        if (c[i].kind->groups == group) sum = sv_dec_add(sum, c[i].weight);
    }
    return sum;
}

/* The heaviest of groups first..last, the last of equal ones; *sum is the weight of all. */
static int heaviest_group(const counted *c, size_t n, int first, int last, sv_dec *sum)
{
    int best = -1;
    sv_dec most = SV_DEC(0, 0);
    *sum = SV_DEC(0, 0);
    for (int g = first; g <= last; g++) {
        sv_dec w = group_weight(c, n, (sv_set)(1u << g));
        *sum = sv_dec_add(*sum, w);
        if (w.units > 0 && sv_dec_cmp(w, most) >= 0) {
            best = g;
            most = w;
        }
    }
    return best;
}

/* The group inside a chapter; more than one bit where a name on the label leaves it open. */
static sv_set group_in(const counted *c, size_t n, int chapter)
{
    sv_dec sum, other;
    if (chapter == 50) return 1u << SV_G_SILK;
    if (chapter == 52) return 1u << SV_G_COTTON;
    if (chapter == 53) return 1u << SV_G_VEGETABLE;
    if (chapter ==
        51) { /* (B)(d): wool and fine hair are named together, so they add up against coarse hair */
        int fine = heaviest_group(c, n, SV_G_WOOL, SV_G_FINE_HAIR, &sum);
        int coarse = heaviest_group(c, n, SV_G_COARSE_HAIR, SV_G_COARSE_HAIR, &other);
        return (sv_set)(1u << (fine < 0 || (coarse >= 0 && sv_dec_cmp(other, sum) >= 0) ? SV_G_COARSE_HAIR
                                                                                        : fine));
    }
    if (chapter != 54) return (sv_set)(1u << SV_G_OTHER);
    int g = heaviest_group(c, n, SV_G_SYNTHETIC, SV_G_ARTIFICIAL, &sum);
    sv_set open = 1u << SV_G_SYNTHETIC | 1u << SV_G_ARTIFICIAL;
    sv_dec unnamed = group_weight(c, n, open);
    if (g < 0) return open;
    sv_dec a = group_weight(c, n, 1u << SV_G_SYNTHETIC), b = group_weight(c, n, 1u << SV_G_ARTIFICIAL);
    sv_dec apart = sv_dec_cmp(a, b) > 0 ? sv_dec_sub(a, b) : sv_dec_sub(b, a);
    return (sv_set)(sv_dec_cmp(unnamed, apart) > 0 ? open : 1u << g);
}

/* ---- the sums in words ---- */

static const char *sum_text(sv_arena *arena, const counted *c, size_t n, const sv_sum *s)
{
    const char *parts = "";
    size_t several = 0;
    for (size_t i = 0; i < n; i++) {
        if (c[i].kind->chapter != s->chapter) continue;
        parts = sv_format(arena, "%s%s%s %s", parts, several ? " + " : "", c[i].kind->key,
                          sv_dec_text_short(arena, c[i].weight));
        several++;
    }
    const char *sum = sv_dec_text_short(arena, s->weight);
    return several > 1 ? sv_format(arena, "%s %s (%s)", chapter_name(s->chapter), sum, parts)
                       : sv_format(arena, "%s %s", chapter_name(s->chapter), sum);
}

/* The second greatest sum; SV_SUMS_MAX when there is none. */
static size_t second_of(const sv_sum *sum, size_t n, size_t best)
{
    size_t second = SV_SUMS_MAX;
    for (size_t i = 0; i < n; i++) {
        if (i == best) continue;
        if (second == SV_SUMS_MAX || sv_dec_cmp(sum[i].weight, sum[second].weight) > 0 ||
            (sv_dec_cmp(sum[i].weight, sum[second].weight) == 0 && sum[i].chapter > sum[second].chapter))
            second = i;
    }
    return second;
}

static void put_sums(sv_arena *arena, const counted *c, size_t n, const sv_sum *sum, size_t best,
                     size_t second, sv_weighed *out)
{
    const char *first = sum_text(arena, c, n, &sum[best]);
    if (second == SV_SUMS_MAX) {
        out->sums = sv_format(arena, "By weight %s; nothing stands against it.", first);
        return;
    }
    const char *next = sum_text(arena, c, n, &sum[second]);
    if (out->tie) {
        out->sums = sv_format(arena, "By weight %s and %s are equal; the later heading decides, that of %s.",
                              first, next, chapter_name(sum[best].chapter));
    } else {
        out->sums = sv_format(arena, "By weight %s against %s%s.", first, next,
                              out->close ? "; only 4 points or less apart, so check the label" : "");
    }
}

/* Where a chapter wins only because synthetic and artificial fibres are added, rulings differ. */
static void judge_plurality(const counted *c, size_t n, const sv_sum *sum, size_t best, size_t second,
                            sv_weighed *out)
{
    if (sum[best].chapter != 54 || second == SV_SUMS_MAX) return;
    sv_dec a = group_weight(c, n, 1u << SV_G_SYNTHETIC), b = group_weight(c, n, 1u << SV_G_ARTIFICIAL);
    if (sv_dec_cmp(a, sum[second].weight) >= 0 || sv_dec_cmp(b, sum[second].weight) >= 0) return;
    if (a.units == 0 || b.units == 0) return;
    out->plurality = group_in(c, n, sum[second].chapter);
}

/* Fibres the label leaves unnamed may go to any chapter: they matter when they could turn the order. */
static bool unnamed_decide(const sv_dec unnamed, const sv_sum *sum, size_t best, size_t second)
{
    if (!unnamed.known || unnamed.units == 0) return false;
    sv_dec next = second == SV_SUMS_MAX ? SV_DEC(0, 0) : sum[second].weight;
    return sv_dec_cmp(sv_dec_add(next, unnamed), sum[best].weight) >= 0;
}

/* 4 points or less of a hundred, whatever the weights add up to. */
static bool few_points(sv_dec apart, const sv_sum *sum, size_t sums)
{
    sv_dec all = SV_DEC(0, 0);
    for (size_t i = 0; i < sums; i++)
        all = sv_dec_add(all, sum[i].weight);
    return sv_dec_cmp(sv_dec_mul(apart, sv_dec_int(100)), sv_dec_mul(all, sv_dec_int(CLOSE_POINTS))) <= 0;
}

static void weigh_counted(sv_arena *arena, const counted *c, size_t n, sv_dec unnamed, sv_weighed *out)
{
    sv_sum fibre[MOST_FIBRES], sum[SV_SUMS_MAX];
    for (size_t i = 0; i < n; i++)
        fibre[i] = (sv_sum){c[i].kind->chapter, c[i].weight};
    size_t sums = sv_note_2b_by_chapter(fibre, n, sum);
    size_t best = sv_note_2a_heaviest_or_last(sum, sums, &out->tie), second = second_of(sum, sums, best);
    out->first_choice = group_in(c, n, sum[best].chapter);
    out->groups = out->first_choice;
    out->sure = true;
    if (second != SV_SUMS_MAX) {
        sv_dec apart = sv_dec_sub(sum[best].weight, sum[second].weight);
        out->second = group_in(c, n, sum[second].chapter);
        out->close = !out->tie && few_points(apart, sum, sums);
    }
    judge_plurality(c, n, sum, best, second, out);
    if (unnamed_decide(unnamed, sum, best, second)) {
        out->groups = SV_ALL_GROUPS;
        out->sure = false;
    }
    out->note = sums > 1 ? "Section XI note 2(A), (B)(b) and (c)" : "Section XI note 2(A)";
    put_sums(arena, c, n, sum, best, second, out);
}

/* ---- without percentages ---- */

static void weigh_named(const sv_tariff *t, sv_arena *arena, const sv_fibre_part *part, sv_weighed *out)
{
    const sv_fibre_kind *first = NULL;
    size_t named = 0;
    for (int pass = 0; pass < 2 && !named; pass++) { /* the second pass takes elastic yarn standing alone */
        for (size_t i = 0; i < part->count; i++) {
            const sv_fibre_kind *k = kind_of(t, part->fibre[i].key);
            if (!k || !k->chapter || (pass == 0 && minor(k->key))) continue;
            if (!first) first = k;
            out->groups |= k->groups;
            named++;
        }
    }
    if (!first) return;
    out->first_choice = first->groups;
    out->sure = named == 1 || out->groups == first->groups;
    out->note = "Section XI note 2(A)";
    out->sums = named == 1 ? sv_format(arena, "Of %s; no other fibre is named.", first->key)
                           : sv_format(arena, "No percentages; %s is named first.", first->key);
}

/* The outer part is leather, fur, rubber ... and no textile that counts. */
static void find_material(const sv_tariff *t, const sv_fibre_part *part, sv_weighed *out)
{
    const sv_fibre_kind *k = part->count ? kind_of(t, part->fibre[0].key) : NULL;
    if (k && *k->made_of)
        out->material = sv_bit(sv_fact_value(SV_FACT_CONSTRUCTION, k->made_of, strlen(k->made_of)));
}

void sv_weigh(const sv_tariff *t, sv_arena *arena, const sv_facts *facts, sv_weighed *out)
{
    *out = (sv_weighed){.sums = "", .note = ""};
    const sv_fibre_part *part = main_part(facts);
    if (!part) return;
    find_material(t, part, out);
    if (!all_weighed(part)) {
        weigh_named(t, arena, part, out);
    } else {
        counted c[MOST_FIBRES];
        size_t n = 0;
        sv_dec unnamed = SV_DEC(0, 0);
        for (size_t i = 0; i < part->count && n < MOST_FIBRES; i++) {
            const sv_fibre_kind *k = kind_of(t, part->fibre[i].key);
            if (!k) continue;
            if (k->groups == SV_ALL_GROUPS) {
                unnamed = sv_dec_add(unnamed, part->fibre[i].percent);
            } else if (k->chapter) {
                c[n++] = (counted){k, part->fibre[i].percent};
            }
        }
        if (n) weigh_counted(arena, c, n, unnamed, out);
    }
    if (part->from == SV_FROM_DEFAULT && out->groups) { /* nobody said it: the cloth only makes it likely */
        out->groups = SV_ALL_GROUPS;
        out->sure = false;
    }
}
