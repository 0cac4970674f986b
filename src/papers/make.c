/* make.c - every paper a dossier calls for, in memory. */
#include <string.h>

#include "base/node.h"
#include "papers/page.h"
#include "papers/papers.h"
#include "papers/ubl.h"
#include "parcel/judges.h"
#include "selvedge/papers.h"

typedef enum what { FORM, UBL, DATA_SHEET, NOTE } what;

/* When a paper is called for. */
typedef enum called {
    ALWAYS,
    DECLARED /* only where a declaration is needed */,
    ON_REQUEST /* and asked for */
} called;

/* The papers in the order of the contracts. A form named "" is the customs form that was chosen. */
static const struct {
    const char *file;
    what kind;
    const char *form;
    sv_ubl_kind ubl;
    called called;
} papers[] = {
    {"declaration.xml", UBL, NULL, SV_UBL_DECLARATION, DECLARED}, /* first: it goes into the PDF */
    {"customs-declaration.pdf", FORM, "", 0, DECLARED},
    {"invoice.pdf", FORM, "invoice", 0, ALWAYS},
    {"invoice.xml", UBL, NULL, SV_UBL_INVOICE, ALWAYS},
    {"content-list.pdf", FORM, "content-list", 0, ALWAYS},
    {"content-list.xml", UBL, NULL, SV_UBL_PACKING_LIST, ALWAYS},
    {"address-label.pdf", FORM, "address-label", 0, ALWAYS},
    {"data-sheet.txt", DATA_SHEET, NULL, 0, ALWAYS},
    {"data-sheet.pdf", FORM, "data-sheet", 0, ALWAYS},
    {"cover-sheet.pdf", FORM, "cover-sheet", 0, ALWAYS},
    {"packing-slip.pdf", FORM, "packing-slip", 0, ALWAYS},
    {"check-sheet.pdf", FORM, "check-sheet", 0, ALWAYS},
    {"return-pack.pdf", FORM, "return-pack", 0, DECLARED},
    {"border-card.pdf", FORM, "border-card", 0, ON_REQUEST},
    {"buyers-note.txt", NOTE, NULL, 0, DECLARED},
};

static const char dossier_file[] = "dossier.json";

const char *sv_paper_name(size_t index)
{
    size_t all = sizeof papers / sizeof *papers;
    return index < all ? papers[index].file : index == all ? dossier_file : NULL;
}

typedef struct maker {
    sv_dossier *d;
    sv_papers_options options;
    sv_paper *first, *last;
    sv_buf buf;
} maker;

static sv_status add(maker *m, const char *name, sv_error *err)
{
    sv_paper *p = SV_NEW(m->d->arena, sv_paper);
    if (m->buf.failed || !p)
        return sv_fail(err, SV_NO_MEMORY, "%s: out of memory while making %s", m->d->reference, name);
    *p = (sv_paper){
        .name = name, .bytes = sv_copy_n(m->d->arena, m->buf.data, m->buf.length), .length = m->buf.length};
    if (m->last) {
        m->last->next = p;
    } else {
        m->first = p;
    }
    m->last = p;
    return sv_arena_failed(m->d->arena) ? sv_fail(err, SV_NO_MEMORY, "out of memory while making %s", name)
                                        : SV_OK;
}

static const sv_paper *made(const maker *m, const char *name)
{
    const sv_paper *p = m->first;
    while (p && strcmp(p->name, name) != 0)
        p = p->next;
    return p;
}

static sv_status make_form(maker *m, const char *form, sv_error *err)
{
    const sv_paper *xml = made(m, "declaration.xml");
    sv_attachment with = {0};
    sv_form_options options = {.fillable = m->options.fillable};
    if (!*form) {
        form = strcmp(m->d->form.form, "CN22") == 0 ? "cn22" : "cn23";
        options.template_file = m->options.template_file;
        if (xml) {
            with = (sv_attachment){.name = xml->name,
                                   .bytes = xml->bytes,
                                   .length = xml->length,
                                   .mime = "application/xml",
                                   .description = "The same facts as OASIS UBL 2.3"};
            options.attachments = &with;
        }
    }
    return sv_form_pdf(m->d->press, m->d->arena, form, m->d->tree, &options, &m->buf, &m->d->findings, err);
}

static sv_status make_one(maker *m, size_t i, sv_error *err)
{
    sv_buf_reset(&m->buf);
    bool written = true;
    sv_status s = SV_OK;
    switch (papers[i].kind) {
    case FORM: s = make_form(m, papers[i].form, err); break;
    case UBL: s = sv_ubl_write(m->d->tree, papers[i].ubl, &m->buf, &written, err); break;
    case DATA_SHEET: s = sv_data_sheet_write(m->d->tree, &m->buf, err); break;
    case NOTE:
        written = *m->d->buyer_note;
        sv_put(&m->buf, m->d->buyer_note);
        break;
    }
    if (s || !written) return s;
    return add(m, papers[i].file, err);
}

static sv_status make_all(maker *m, sv_error *err)
{
    size_t said = m->d->findings.stops + m->d->findings.cautions + m->d->findings.notes;
    for (size_t i = 0; i < sizeof papers / sizeof *papers; i++) {
        if (papers[i].called != ALWAYS && !m->d->declaration.needed) continue;
        if (papers[i].called == ON_REQUEST && !m->options.card) continue;
        sv_status s = make_one(m, i, err);
        if (s) return s;
    }
    /* Drawing may have said more (a letter that no font has): judge the stops again, and write the dossier
     * anew. */
    if (m->d->findings.stops + m->d->findings.cautions + m->d->findings.notes == said) return SV_OK;
    sv_status s = sv_judge_stops(m->d, err);
    if (!s) s = sv_dossier_write(m->d, err);
    if (m->d->stopped) m->first = m->last = NULL;
    return s;
}

sv_status sv_papers_make(sv_dossier *dossier, const sv_papers_options *options, const sv_paper **out,
                         sv_error *err)
{
    maker m = {.d = dossier};
    if (options) m.options = *options;
    sv_buf_init(&m.buf, 0);
    sv_status s = dossier->stopped ? SV_OK : make_all(&m, err);
    if (!s) {
        sv_buf_reset(&m.buf);
        sv_node_json(dossier->tree, &m.buf);
        s = add(&m, dossier_file, err);
    }
    sv_buf_free(&m.buf);
    *out = m.first;
    return s;
}
