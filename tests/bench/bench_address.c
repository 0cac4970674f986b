/* bench_address.c - addresses laid out a second, in process, one thread: the rows of
 * tests/expected/address-examples.tsv over and over, the arena emptied after each, as a table of orders would
 * be worked off. Median of five rounds. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

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

static sv_address row_of(const sv_table *t, size_t i)
{
#define CELL(name) sv_cell(t, i, sv_table_column(t, name))
    return (sv_address){.country = CELL("country"),
                        .recipient = CELL("recipient"),
                        .street_lines = CELL("street_lines"),
                        .dependent_locality = CELL("dependent_locality"),
                        .city = CELL("city"),
                        .region = CELL("region"),
                        .postcode = CELL("postcode")};
#undef CELL
}

/* Addresses a second over one round of at least `seconds`. */
static double round_of(const sv_world *world, sv_press *press, const sv_address *row, size_t rows,
                       double seconds)
{
    sv_arena *arena = sv_arena_new();
    size_t n = 0;
    double start = now(), end = start;
    while (end - start < seconds) {
        for (int k = 0; k < 50; k++) {
            for (size_t i = 0; i < rows; i++) {
                sv_findings f = sv_findings_in(arena);
                sv_laid_address out;
                if (sv_address_lay_out(world, press, arena, &row[i], NULL, &out, &f)) exit(1);
                sv_arena_reset(arena);
            }
            n += rows;
        }
        end = now();
    }
    sv_arena_free(arena);
    return (double)n / (end - start);
}

/* The peer in the same run, where `make check-peers` has fetched it into build/peers. */
static void run_peer(const char *program, double seconds)
{
    const char *slash = strrchr(program, '/');
    char folder[512], command[1200];
    int n = slash ? (int)(slash - program) : 0;
    snprintf(folder, sizeof folder, "%.*s/../peers", n, program);
    snprintf(command, sizeof command, "%s/node_modules/localized-address-format", folder);
    if (!slash || access(command, R_OK) != 0) {
        puts("peer: NOT RUN (make check-peers fetches it)");
        return;
    }
    snprintf(command, sizeof command,
             "node tests/bench/peer_address.mjs '%s' tests/expected/address-examples.tsv %.2f", folder,
             seconds);
    fflush(stdout);
    if (system(command) != 0) puts("peer: NOT RUN (node failed)");
}

int main(int argc, char **argv)
{
    double seconds = argc > 1 ? strtod(argv[1], NULL) : 0.5;
    sv_arena *arena = sv_arena_new();
    sv_world *world;
    sv_error err;
    sv_table t;
    const char *text;
    size_t bytes;
    double start = now();
    if (sv_world_open(&(sv_world_options){.today = "2026-11-25", .rooms = SV_OPEN_ATLAS}, &world, &err)) {
        fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    double opened = (now() - start) * 1e3;
    const char *path = "tests/expected/address-examples.tsv";
    if (sv_file_read(arena, path, 1 << 22, &text, &bytes, &err) ||
        sv_table_read(arena, "examples", path, text, bytes, false, &t, &err)) {
        fprintf(stderr, "%s\n", err.text);
        return 1;
    }
    sv_address *row = SV_NEW_ARRAY(arena, t.rows, sv_address);
    for (size_t i = 0; i < t.rows; i++)
        row[i] = row_of(&t, i);
    sv_press *press = sv_press_new(world);
    double rate[5];
    for (int i = 0; i < 5; i++)
        rate[i] = round_of(world, press, row, t.rows, seconds);
    qsort(rate, 5, sizeof *rate, compare);
    printf("layout: %.0f addresses/s (min %.0f, max %.0f) over %zu rows; atlas opened in %.1f ms\n", rate[2],
           rate[0], rate[4], t.rows, opened);
    run_peer(argv[0], seconds);
    sv_press_free(press);
    sv_world_close(world);
    sv_arena_free(arena);
    return 0;
}
