/* bundle.c - the papers of many parcels in one PDF to print. */
#include "cli/bundle.h"

#include <stdlib.h>
#include <string.h>

#include "base/files.h"
#include "base/node.h"
#include "selvedge/papers.h"

/* What goes inside first, then what goes into the pouch, the label last: as a parcel is packed. "" is the
 * customs form. */
static const char *const order[] = {"packing-slip", "content-list", "", "invoice", "address-label"};
enum { PAPERS = sizeof order / sizeof *order };

struct sv_bundle {
    const char *folder, *stock;
    sv_arena *arena; /* the trees and names of this bundle */
    sv_press *press; /* of the walk; the same for all parcels */
    sv_bundle_item item[SV_BUNDLE_PARCELS * PAPERS];
    size_t items, parcels, files;
};

sv_bundle *sv_bundle_new(const char *folder, const char *stock)
{
    sv_bundle *b = calloc(1, sizeof *b);
    if (!b) return NULL;
    b->folder = folder;
    b->stock = stock;
    b->arena = sv_arena_new();
    if (b->arena) return b;
    free(b);
    return NULL;
}

void sv_bundle_free(sv_bundle *b)
{
    if (!b) return;
    sv_arena_free(b->arena);
    free(b);
}

size_t sv_bundle_count(const sv_bundle *b)
{
    return b->files;
}

static sv_status write(sv_bundle *b, sv_error *err)
{
    const char *path = sv_format(b->arena, "%s/bundle-%03zu.pdf", b->folder, b->files + 1);
    sv_bundle_options options = {.title = "Papers", .stock = b->stock, .cut_marks = b->stock != NULL};
    sv_findings said = sv_findings_in(b->arena); /* each parcel's own papers said the same */
    sv_buf out;
    sv_buf_init(&out, 0);
    sv_status s = sv_bundle_pdf(b->press, b->arena, b->item, b->items, &options, &out, &said, err);
    if (!s) s = sv_folder_make(b->folder, err);
    if (!s) s = sv_file_write(path, out.data, out.length, err);
    sv_buf_free(&out);
    if (s) return s;
    b->files++;
    b->items = b->parcels = 0;
    sv_arena_reset(b->arena);
    return SV_OK;
}

/* Label stock takes one paper: the form joined with the address label, and nothing where no form is needed.
 */
static bool is_label_stock(const sv_bundle *b)
{
    return b->stock && strcmp(b->stock, "102x152") == 0;
}

static const char *customs_form(const sv_dossier *d, bool joined)
{
    bool small = strcmp(d->form.form, "CN22") == 0;
    if (joined) return small ? "label-cn22" : "label-cn23";
    return small ? "cn22" : "cn23";
}

sv_status sv_bundle_add(sv_bundle *b, const sv_dossier *d, sv_error *err)
{
    if (d->stopped) return SV_OK;
    const sv_node *tree = sv_node_copy(b->arena, d->tree);
    if (!tree) return sv_fail(err, SV_NO_MEMORY, "out of memory while bundling %s", d->reference);
    b->press = d->press;
    const char *label = sv_copy(b->arena, d->reference);
    bool joined = is_label_stock(b);
    for (size_t i = 0; i < PAPERS; i++) {
        const char *form = order[i];
        if (!*form ? !d->declaration.needed : joined) continue;
        if (!*form) form = customs_form(d, joined);
        b->item[b->items++] =
            (sv_bundle_item){.form = form, .dossier = tree, .label = i == 0 || joined ? label : NULL};
    }
    return ++b->parcels < SV_BUNDLE_PARCELS ? SV_OK : write(b, err);
}

sv_status sv_bundle_finish(sv_bundle *b, sv_error *err)
{
    return b->items ? write(b, err) : SV_OK;
}
