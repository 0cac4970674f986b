/* fuzz_form.c - templates of the user: reading, laying out, drawing. */
#include <stdlib.h>
#include <string.h>

#include "base/node.h"
#include "papers/form.h"
#include "papers/layout.h"
#include "papers/papers.h"
#include "selvedge/parcel.h"

static const sv_node *dossier(sv_arena *a)
{
    sv_node *root = sv_node_root(a), *list = sv_node_list(a, root, "line");
    sv_node_text(a, root, "reference", "P-1");
    sv_node_text(a, root, "item_number", "CX000000120IE");
    for (int i = 0; i < 3; i++) {
        sv_node *n = sv_node_record(a, list, "");
        sv_node_text(a, n, "description", "1 women's knitted jumper, Łódź, محمد 12, 東京");
    }
    return root;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes)
{
    static sv_world *world;
    static sv_press *press;
    sv_world_options options = {.today = "2026-11-25"};
    if (!world && (sv_world_open(&options, &world, NULL) != SV_OK || sv_papers_open(world, NULL) != SV_OK))
        abort();
    if (!press && !(press = sv_press_new(world))) abort();
    sv_arena *arena = sv_arena_new();
    sv_error err = {SV_OK, ""};
    sv_form *form = NULL;
    sv_fonts *fonts = NULL;
    sv_status s = sv_form_read(world, arena, "input", (const char *)data, bytes, bytes % 2 == 0, &form, &err);
    if (s != SV_OK && !err.text[0]) abort();
    if (s == SV_OK && sv_fonts_of(press, &fonts, &err) == SV_OK) {
        sv_findings found = sv_findings_in(arena);
        sv_pages pages = {.arena = arena};
        sv_buf out;
        sv_buf_init(&out, 0);
        sv_fonts_start(fonts);
        if (sv_form_lay_out(world, fonts, form, dossier(arena), &pages, &found, &err) == SV_OK &&
            sv_pdf_write(fonts, &pages, NULL, bytes % 3 == 0, &out, &err) != SV_OK && !err.text[0])
            abort();
        sv_buf_free(&out);
    }
    sv_arena_free(arena);
    return 0;
}
