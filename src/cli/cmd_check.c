/* cmd_check.c - all findings of a parcel. */
#include <string.h>

#include "base/node.h"
#include "cli/parcels.h"
#include "papers/ubl.h"

typedef struct check {
    char as;
    sv_buf out;
    size_t parcels;
} check;

static const char *form_words(const sv_dossier *d)
{
    if (!d->declaration.needed) return "no customs declaration";
    return strcmp(d->form.form, "CN22") == 0   ? "CN 22"
           : strcmp(d->form.form, "CN23") == 0 ? "CN 23"
                                               : d->form.form;
}

static void print_line(sv_buf *out, const sv_dossier *d, const sv_line *line)
{
    sv_put_format(out, "  %zu. %s", line->number, line->description);
    if (*line->code)
        sv_put_format(out, "; HS %s (%s)", line->code, sv_certainty_word(line->heading.certainty));
    sv_put_format(out, "; %s %s\n", d->currency, sv_amount_text(d->arena, line->value, d->exponent));
}

static void print_text(check *c, const sv_dossier *d)
{
    sv_buf *out = &c->out;
    if (c->parcels) sv_put_char(out, '\n');
    sv_put_format(out, "%s: %s to %s, %s%s\n", d->reference, d->from.place ? d->from.place->common_en : "?",
                  d->to.place ? d->to.place->common_en : "?", form_words(d), d->stopped ? ", STOPPED" : "");
    if (d->addressee_laid.block && *d->addressee_laid.block) {
        for (const char *p = d->addressee_laid.block; *p; p += strcspn(p, "\n"), p += *p == '\n')
            sv_put_format(out, "      %.*s\n", (int)strcspn(p, "\n"), p);
    }
    for (size_t i = 0; i < d->lines; i++)
        print_line(out, d, &d->line[i]);
    if (d->duty.currency && d->duty.why) sv_put_wrapped(out, d->duty.why, 2, 96);
    sv_print_findings(out, &d->findings, sv_colour());
}

/* One finding a line; `what` is the reference of the parcel, or the file of the document. */
static void print_rows(check *c, const char *what, const sv_findings *findings)
{
    sv_buf *out = &c->out;
    if (c->parcels == 0)
        sv_put(out, "parcel\tseverity\tcode\tblocks\tplace\tmessage\tremedy\tsource\tas_of\n");
    for (const sv_finding *f = findings->first; f; f = f->next) {
        const char *cells[] = {what,
                               sv_severity_word(f->severity),
                               sv_code_word(f->code),
                               sv_blocks_word(f->blocks),
                               f->place,
                               f->message,
                               f->remedy,
                               f->source,
                               f->as_of};
        for (size_t i = 0; i < sizeof cells / sizeof *cells; i++) {
            if (i) sv_put_char(out, '\t');
            sv_put_tsv(out, cells[i]);
        }
        sv_put_char(out, '\n');
    }
}

static sv_status done_one(check *c, sv_error *err)
{
    c->parcels++;
    if (c->as == 'j') return SV_OK; /* whether it is a list shows only at the end */
    return sv_flush(&c->out) ? SV_OK : sv_fail(err, SV_SYSTEM, "standard output cannot be written");
}

static sv_status each(void *state, sv_dossier *d, sv_error *err)
{
    check *c = state;
    switch (c->as) {
    case 'j':
        if (c->parcels) sv_put(&c->out, ",\n");
        sv_node_json(d->tree, &c->out);
        break;
    case 'v': print_rows(c, d->reference, &d->findings); break;
    default: print_text(c, d);
    }
    return done_one(c, err);
}

/* ---- UBL documents ------------------------------------------------------------------------------ */

static void print_document_json(check *c, sv_arena *arena, const char *path, const sv_findings *findings)
{
    sv_node *root = sv_node_root(arena);
    sv_node_text(arena, root, "format", "selvedge document check 1");
    sv_node_text(arena, root, "file", path);
    sv_node_flag(arena, root, "stopped", findings->stops > 0);
    sv_node *list = sv_node_list(arena, root, "findings");
    for (const sv_finding *f = findings->first; f; f = f->next)
        sv_node_finding(arena, list, f);
    if (c->parcels) sv_put(&c->out, ",\n");
    sv_node_json(root, &c->out);
}

static void print_document_text(check *c, const char *path, const sv_findings *findings)
{
    if (c->parcels) sv_put_char(&c->out, '\n');
    sv_put_format(&c->out, "%s: UBL document, %s\n", path,
                  findings->stops  ? "STOPPED"
                  : findings->last ? "nothing stops it"
                                   : "no fault found");
    sv_print_findings(&c->out, findings, sv_colour());
}

static sv_status document(void *state, const sv_world *world, sv_arena *arena, const char *path,
                          bool *stopped, sv_error *err)
{
    check *c = state;
    sv_findings findings = sv_findings_in(arena);
    sv_status s = sv_ubl_check_file(world, arena, path, &findings, err);
    if (s) return s;
    *stopped = findings.stops > 0;
    switch (c->as) {
    case 'j': print_document_json(c, arena, path, &findings); break;
    case 'v': print_rows(c, path, &findings); break;
    default: print_document_text(c, path, &findings);
    }
    return done_one(c, err);
}

/* One parcel is printed as its dossier, several as a list of them. */
static bool finish(check *c)
{
    if (c->as == 'j' && c->parcels > 1) {
        fputs("[\n", stdout);
        sv_put(&c->out, "]\n");
    }
    if (c->as == 't' && c->parcels) {
        sv_put_char(&c->out, '\n');
        sv_print_caution(&c->out, "", "");
    }
    return sv_flush(&c->out);
}

static int run(const sv_words *words)
{
    check c = {.as = sv_as(words)};
    sv_buf_init(&c.out, 0);
    const sv_parcel_walk walk = {.each = each, .document = document, .state = &c};
    int status = sv_each_parcel(words, &walk);
    if (!finish(&c)) status = SV_EXIT_SYSTEM;
    sv_buf_free(&c.out);
    return status;
}

static const sv_option options[] = {SV_PARCEL_OPTIONS, {NULL, NULL, NULL}};

const sv_command sv_command_check = {
    .name = "check",
    .summary = "all findings of a parcel, before anything is printed",
    .usage = "selvedge check [OPTIONS] FILE...",
    .about =
        "Reads parcels from an orders table (CSV, TSV) or parcel XML and says what stands in their way: "
        "stops,\n"
        "cautions and notes, each with its place, its remedy and the rule it rests on. --as json prints the\n"
        "whole dossier. Exit status 1 when a parcel is stopped. A UBL ExportCustomsDeclaration, Invoice or\n"
        "PackingList, ours or of others, is judged as well: structure, codes, sums, digits, descriptions.",
    .example = "  selvedge check data/demo/orders.csv",
    .options = options,
    .run = run,
};
