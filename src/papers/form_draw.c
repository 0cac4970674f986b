/* form_draw.c - from the name of a form and a dossier to a PDF or an SVG; several to a bundle. */
#include "papers/form.h"
#include "papers/layout.h"
#include "papers/papers.h"
#include "selvedge/papers.h"

#include <stdlib.h>

sv_status sv_papers_open(sv_world *world, sv_error *err)
{
    return sv_world_load(world, "papers/", err);
}

static sv_status lay_out(sv_press *press, sv_fonts *fonts, const char *name, const sv_node *dossier,
                         const char *template_file, sv_pages *pages, sv_findings *findings, sv_error *err)
{
    const sv_form *form = NULL;
    sv_status status = sv_form_of(press, name, template_file, &form, err);
    if (status != SV_OK) return status;
    sv_fonts_place(fonts, sv_text_at(dossier, "addressee.country"));
    return sv_form_lay_out(press->world, fonts, form, dossier, pages, findings, err);
}

static sv_status lay_out_one(sv_press *press, const char *name, const sv_node *dossier,
                             const sv_form_options *options, sv_fonts **fonts, sv_pages *pages,
                             sv_findings *findings, sv_error *err)
{
    sv_status status = sv_fonts_of(press, fonts, err);
    if (status != SV_OK) return status;
    sv_fonts_start(*fonts);
    return lay_out(press, *fonts, name, dossier, options == NULL ? NULL : options->template_file, pages,
                   findings, err);
}

sv_status sv_form_pdf(sv_press *press, sv_arena *arena, const char *name, const sv_node *dossier,
                      const sv_form_options *options, sv_buf *out, sv_findings *findings, sv_error *err)
{
    sv_fonts *fonts = NULL;
    sv_pages pages = {.arena = arena};
    sv_status status = lay_out_one(press, name, dossier, options, &fonts, &pages, findings, err);
    if (status != SV_OK) return status;
    return sv_pdf_write(fonts, &pages, options == NULL ? NULL : options->attachments,
                        options != NULL && options->fillable, out, err);
}

sv_status sv_form_svg(sv_press *press, sv_arena *arena, const char *name, const sv_node *dossier,
                      const sv_form_options *options, size_t sheet, size_t *sheets, sv_buf *out,
                      sv_findings *findings, sv_error *err)
{
    sv_fonts *fonts = NULL;
    sv_pages pages = {.arena = arena, .fields = true};
    sv_status status = lay_out_one(press, name, dossier, options, &fonts, &pages, findings, err);
    if (status != SV_OK) return status;
    if (sheets != NULL) *sheets = pages.count;
    const sv_page *page = pages.first;
    for (size_t i = 0; page != NULL && i < sheet; i++)
        page = page->next;
    if (page == NULL) return sv_fail(err, SV_USAGE, "the form %s has no sheet %zu here", name, sheet + 1);
    return sv_svg_write(page, pages.title, pages.language, out);
}

/* ---- bundles -------------------------------------------------------------------------------- */

static sv_status lay_out_item(sv_press *press, sv_fonts *fonts, const sv_bundle_item *item, sv_pages *pages,
                              sv_findings *findings, sv_error *err)
{
    sv_page *before = pages->last;
    sv_status status =
        lay_out(press, fonts, item->form, item->dossier, item->template_file, pages, findings, err);
    sv_page *first = before == NULL ? pages->first : before->next;
    if (status == SV_OK && first != NULL && item->label != NULL) sv_page_name(pages, first, item->label);
    return status;
}

static sv_status unknown_stock(const sv_table *t, const char *name, sv_error *err)
{
    sv_buf all;
    sv_buf_init(&all, 512);
    for (size_t i = 0; i < t->rows; i++)
        sv_put_format(&all, "%s%s", i == 0 ? "" : ", ", sv_cell(t, i, 0));
    sv_status status = sv_fail(err, SV_USAGE, "no stock is named %s; there are %s", name,
                               all.length == 0 ? "none" : all.data);
    sv_buf_free(&all);
    return status;
}

/* Millimetres of a stock by its name. */
static sv_status stock_size(const sv_world *world, const char *name, int32_t *w, int32_t *h, sv_error *err)
{
    const sv_table *t = NULL;
    sv_status status = sv_world_need(world, "papers/stock", &t, err);
    if (status != SV_OK) return status;
    size_t row = sv_table_find(t, name);
    if (row == SV_NO_ROW) return unknown_stock(t, name, err);
    *w = (int32_t)strtol(sv_cell(t, row, sv_table_column(t, "width")), NULL, 10) * 1000;
    *h = (int32_t)strtol(sv_cell(t, row, sv_table_column(t, "height")), NULL, 10) * 1000;
    return SV_OK;
}

sv_status sv_bundle_pdf(sv_press *press, sv_arena *arena, const sv_bundle_item *item, size_t items,
                        const sv_bundle_options *options, sv_buf *out, sv_findings *findings, sv_error *err)
{
    sv_fonts *fonts = NULL;
    sv_status status = sv_fonts_of(press, &fonts, err);
    if (status != SV_OK) return status;
    sv_fonts_start(fonts);
    sv_pages pages = {.arena = arena, .title = options->title}, sheets = {.arena = arena};
    for (size_t i = 0; i < items && status == SV_OK; i++)
        status = lay_out_item(press, fonts, &item[i], &pages, findings, err);
    if (status != SV_OK) return status;
    if (options->stock == NULL) return sv_pdf_write(fonts, &pages, NULL, false, out, err);
    int32_t w = 0, h = 0;
    status = stock_size(press->world, options->stock, &w, &h, err);
    if (status == SV_OK) status = sv_impose(&pages, w, h, options->cut_marks, &sheets, err);
    return status == SV_OK ? sv_pdf_write(fonts, &sheets, NULL, false, out, err) : status;
}
