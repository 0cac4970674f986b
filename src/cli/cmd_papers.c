/* cmd_papers.c - checks parcels, then writes their documents. */
#include <stdlib.h>
#include <string.h>

#include "cli/bundle.h"
#include "cli/parcels.h"
#include "selvedge/papers.h"

typedef struct papers {
    const char *into;
    sv_papers_options options;
    sv_buf out;
    char as;
    size_t parcels, held;
    sv_bundle *bundle; /* NULL: none was asked for */
} papers;

static size_t count(const sv_paper *paper)
{
    size_t n = 0;
    for (; paper; paper = paper->next)
        n++;
    return n;
}

static void put_form(sv_buf *out, const sv_dossier *d)
{
    if (!d->declaration.needed) {
        sv_put(out, "no customs declaration needed");
        return;
    }
    sv_put_format(out, "form %.2s %s", d->form.form, d->form.form + 2);
}

static void account(papers *p, const sv_dossier *d, const sv_paper *made)
{
    sv_buf *out = &p->out;
    sv_put_format(out, "%s to %s: ", d->reference, d->to.place ? d->to.place->common_en : "an unknown place");
    if (d->stopped) {
        sv_put(out, "STOPPED, no papers\n");
    } else {
        put_form(out, d);
        sv_put_format(out, ", %zu files in %s/%s\n", count(made), p->into,
                      sv_folder_name(d->arena, d->reference));
    }
    for (const sv_finding *f = d->findings.first; f; f = f->next) {
        bool shown = f->severity == SV_STOP || f->severity == SV_CAUTION;
        if (!shown) continue;
        const char *said = sv_format(d->arena, "%s%s%s: %s", sv_severity_word(f->severity),
                                     *f->place ? " at " : "", f->place, f->message);
        sv_put_wrapped(out, said, 2, 98);
        if (*f->remedy && f->severity == SV_STOP) sv_put_wrapped(out, f->remedy, 4, 96);
    }
}

/* Without a reference of its own a parcel has no folder: what stands in the other one's stays. */
static bool has_folder(const sv_dossier *d)
{
    static const sv_code without[] = {SV_F_REFERENCE_TWICE, SV_F_REFERENCE_ABSENT, SV_F_REFERENCE_MISSING,
                                      SV_F_REFERENCE_LONG};
    for (const sv_finding *f = d->findings.first; f; f = f->next) {
        for (size_t i = 0; i < sizeof without / sizeof *without; i++) {
            if (f->code == without[i]) return false;
        }
    }
    return true;
}

static sv_status each(void *state, sv_dossier *d, sv_error *err)
{
    papers *p = state;
    const sv_paper *made = NULL;
    sv_status s = sv_papers_make(d, &p->options, &made, err);
    if (!s && has_folder(d)) s = sv_papers_write(made, p->into, d->reference, err);
    if (!s && p->bundle) s = sv_bundle_add(p->bundle, d, err);
    if (s) return s;
    p->parcels++;
    p->held += d->stopped;
    account(p, d, made);
    return sv_flush(&p->out) ? SV_OK : sv_fail(err, SV_SYSTEM, "standard output cannot be written");
}

/* While the world is still open: the last bundle. */
static sv_status finish(void *state, sv_error *err)
{
    papers *p = state;
    return p->bundle ? sv_bundle_finish(p->bundle, err) : SV_OK;
}

static int run(const sv_words *words)
{
    if (!sv_has(words, "into")) return sv_line_usage(words, "where to? Give a folder with --into DIR");
    papers p = {.into = sv_opt(words, "into"),
                .as = sv_as(words),
                .options = {.template_file = sv_has(words, "template") ? sv_opt(words, "template") : NULL,
                            .fillable = sv_has(words, "fillable"),
                            .card = sv_has(words, "card")}};
    sv_buf_init(&p.out, 0);
    bool bundled = sv_has(words, "bundle") || sv_has(words, "stock");
    if (bundled) p.bundle = sv_bundle_new(p.into, sv_has(words, "stock") ? sv_opt(words, "stock") : NULL);
    const sv_parcel_walk walk = {.each = each, .last = finish, .state = &p};
    int status = bundled && !p.bundle ? SV_EXIT_SYSTEM : sv_each_parcel(words, &walk);
    sv_error err = {SV_OK, ""};
    if (p.parcels && sv_papers_settle(p.into, &err) != SV_OK && status < SV_EXIT_SYSTEM)
        status = sv_line_fail(&err);
    if (p.parcels) {
        sv_put_format(&p.out, "\n%zu %s, %zu stopped. Papers are in %s.\n", p.parcels,
                      p.parcels == 1 ? "parcel" : "parcels", p.held, p.into);
        sv_print_caution(&p.out, "", "");
        sv_flush(&p.out);
    }
    if (p.bundle && sv_bundle_count(p.bundle))
        printf("To print in packing order: %s/bundle-001.pdf%s\n", p.into,
               sv_bundle_count(p.bundle) > 1 ? " and on" : "");
    sv_bundle_free(p.bundle);
    sv_buf_free(&p.out);
    return status;
}

static const sv_option options[] = {
    {"into", "DIR", "folder for the papers; each parcel gets a folder of its reference"},
    {"template", "FILE", "a form template of yours instead of the customs form"},
    {"fillable", NULL, "places to sign and date become fields of the PDF"},
    {"card", NULL, "the border card of the destination too, as border-card.pdf"},
    {"bundle", NULL,
     "the papers of all parcels in packing order as bundle-001.pdf, ..., cut every 200 parcels"},
    {"stock", "NAME", "with it, several papers on a sheet: A4, Letter, A5, A6 or 102x152"},
    SV_PARCEL_OPTIONS,
    {NULL, NULL, NULL}};

const sv_command sv_command_papers = {
    .name = "papers",
    .summary = "checks parcels, then writes their documents",
    .usage = "selvedge papers [OPTIONS] --into DIR FILE...",
    .about =
        "Checks each parcel and writes its customs form, invoice, content list, address label, data sheet "
        "and the\n"
        "same facts as XML. A parcel with a stop gets no papers, only dossier.json that says why; "
        "--override\n"
        "REASON sets stops aside, but never for goods no mail may carry. Exit status 1 when one was stopped.",
    .example = "  selvedge papers data/demo/orders.csv --into build/demo",
    .options = options,
    .run = run,
};
