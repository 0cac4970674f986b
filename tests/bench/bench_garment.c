/* bench_garment.c - free texts read a second, in process, one thread: the labels and titles of tests/expected
 * over and over; and the time to open the words. Median of five rounds. */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "base/files.h"
#include "base/table.h"
#include "selvedge/parcel.h"

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec * 1e-9;
}

static int compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;
    return (x > y) - (x < y);
}

static double median(double *rounds, size_t n)
{
    qsort(rounds, n, sizeof *rounds, compare);
    return rounds[n / 2];
}

static sv_table load(sv_arena *arena, const char *name)
{
    const char *text;
    size_t bytes;
    sv_table t;
    sv_error err = {SV_OK, ""};
    const char *path = sv_format(arena, "tests/expected/%s.tsv", name);
    if (sv_file_read(arena, path, (size_t)1 << 22, &text, &bytes, &err) ||
        sv_table_read(arena, name, path, text, bytes, false, &t, &err)) {
        fprintf(stderr, "bench_garment: %s\n", err.text);
        exit(1);
    }
    return t;
}

static double read_round(const sv_world *world, const sv_table *t)
{
    sv_arena *arena = sv_arena_new();
    int column = sv_table_column(t, "text");
    size_t n = 0;
    double start = now(), end = start;
    while (end - start < 0.3) {
        for (size_t i = 0; i < t->rows; i++, n++) {
            sv_garment_given given = {.text = sv_cell(t, i, column)};
            sv_facts facts;
            sv_findings findings = sv_findings_in(arena);
            if (sv_garment_read(world, arena, &given, &facts, &findings)) exit(1);
            sv_arena_reset(arena);
        }
        end = now();
    }
    sv_arena_free(arena);
    return (double)n / (end - start);
}

static void opening(void)
{
    double rounds[5];
    for (size_t i = 0; i < 5; i++) {
        sv_world *world;
        sv_error err;
        double start = now();
        if (sv_world_open(&(sv_world_options){.rooms = SV_OPEN_LEXICON}, &world, &err)) exit(1);
        rounds[i] = (now() - start) * 1e3;
        sv_world_close(world);
    }
    printf("opening the words               %7.2f ms\n", median(rounds, 5));
}

int main(void)
{
    static const char *const names[] = {"labels", "titles"};
    sv_arena *arena = sv_arena_new();
    sv_world *world;
    sv_error err;
    opening();
    if (sv_world_open(&(sv_world_options){.rooms = SV_OPEN_LEXICON}, &world, &err)) return 1;
    for (size_t k = 0; k < sizeof names / sizeof *names; k++) {
        sv_table t = load(arena, names[k]);
        double rounds[5];
        for (size_t i = 0; i < 5; i++)
            rounds[i] = read_round(world, &t);
        printf("%-10s of forty languages   %7.0f rows/s (through heading 30000 are wanted)\n", names[k],
               median(rounds, 5));
    }
    sv_world_close(world);
    sv_arena_free(arena);
    return 0;
}
