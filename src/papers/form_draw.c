/* form_draw.c - from the name of a form and a dossier to a PDF or an SVG. */
#include "papers/form.h"
#include "papers/layout.h"
#include "papers/papers.h"
#include "selvedge/papers.h"

sv_status sv_papers_open(sv_world *world, sv_error *err)
{
    return sv_world_load(world, "papers/", err);
}

static sv_status lay_out(sv_press *press, const char *name, const sv_node *dossier,
                         const sv_form_options *options, sv_fonts **fonts, sv_pages *pages,
                         sv_findings *findings, sv_error *err)
{
    const sv_form *form = NULL;
    sv_status status = sv_fonts_of(press, fonts, err);
    if (status == SV_OK)
        status = sv_form_of(press, name, options == NULL ? NULL : options->template_file, &form, err);
    if (status != SV_OK) return status;
    sv_fonts_start(*fonts, sv_text_at(dossier, "addressee.country"));
    return sv_form_lay_out(press->world, *fonts, form, dossier, pages, findings, err);
}

sv_status sv_form_pdf(sv_press *press, sv_arena *arena, const char *name, const sv_node *dossier,
                      const sv_form_options *options, sv_buf *out, sv_findings *findings, sv_error *err)
{
    sv_fonts *fonts = NULL;
    sv_pages pages = {.arena = arena};
    sv_status status = lay_out(press, name, dossier, options, &fonts, &pages, findings, err);
    if (status != SV_OK) return status;
    return sv_pdf_write(fonts, &pages, options == NULL ? NULL : options->attachments, out, err);
}

sv_status sv_form_svg(sv_press *press, sv_arena *arena, const char *name, const sv_node *dossier,
                      const sv_form_options *options, size_t sheet, size_t *sheets, sv_buf *out,
                      sv_findings *findings, sv_error *err)
{
    sv_fonts *fonts = NULL;
    sv_pages pages = {.arena = arena};
    sv_status status = lay_out(press, name, dossier, options, &fonts, &pages, findings, err);
    if (status != SV_OK) return status;
    if (sheets != NULL) *sheets = pages.count;
    const sv_page *page = pages.first;
    for (size_t i = 0; page != NULL && i < sheet; i++)
        page = page->next;
    if (page == NULL) return sv_fail(err, SV_USAGE, "the form %s has no sheet %zu here", name, sheet + 1);
    return sv_svg_write(page, pages.title, pages.language, out);
}
