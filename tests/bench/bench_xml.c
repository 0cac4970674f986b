/* bench_xml.c - how fast parcels are read from a table and from XML, UBL documents written and judged. One
 * core. */
#include <stdio.h>
#include <stdlib.h>
#include <sys/resource.h>
#include <time.h>
#include <unistd.h>

#include "../unit/tree.h"
#include "papers/ubl.h"
#include "selvedge/parcel.h"

static double now(void)
{
    struct timespec t;
    clock_gettime(CLOCK_MONOTONIC, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static void fail(const char *what)
{
    fprintf(stderr, "bench_xml: %s\n", what);
    exit(1);
}

enum { PARCELS = 100000, TIMES = 5000 };

static void write_parcels(const char *csv, const char *xml)
{
    FILE *c = fopen(csv, "w"), *x = fopen(xml, "w");
    if (!c || !x) fail("no room in /tmp");
    fputs("parcel,country,recipient,street_lines,city,postcode,text,fibre,net_weight,unit_value,made_in\n",
          c);
    fputs("<parcels xmlns='urn:selvedge:parcel:1'>\n", x);
    for (int i = 0; i < PARCELS; i++) {
        fprintf(c,
                "ref-%d,JP,Hanako Example,1-2-3 Mihon-cho,Kyoto,604-0099,cotton jumper,100 cotton,430 "
                "g,32.00,PT\n",
                i);
        fprintf(x,
                "<parcel reference='ref-%d'><country>JP</country><recipient>Hanako Example</recipient>"
                "<street_lines>1-2-3 Mihon-cho</street_lines><city>Kyoto</city><postcode>604-0099</postcode>"
                "<piece><text>cotton jumper</text><fibre>100 cotton</fibre><net_weight>430 g</net_weight>"
                "<unit_value>32.00</unit_value><made_in>PT</made_in></piece></parcel>\n",
                i);
    }
    fputs("</parcels>\n", x);
    fclose(c);
    fclose(x);
}

static void read_all(const char *what, const char *path)
{
    double from = now();
    sv_parcels *parcels;
    sv_error err = {SV_OK, ""};
    if (sv_parcels_open(NULL, path, NULL, &parcels, &err)) fail(err.text);
    sv_arena *arena = sv_arena_new();
    const sv_parcel *p;
    int n = 0;
    while (!sv_parcels_next(parcels, arena, &p, &err) && p) {
        n++;
        sv_arena_reset(arena);
    }
    if (n != PARCELS) fail(err.text);
    sv_arena_free(arena);
    sv_parcels_close(parcels);
    double s = now() - from;
    struct rusage u;
    getrusage(RUSAGE_SELF, &u);
    printf("%-44s %9.0f parcels/s   %6.1f us   peak %ld KB\n", what, PARCELS / s, s * 1e6 / PARCELS,
           u.ru_maxrss);
}

static void documents(const sv_node *tree, const sv_world *world)
{
    sv_buf b[3];
    bool written;
    for (int k = 0; k < 3; k++)
        sv_buf_init(&b[k], 0);
    double from = now();
    for (int i = 0; i < TIMES; i++) {
        for (int k = 0; k < 3; k++) {
            sv_buf_reset(&b[k]);
            if (sv_ubl_write(tree, (sv_ubl_kind)k, &b[k], &written, NULL)) fail("not written");
        }
    }
    double s = now() - from;
    printf("%-44s %9.0f parcels/s   %6.1f us   %zu bytes\n", "the three UBL documents written", TIMES / s,
           s * 1e6 / TIMES, b[0].length + b[1].length + b[2].length);
    from = now();
    int times = TIMES / 50;
    for (int i = 0; i < times; i++) {
        sv_arena *arena = sv_arena_new();
        sv_findings findings = sv_findings_in(arena);
        if (sv_ubl_check(world, arena, "bench", b[0].data, b[0].length, &findings, NULL)) fail("not judged");
        sv_arena_free(arena);
    }
    s = now() - from;
    printf("%-44s %9.0f a second    %6.1f us\n", "a declaration judged, its tables read", times / s,
           s * 1e6 / times);
    for (int k = 0; k < 3; k++)
        sv_buf_free(&b[k]);
}

int main(void)
{
    char csv[] = "/tmp/selvedge-bench-XXXXXX", xml[] = "/tmp/selvedge-bench-XXXXXX";
    int c = mkstemp(csv), x = mkstemp(xml);
    if (c < 0 || x < 0) fail("no room in /tmp");
    close(c);
    close(x);
    write_parcels(csv, xml);
    read_all("orders table, 100,000 parcels", csv);
    read_all("parcel XML, validated, 100,000 parcels", xml);
    unlink(csv);
    unlink(xml);
    sv_arena *arena = sv_arena_new();
    sv_world *world;
    sv_world_options options = {.today = "2026-11-25", .rooms = SV_OPEN_ATLAS};
    if (sv_world_open(&options, &world, NULL)) fail("the world does not open");
    documents(tree_of_a_parcel(arena), world);
    sv_world_close(world);
    sv_arena_free(arena);
    return 0;
}
