/* bench_heading.c - rows a second of `heading --table` on one thread: by columns, and by the free text alone.
 */
#include <stdio.h>
#include <string.h>
#include <time.h>

#include "selvedge/parcel.h"

typedef struct sample {
    const char *text, *garment, *gender, *construction, *fibre, *features;
} sample;

static const sample samples[] = {
    {"women's jumper 55% acrylic 45% cotton", "jumper", "women", "knit", "55 acrylic, 45 cotton", ""},
    {"men's denim jeans, 98% cotton 2% elastane, used", "jeans", "men", "woven", "98 cotton, 2 elastane", ""},
    {"dress, woven polyester, lined", "dress", "women", "woven", "100 polyester", "lined"},
    {"women's woven polyester jacket", "jacket", "women", "woven", "100 polyester", ""},
    {"men's cotton shirt, long sleeves", "shirt", "men", "woven", "100 cotton", "long sleeves"},
    {"hoodie full zip, rib cuffs, 72% cotton 28% polyester", "hoodie", "men", "knit",
     "72 cotton, 28 polyester", "full zip; hood; rib cuffs and waist"},
    {"women's leather ankle boots, rubber sole", "ankle boots", "women", "footwear",
     "upper leather; sole rubber", ""},
    {"silk scarf, woven", "scarf", "none", "woven", "100 silk", ""},
};
#define SAMPLES (sizeof samples / sizeof *samples)
#define ROUNDS  40000

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static int rows(const sv_world *world, sv_arena *arena, bool columns, const char *what, double wanted)
{
    double start = now();
    for (size_t i = 0; i < ROUNDS; i++) {
        const sample *s = &samples[i % SAMPLES];
        sv_garment_given g = {.text = columns ? "" : s->text};
        sv_facts f;
        sv_heading h;
        sv_arena_reset(arena);
        sv_findings said = sv_findings_in(arena);
        if (columns) {
            g.garment = s->garment;
            g.gender = s->gender;
            g.construction = s->construction;
            g.fibre = s->fibre;
            g.features = s->features;
        }
        if (sv_garment_read(world, arena, &g, &f, &said) ||
            sv_classify(world, arena, &f, "", "2026-11-25", "", &h, &said))
            return 1;
    }
    double rate = ROUNDS / (now() - start);
    printf("%-28s %8.0f rows/s (wanted %.0f)\n", what, rate, wanted);
    return 0;
}

int main(void)
{
    sv_world *world;
    sv_error err;
    sv_world_options options = {.today = "2026-11-25",
                                .rooms = SV_OPEN_ATLAS | SV_OPEN_LEXICON | SV_OPEN_TARIFF};
    if (sv_world_open(&options, &world, &err) != SV_OK) {
        fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    sv_arena *arena = sv_arena_new();
    int bad = !arena || rows(world, arena, true, "heading by columns", 100000) ||
              rows(world, arena, false, "heading by free text", 30000);
    sv_arena_free(arena);
    sv_world_close(world);
    return bad;
}
