/* bench_split.c - pasted blocks taken apart a second, in process, one thread: the rows of
 * tests/expected/split-blocks.tsv over and over; then one blob of 1 MB. Median of five rounds. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/files.h"
#include "base/table.h"
#include "selvedge/address.h"
#include "selvedge/parcel.h"

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static void split(const sv_world *world, sv_arena *arena, const char *block, size_t bytes)
{
    sv_findings f = sv_findings_in(arena);
    sv_address out;
    if (sv_address_split(world, NULL, arena, block, bytes, "", &out, &f)) exit(1);
    sv_arena_reset(arena);
}

static double round_of(const sv_world *world, sv_arena *arena, const sv_table *t, int column, double seconds)
{
    size_t n = 0;
    double start = now(), end = start;
    while (end - start < seconds) {
        for (size_t i = 0; i < t->rows; i++)
            split(world, arena, sv_cell(t, i, column), strlen(sv_cell(t, i, column)));
        n += t->rows;
        end = now();
    }
    return (double)n / (end - start);
}

/* Blocks one behind the other, or a single line without end. */
static double blob(const sv_world *world, sv_arena *arena, const char *unit)
{
    size_t bytes = (size_t)1 << 20, n = strlen(unit);
    char *text = malloc(bytes);
    if (!text) exit(1);
    for (size_t i = 0; i < bytes; i++)
        text[i] = unit[i % n];
    double start = now();
    split(world, arena, text, bytes);
    double took = now() - start;
    free(text);
    return took;
}

int main(void)
{
    sv_error err;
    sv_world *world;
    if (sv_world_open(&(sv_world_options){.today = "2026-11-25", .rooms = SV_OPEN_ATLAS | SV_OPEN_ADDRESS},
                      &world, &err)) {
        fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    sv_arena *own = sv_arena_new(), *arena = sv_arena_new();
    const char *text;
    size_t bytes;
    sv_table t;
    const char *file = "tests/expected/split-blocks.tsv";
    if (sv_file_read(own, file, (size_t)16 << 20, &text, &bytes, &err) ||
        sv_table_read(own, "split-blocks", file, text, bytes, false, &t, &err)) {
        fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    double rate[5];
    for (int k = 0; k < 5; k++)
        rate[k] = round_of(world, arena, &t, sv_table_column(&t, "block"), 0.4);
    qsort(rate, 5, sizeof *rate, compare);
    printf("splitting: %.0f blocks/s (min %.0f, max %.0f) over %zu blocks; the bar is 50000\n", rate[2],
           rate[0], rate[4], t.rows);
    printf("a blob of 1 MB: lines %.3f s, one line %.3f s, Han %.3f s, commas %.3f s; the bar is 1 s\n",
           blob(world, arena, "Ana Example\n12 Example Street\n75001 Paris\nFrance\n"),
           blob(world, arena, "Example Street 12 "), blob(world, arena, "北京市朝阳区建国路"),
           blob(world, arena, ","));
    sv_arena_free(arena);
    sv_arena_free(own);
    sv_world_close(world);
    return 0;
}
