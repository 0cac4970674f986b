/* test_papers.c - the papers of the demo: which there are, sound PDFs, and the same figure wherever it
 * stands. */
#include "support.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/node.h"
#include "selvedge/papers.h"

static sv_world *world;
static sv_press *press;
static sv_arena *arena;
static const char *into;

static int setup(void **state)
{
    (void)state;
    world = open_world(0);
    press = sv_press_new(world);
    arena = sv_arena_new();
    const char *build = getenv("BUILD");
    into = sv_format(arena, "%s/tests/papers-scratch", build ? build : "build");
    run(arena, sv_format(arena, "rm -rf %s", into), NULL);
    return press && arena ? 0 : -1;
}

static int teardown(void **state)
{
    (void)state;
    run(arena, sv_format(arena, "rm -rf %s", into), NULL);
    sv_press_free(press);
    sv_arena_free(arena);
    sv_world_close(world);
    return 0;
}

typedef void (*seen)(const sv_dossier *d, const sv_paper *papers);

static void each_set(seen show)
{
    sv_error err = {SV_OK, ""};
    sv_parcels *parcels = NULL;
    sv_reading how = {.profiles = "data/demo/profiles"};
    if (sv_parcels_open(world, "data/demo/orders.csv", &how, &parcels, &err) != SV_OK)
        fail_msg("%s", err.text);
    for (;;) {
        const sv_parcel *parcel;
        sv_dossier *d;
        const sv_paper *papers;
        if (sv_parcels_next(parcels, arena, &parcel, &err) != SV_OK) fail_msg("%s", err.text);
        if (!parcel) break;
        if (sv_prepare(world, press, arena, parcel, NULL, &d, &err) != SV_OK) fail_msg("%s", err.text);
        if (sv_papers_make(d, NULL, &papers, &err) != SV_OK) fail_msg("%s", err.text);
        if (sv_papers_write(papers, into, d->reference, &err) != SV_OK) fail_msg("%s", err.text);
        show(d, papers);
    }
    sv_parcels_close(parcels);
}

static const sv_paper *paper(const sv_paper *papers, const char *name)
{
    while (papers && strcmp(papers->name, name) != 0)
        papers = papers->next;
    return papers;
}

static void set_is_whole(const sv_dossier *d, const sv_paper *papers)
{
    static const char *const always[] = {"invoice.pdf",      "invoice.xml",       "content-list.pdf",
                                         "content-list.xml", "address-label.pdf", "data-sheet.txt"};
    static const char *const declared[] = {"customs-declaration.pdf", "declaration.xml"};
    assert_non_null(paper(papers, "dossier.json"));
    for (size_t i = 0; i < sizeof always / sizeof *always; i++) {
        if (!paper(papers, always[i]) != d->stopped) fail_msg("%s: %s", d->reference, always[i]);
    }
    for (size_t i = 0; i < sizeof declared / sizeof *declared; i++) {
        bool wanted = d->declaration.needed && !d->stopped;
        if (!paper(papers, declared[i]) == wanted) fail_msg("%s: %s", d->reference, declared[i]);
    }
}

static void every_parcel_gets_its_papers(void **state)
{
    (void)state;
    each_set(set_is_whole);
}

static void pdfs_are_sound(const sv_dossier *d, const sv_paper *papers)
{
    for (const sv_paper *p = papers; p; p = p->next) {
        if (!strstr(p->name, ".pdf")) continue;
        const char *path = sv_format(arena, "%s/%s/%s", into, d->reference, p->name);
        int status;
        const char *said = run(arena, sv_format(arena, "qpdf --check %s 2>&1", path), &status);
        if (status != 0) fail_msg("%s: %s", path, said);
        const char *fonts = run(arena, sv_format(arena, "pdffonts %s 2>&1 | tail -n +3", path), &status);
        if (!*fonts) fail_msg("%s has no fonts", path);
        const char *bare = run(arena,
                               sv_format(arena,
                                         "pdffonts %s | tail -n +3 | awk '{ if ($(NF-4) != \"yes\" || "
                                         "$(NF-3) != \"yes\" || $(NF-2) != \"yes\") print }'",
                                         path),
                               NULL);
        if (*bare) fail_msg("%s: not embedded, subset and mapped to Unicode: %s", path, bare);
    }
}

static void pdfs_pass_qpdf_and_embed_their_fonts(void **state)
{
    (void)state;
    each_set(pdfs_are_sound);
}

/* The text of a paper as a reader gets it, without line breaks. */
static const char *text_of(const sv_dossier *d, const sv_paper *papers, const char *name)
{
    const sv_paper *p = paper(papers, name);
    if (!p) return NULL;
    if (!strstr(name, ".pdf")) return p->bytes;
    return run(arena,
               sv_format(arena, "pdftotext -layout %s/%s/%s - | tr '\\n' ' '", into, d->reference, name),
               NULL);
}

static void stands(const sv_dossier *d, const char *text, const char *paper_name, const char *path)
{
    const char *value = sv_text_at(d->tree, path);
    if (!text || !*value) return;
    if (!strstr(text, value))
        fail_msg("%s: %s = %s does not stand on %s", d->reference, path, value, paper_name);
}

static void figures_agree(const sv_dossier *d, const sv_paper *papers)
{
    static const struct {
        const char *paper, *line[8], *whole[8];
    } wanted[] = {
        {"customs-declaration.pdf", {"value", "net_kg", "code"}, {"totals.goods_value", "totals.gross_kg"}},
        {"declaration.xml",
         {"value", "net_kg", "code", "made_in"},
         {"totals.goods_value", "totals.gross_kg", "addressee.postcode", "item_number"}},
        {"invoice.pdf",
         {"code", "made_in", "unit_value"},
         {"totals.invoice_total", "references.invoice", "totals.postage"}},
        {"invoice.xml", {"unit_value"}, {"totals.invoice_total", "references.invoice"}},
        {"content-list.pdf", {"net_kg", "quantity"}, {"totals.gross_kg"}},
        {"content-list.xml", {"net_kg"}, {"totals.gross_kg"}},
        {"data-sheet.txt",
         {"value", "net_kg", "code", "made_in"},
         {"totals.goods_value", "totals.gross_kg", "totals.postage", "item_number"}},
    };
    for (size_t i = 0; i < sizeof wanted / sizeof *wanted; i++) {
        const char *text = text_of(d, papers, wanted[i].paper);
        for (size_t k = 0; wanted[i].whole[k]; k++)
            stands(d, text, wanted[i].paper, wanted[i].whole[k]);
        for (size_t n = 0; n < d->lines; n++) {
            for (size_t k = 0; wanted[i].line[k]; k++)
                stands(d, text, wanted[i].paper, sv_format(arena, "line[%zu].%s", n, wanted[i].line[k]));
        }
    }
}

static void a_figure_is_the_same_wherever_it_stands(void **state)
{
    (void)state;
    each_set(figures_agree);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_parcel_gets_its_papers),
        cmocka_unit_test(pdfs_pass_qpdf_and_embed_their_fonts),
        cmocka_unit_test(a_figure_is_the_same_wherever_it_stands),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
