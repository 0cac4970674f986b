/* pdf.c - the PDF pen: pages, rules and metadata by libharu, fonts of our own through its object layer. */
#include "papers/page.h"
#include "text/text.h"

#include <hpdf.h>
#include <hpdf_doc.h>
#include <hpdf_objects.h>
#include <hpdf_pages.h>
#include <hpdf_utils.h>
#include <string.h>

typedef struct pdf {
    HPDF_Doc doc;
    sv_fonts *fonts;
    sv_arena *arena;
} pdf;

/* ---- small objects -------------------------------------------------------------------------- */

static HPDF_STATUS say_deflated(HPDF_Dict dict, HPDF_Stream stream)
{
    (void)dict;
    return HPDF_Stream_WriteStr(stream, "/Filter/FlateDecode\012");
}

static HPDF_Dict new_dict(pdf *p)
{
    HPDF_Dict d = HPDF_Dict_New(p->doc->mmgr);
    if (d != NULL) HPDF_Xref_Add(p->doc->xref, d);
    return d;
}

/* A stream whose bytes are deflated already. */
static HPDF_Dict deflated_stream(pdf *p, const void *bytes, size_t n)
{
    HPDF_Dict s = HPDF_DictStream_New(p->doc->mmgr, p->doc->xref);
    if (s == NULL) return NULL;
    s->write_fn = say_deflated;
    HPDF_Stream_Write(s->stream, (HPDF_BYTE *)bytes, (HPDF_UINT)n);
    return s;
}

static HPDF_Binary utf16_text(pdf *p, const char *text)
{
    size_t n = strlen(text);
    uint8_t *u = sv_alloc(p->arena, 4 * n + 2);
    size_t k = 2;
    if (u == NULL) return NULL;
    u[0] = 0xFE;
    u[1] = 0xFF;
    for (const char *t = text, *end = text + n; t < end;) {
        uint32_t c = sv_utf8_next(&t, end);
        uint32_t unit[2] = {c < 0x10000 ? c : 0xD7C0 + (c >> 10), 0xDC00 + (c & 0x3FF)};
        for (int i = 0; i < (c < 0x10000 ? 1 : 2); i++) {
            u[k++] = (uint8_t)(unit[i] >> 8);
            u[k++] = (uint8_t)(unit[i] & 0xFF);
        }
    }
    return HPDF_Binary_New(p->doc->mmgr, u, (HPDF_UINT)k);
}

static HPDF_String plain_text(pdf *p, const char *text)
{
    return HPDF_String_New(p->doc->mmgr, text, NULL);
}

/* ---- fonts ---------------------------------------------------------------------------------- */

static HPDF_STATUS write_widths(HPDF_Dict dict, HPDF_Stream stream)
{
    const sv_subset *cut = dict->attr;
    HPDF_Stream_WriteStr(stream, "/W ");
    HPDF_Stream_WriteStr(stream, cut->widths);
    return HPDF_Stream_WriteStr(stream, "\012");
}

static void font_name(const sv_face_use *use, const sv_subset *cut, char out[96])
{
    static const char *const ending[SV_FONT_STYLES] = {"", "-Bold", "", ""};
    size_t n = 0;
    for (const char *t = cut->tag; *t != '\0'; t++)
        out[n++] = *t;
    out[n++] = '+';
    for (const char *t = sv_face_family(use->face); *t != '\0' && n < 80; t++)
        if (*t != ' ') out[n++] = *t;
    for (const char *t = ending[sv_face_style(use->face)]; *t != '\0'; t++)
        out[n++] = *t;
    out[n] = '\0';
}

static HPDF_Dict descriptor(pdf *p, const sv_face_use *use, const sv_subset *cut, const char *name)
{
    int32_t box[6];
    sv_face_box(use->face, box);
    HPDF_Dict d = new_dict(p);
    HPDF_Dict_AddName(d, "Type", "FontDescriptor");
    HPDF_Dict_AddName(d, "FontName", name);
    HPDF_Dict_AddNumber(d, "Flags", 4);
    HPDF_Box b = {(HPDF_REAL)box[0], (HPDF_REAL)box[1], (HPDF_REAL)box[2], (HPDF_REAL)box[3]};
    HPDF_Dict_Add(d, "FontBBox", HPDF_Box_Array_New(p->doc->mmgr, b));
    HPDF_Dict_AddNumber(d, "ItalicAngle", 0);
    HPDF_Dict_AddNumber(d, "Ascent", box[4]);
    HPDF_Dict_AddNumber(d, "Descent", box[5]);
    HPDF_Dict_AddNumber(d, "CapHeight", 716);
    HPDF_Dict_AddNumber(d, "StemV", sv_face_style(use->face) == SV_FONT_BOLD ? 140 : 84);
    HPDF_Dict file = deflated_stream(p, cut->file, cut->file_bytes);
    if (sv_face_is_cff(use->face))
        HPDF_Dict_AddName(file, "Subtype", "CIDFontType0C");
    else
        HPDF_Dict_AddNumber(file, "Length1", (HPDF_INT32)cut->raw_bytes);
    HPDF_Dict_Add(d, sv_face_is_cff(use->face) ? "FontFile3" : "FontFile2", file);
    return d;
}

static HPDF_Dict descendant(pdf *p, const sv_face_use *use, const sv_subset *cut, const char *name)
{
    bool cff = sv_face_is_cff(use->face);
    HPDF_Dict d = new_dict(p);
    if (d == NULL) return NULL;
    HPDF_Dict_AddName(d, "Type", "Font");
    HPDF_Dict_AddName(d, "Subtype", cff ? "CIDFontType0" : "CIDFontType2");
    HPDF_Dict_AddName(d, "BaseFont", name);
    if (!cff && cut->map == NULL) HPDF_Dict_AddName(d, "CIDToGIDMap", "Identity");
    if (!cff && cut->map != NULL)
        HPDF_Dict_Add(d, "CIDToGIDMap", deflated_stream(p, cut->map, cut->map_bytes));
    HPDF_Dict info = HPDF_Dict_New(p->doc->mmgr);
    HPDF_Dict_Add(info, "Registry", plain_text(p, "Adobe"));
    HPDF_Dict_Add(info, "Ordering", plain_text(p, "Identity"));
    HPDF_Dict_AddNumber(info, "Supplement", 0);
    HPDF_Dict_Add(d, "CIDSystemInfo", info);
    HPDF_Dict_AddNumber(d, "DW", 1000);
    d->attr = (void *)cut;
    d->write_fn = write_widths;
    HPDF_Dict_Add(d, "FontDescriptor", descriptor(p, use, cut, name));
    return d;
}

static HPDF_Dict add_font(pdf *p, sv_face_use *use)
{
    const sv_subset *cut = sv_face_cut(use);
    if (cut == NULL) return NULL;
    char name[96];
    font_name(use, cut, name);
    HPDF_Dict font = new_dict(p);
    HPDF_Dict_AddName(font, "Type", "Font");
    HPDF_Dict_AddName(font, "Subtype", "Type0");
    HPDF_Dict_AddName(font, "BaseFont", name);
    HPDF_Dict_AddName(font, "Encoding", "Identity-H");
    HPDF_Array list = HPDF_Array_New(p->doc->mmgr);
    HPDF_Dict_Add(font, "DescendantFonts", list);
    HPDF_Array_Add(list, descendant(p, use, cut, name));
    HPDF_Dict_Add(font, "ToUnicode", deflated_stream(p, cut->unicode, cut->unicode_bytes));
    return font;
}

/* One resource for all pages: each face has the same name on each. */
static bool add_fonts(pdf *p, const sv_faces_used *faces, HPDF_Dict fonts)
{
    for (size_t i = 0; i < faces->count; i++) {
        HPDF_Dict font = add_font(p, &faces->use[i]);
        if (font == NULL) return false;
        HPDF_Dict_Add(fonts, sv_format(p->arena, "F%zu", i + 1), font);
    }
    return true;
}

/* ---- pages ---------------------------------------------------------------------------------- */

static HPDF_REAL real_points(int32_t um)
{
    return (HPDF_REAL)((double)um * 72.0 / 25400.0);
}

static bool add_page(pdf *p, const sv_page *page, sv_faces_used *faces, HPDF_Dict fonts, sv_buf *content)
{
    sv_buf_reset(content);
    size_t n = 0;
    const void *z =
        sv_pdf_content(page, faces, content)
            ? sv_deflate(p->fonts, p->arena, content->length == 0 ? "" : content->data, content->length, &n)
            : NULL;
    HPDF_Page to = z == NULL ? NULL : HPDF_AddPage(p->doc);
    if (to == NULL) return false;
    HPDF_Page_SetWidth(to, real_points(page->w));
    HPDF_Page_SetHeight(to, real_points(page->h));
    HPDF_PageAttr attr = to->attr;
    attr->contents->write_fn = say_deflated;
    HPDF_Stream_Write(attr->stream, (HPDF_BYTE *)z, (HPDF_UINT)n);
    HPDF_Dict resources = HPDF_Page_GetInheritableItem(to, "Resources", HPDF_OCLASS_DICT);
    HPDF_Dict_Add(resources, "Font", fonts);
    return true;
}

static void add_outline(pdf *p, const sv_pages *pages)
{
    HPDF_UINT i = 0;
    for (const sv_page *page = pages->first; page != NULL; page = page->next, i++) {
        for (const sv_page_label *l = page->label; l != NULL; l = l->next) {
            HPDF_Outline entry = HPDF_CreateOutline(p->doc, NULL, "-", NULL);
            HPDF_Destination to = HPDF_Page_CreateDestination(HPDF_GetPageByIndex(p->doc, i));
            if (entry == NULL || to == NULL) return;
            HPDF_Dict_Add(entry, "Title", utf16_text(p, l->text));
            HPDF_Outline_SetDestination(entry, to);
        }
    }
}

static void describe(pdf *p, const sv_pages *pages)
{
    HPDF_Dict_Add(p->doc->info, "Title", utf16_text(p, pages->title));
    HPDF_Dict_Add(p->doc->catalog, "Lang", plain_text(p, pages->language));
    HPDF_Dict view = HPDF_Dict_New(p->doc->mmgr);
    HPDF_Dict_AddBoolean(view, "DisplayDocTitle", HPDF_TRUE);
    HPDF_Dict_AddName(view, "PrintScaling", "None"); /* forms are printed at full size */
    HPDF_Dict_Add(p->doc->catalog, "ViewerPreferences", view);
}

/* ---- fields to fill in ---------------------------------------------------------------------- */

static HPDF_Dict field(pdf *p, const sv_page *page, const sv_mark *m, HPDF_Page to)
{
    HPDF_Dict f = new_dict(p);
    HPDF_Dict_AddName(f, "Type", "Annot");
    HPDF_Dict_AddName(f, "Subtype", "Widget");
    HPDF_Dict_AddName(f, "FT", "Tx");
    HPDF_Dict_Add(f, "T", utf16_text(p, m->name));
    HPDF_Dict_Add(f, "TU", utf16_text(p, m->name)); /* what is read aloud */
    HPDF_Dict_AddNumber(f, "F", 4);
    HPDF_Box box = {real_points(m->x), real_points(page->h - m->y - m->h), real_points(m->x + m->w),
                    real_points(page->h - m->y)};
    HPDF_Dict_Add(f, "Rect", HPDF_Box_Array_New(p->doc->mmgr, box));
    HPDF_Dict_Add(f, "DA", plain_text(p, "/Helv 9 Tf 0 g"));
    HPDF_Dict_Add(f, "P", to);
    return f;
}

/* The viewer draws what is typed, in a font that every viewer has. */
static void add_form(pdf *p, HPDF_Array fields)
{
    HPDF_Dict form = new_dict(p), resources = HPDF_Dict_New(p->doc->mmgr),
              fonts = HPDF_Dict_New(p->doc->mmgr);
    HPDF_Dict_Add(form, "Fields", fields);
    HPDF_Dict_AddBoolean(form, "NeedAppearances", HPDF_TRUE);
    HPDF_Dict_Add(form, "DR", resources);
    HPDF_Dict_Add(resources, "Font", fonts);
    HPDF_Dict_Add(fonts, "Helv", HPDF_GetFont(p->doc, "Helvetica", NULL));
    HPDF_Dict_Add(form, "DA", plain_text(p, "/Helv 9 Tf 0 g"));
    HPDF_Dict_Add(p->doc->catalog, "AcroForm", form);
}

static void add_fields(pdf *p, const sv_pages *pages)
{
    HPDF_Array all = HPDF_Array_New(p->doc->mmgr);
    HPDF_UINT i = 0, n = 0;
    for (const sv_page *page = pages->first; page != NULL; page = page->next, i++) {
        HPDF_Array here = NULL;
        HPDF_Page to = HPDF_GetPageByIndex(p->doc, i);
        for (const sv_mark *m = page->first; m != NULL && to != NULL; m = m->next) {
            if (m->kind != SV_MARK_INPUT) continue;
            if (here == NULL) HPDF_Dict_Add(to, "Annots", here = HPDF_Array_New(p->doc->mmgr));
            HPDF_Dict f = field(p, page, m, to);
            HPDF_Array_Add(here, f);
            HPDF_Array_Add(all, f);
            n++;
        }
    }
    if (n > 0)
        add_form(p, all);
    else
        HPDF_Array_Free(all);
}

/* ---- attachments ---------------------------------------------------------------------------- */

static HPDF_Dict file_object(pdf *p, const sv_attachment *a)
{
    size_t n = 0;
    const void *z = sv_deflate(p->fonts, p->arena, a->bytes, a->length, &n);
    if (z == NULL) return NULL;
    HPDF_Dict stream = deflated_stream(p, z, n);
    HPDF_Dict_AddName(stream, "Type", "EmbeddedFile");
    HPDF_Dict_AddName(stream, "Subtype", a->mime);
    HPDF_Dict size = HPDF_Dict_New(p->doc->mmgr);
    HPDF_Dict_AddNumber(size, "Size", (HPDF_INT32)a->length);
    HPDF_Dict_Add(stream, "Params", size);
    HPDF_Dict spec = new_dict(p), files = HPDF_Dict_New(p->doc->mmgr);
    HPDF_Dict_AddName(spec, "Type", "Filespec");
    HPDF_Dict_Add(spec, "F", plain_text(p, a->name));
    HPDF_Dict_Add(spec, "UF", utf16_text(p, a->name));
    HPDF_Dict_Add(spec, "Desc", utf16_text(p, a->description));
    HPDF_Dict_Add(files, "F", stream);
    HPDF_Dict_Add(spec, "EF", files);
    return spec;
}

static bool attach(pdf *p, const sv_attachment *first)
{
    if (first == NULL) return true;
    HPDF_Array list = HPDF_Array_New(p->doc->mmgr);
    HPDF_Dict tree = HPDF_Dict_New(p->doc->mmgr), names = HPDF_Dict_New(p->doc->mmgr);
    HPDF_Dict_Add(p->doc->catalog, "Names", names);
    HPDF_Dict_Add(names, "EmbeddedFiles", tree);
    HPDF_Dict_Add(tree, "Names", list);
    for (const sv_attachment *a = first; a != NULL; a = a->next) {
        HPDF_Dict spec = file_object(p, a);
        if (spec == NULL) return false;
        HPDF_Array_Add(list, plain_text(p, a->name));
        HPDF_Array_Add(list, spec);
    }
    return true;
}

/* ---- the whole ------------------------------------------------------------------------------ */

static sv_status copy_out(pdf *p, sv_buf *out, sv_error *err)
{
    if (HPDF_SaveToStream(p->doc) != HPDF_OK || HPDF_GetError(p->doc) != HPDF_OK)
        return sv_fail(err, SV_NO_MEMORY, "the PDF could not be made (libharu code %04lX)",
                       (unsigned long)HPDF_GetError(p->doc));
    HPDF_UINT n = 0;
    for (HPDF_UINT i = 0; i < HPDF_MemStream_GetBufCount(p->doc->stream); i++) {
        const HPDF_BYTE *part = HPDF_MemStream_GetBufPtr(p->doc->stream, i, &n);
        if (part != NULL) sv_put_n(out, part, n);
    }
    return out->failed == SV_OK ? SV_OK
                                : sv_fail(err, out->failed, "the PDF is larger than the buffer may grow");
}

static sv_status fill(pdf *p, const sv_pages *pages, const sv_attachment *attachments, bool fillable,
                      sv_buf *content, sv_error *err)
{
    p->doc->pdf_version = HPDF_VER_17;
    sv_faces_used faces = {.arena = p->arena};
    HPDF_Dict fonts = new_dict(p);
    for (const sv_page *page = pages->first; page != NULL; page = page->next)
        if (!add_page(p, page, &faces, fonts, content))
            return sv_fail(err, SV_NO_MEMORY, "out of memory while drawing a page");
    if (!add_fonts(p, &faces, fonts))
        return sv_fail(err, SV_NO_MEMORY, "a font could not be cut for the PDF");
    add_outline(p, pages);
    describe(p, pages);
    if (fillable) add_fields(p, pages);
    if (!attach(p, attachments)) return sv_fail(err, SV_NO_MEMORY, "out of memory while attaching a file");
    return SV_OK;
}

/* libharu's own memory pool is not used: it hands out objects on odd addresses. */
sv_status sv_pdf_write(sv_fonts *fonts, const sv_pages *pages, const sv_attachment *attachments,
                       bool fillable, sv_buf *out, sv_error *err)
{
    pdf p = {.doc = HPDF_New(NULL, NULL), .fonts = fonts, .arena = pages->arena};
    if (p.doc == NULL) return sv_fail(err, SV_NO_MEMORY, "out of memory while opening a PDF");
    sv_buf content;
    sv_buf_init(&content, 0);
    sv_status status = fill(&p, pages, attachments, fillable, &content, err);
    if (status == SV_OK) status = copy_out(&p, out, err);
    sv_buf_free(&content);
    HPDF_Free(p.doc);
    return status;
}
