/* form_read.c - a form template from XML. No network, no entities, a limit on its size. */
#include "papers/form.h"

#include <libxml/parser.h>
#include <libxml/tree.h>
#include <libxml/xmlschemas.h>
#include <stdlib.h>
#include <string.h>

#include "base/files.h"

#define LARGEST_FORM ((size_t)1 << 20)
#define DEEPEST_FORM 6

typedef struct reader {
    const sv_world *world;
    const sv_table *captions;
    sv_arena *arena;
    const char *file;
    sv_form *form;
    sv_error *err;
    sv_status status;
} reader;

/* ---- saying what is wrong ------------------------------------------------------------------- */

static void wrong(reader *r, const xmlNode *at, const char *what, const char *detail)
{
    if (r->status != SV_OK) return;
    r->status = sv_fail(r->err, SV_BAD_FORMAT, "%s:%ld: %s%s%s", r->file, xmlGetLineNo(at), what,
                        *detail == '\0' ? "" : ": ", detail);
}

static void on_xml_fault(void *to, xmlErrorPtr e)
{
    reader *r = to;
    if (r->status != SV_OK || e == NULL || e->level < XML_ERR_ERROR) return;
    const char *message = e->message == NULL ? "not well formed" : e->message;
    r->status =
        sv_fail(r->err, SV_BAD_FORMAT, "%s:%d: %.*s", r->file, e->line, (int)strcspn(message, "\n"), message);
}

/* The parser hands over itself; nothing global is set, since other rooms read XML too. */
static void on_parse_fault(void *to, xmlErrorPtr e)
{
    const xmlParserCtxt *in = to;
    if (in != NULL && in->_private != NULL) on_xml_fault(in->_private, e);
}

/* ---- attributes ----------------------------------------------------------------------------- */

static const char *attribute(reader *r, const xmlNode *at, const char *name)
{
    for (const xmlAttr *a = at->properties; a != NULL; a = a->next) {
        if (strcmp((const char *)a->name, name) != 0) continue;
        const xmlNode *t = a->children;
        return t == NULL || t->content == NULL ? "" : sv_copy(r->arena, (const char *)t->content);
    }
    return NULL;
}

static const char *text_or(reader *r, const xmlNode *at, const char *name, const char *otherwise)
{
    const char *t = attribute(r, at, name);
    return t == NULL ? otherwise : t;
}

/* A decimal times 10^digits: millimetres to micrometres (3), points to hundredths (2). */
static int32_t scaled(reader *r, const xmlNode *at, const char *name, int digits, int32_t otherwise)
{
    const char *t = attribute(r, at, name);
    if (t == NULL) return otherwise;
    sv_dec d;
    if (!sv_dec_read(t, &d)) {
        wrong(r, at, sv_format(r->arena, "%s is not a number", name), t);
        return otherwise;
    }
    sv_dec whole = sv_dec_mul(d, sv_dec_int(digits == 3 ? 1000 : digits == 2 ? 100 : 1));
    int64_t v = sv_dec_to_int(whole, SV_HALF_UP);
    if (!whole.known || v > 3000000 || v < -3000000) {
        wrong(r, at, sv_format(r->arena, "%s is out of range", name), t);
        return otherwise;
    }
    return (int32_t)v;
}

static int32_t mm(reader *r, const xmlNode *at, const char *name)
{
    return scaled(r, at, name, 3, 0);
}

static bool yes(reader *r, const xmlNode *at, const char *name)
{
    return strcmp(text_or(r, at, name, "no"), "yes") == 0;
}

static uint8_t gray(reader *r, const xmlNode *at, const char *name, int32_t otherwise)
{
    int32_t percent = scaled(r, at, name, 0, otherwise); /* of black */
    return (uint8_t)(255 - (percent < 0 ? 0 : percent > 100 ? 100 : percent) * 255 / 100);
}

static sv_align align_of(const char *word)
{
    if (strcmp(word, "middle") == 0) return SV_ALIGN_MIDDLE;
    return strcmp(word, "end") == 0 ? SV_ALIGN_END : SV_ALIGN_START;
}

static sv_font_style font_of(const char *word)
{
    if (strcmp(word, "bold") == 0) return SV_FONT_BOLD;
    if (strcmp(word, "heavy") == 0) return SV_FONT_HEAVY;
    return strcmp(word, "slanted") == 0 ? SV_FONT_SLANTED : SV_FONT_REGULAR;
}

static unsigned fit_of(const char *words)
{
    unsigned fit = 0;
    const char *wrap = strstr(words, "wrap"), *shrink = strstr(words, "shrink");
    if (wrap != NULL) fit |= SV_FIT_WRAP;
    if (shrink != NULL) fit |= SV_FIT_SHRINK;
    if (strstr(words, "continue") != NULL) fit |= SV_FIT_CONTINUE | SV_FIT_WRAP;
    if (wrap != NULL && (shrink == NULL || wrap < shrink)) fit |= SV_FIT_WRAP_FIRST;
    return fit;
}

/* ---- styles and captions -------------------------------------------------------------------- */

static void read_style(reader *r, const xmlNode *at)
{
    sv_style *s = SV_NEW(r->arena, sv_style);
    if (s == NULL) return;
    s->name = text_or(r, at, "name", "");
    s->font = font_of(text_or(r, at, "font", "regular"));
    s->size = scaled(r, at, "size", 2, 800);
    s->floor = scaled(r, at, "floor", 2, s->size);
    s->leading = scaled(r, at, "leading", 0, 115);
    s->gray = gray(r, at, "black", 100);
    s->next = r->form->styles;
    r->form->styles = s;
    if (s->size < 100 || s->size > 20000 || s->floor < 100 || s->floor > s->size)
        wrong(r, at, "a style's size is 1 to 200 points and its floor not larger", s->name);
}

static const sv_style *style_named(reader *r, const xmlNode *at, const char *name)
{
    for (const sv_style *s = r->form->styles; s != NULL; s = s->next)
        if (strcmp(s->name, name) == 0) return s;
    wrong(r, at, "no style of that name stands before this line", name);
    return r->form->styles;
}

static void read_caption(reader *r, const xmlNode *at, sv_item *item)
{
    const char *key = text_or(r, at, "key", "");
    size_t row = sv_table_find(r->captions, key);
    if (row == SV_NO_ROW) {
        wrong(r, at, "no caption of that key in the table papers/captions", key);
        return;
    }
    const sv_table *t = r->captions;
    item->caption = (sv_caption){key, sv_cell(t, row, sv_table_column(t, "en")),
                                 sv_cell(t, row, sv_table_column(t, "fr")), ""};
    if (*r->form->numbers != '\0' && !yes(r, at, "unnumbered"))
        item->caption.number = sv_cell(t, row, sv_table_column(t, r->form->numbers));
    const char *show = text_or(r, at, "show", "en fr");
    item->english = strstr(show, "en") != NULL;
    item->french = strstr(show, "fr") != NULL && *item->caption.fr != '\0' &&
                   strcmp(item->caption.fr, item->caption.en) != 0;
    item->stacked = yes(r, at, "stacked");
}

/* ---- items ---------------------------------------------------------------------------------- */

static const struct {
    const char *element;
    sv_item_kind kind;
} kinds[] = {{"box", SV_ITEM_BOX},         {"rule", SV_ITEM_RULE},   {"caption", SV_ITEM_CAPTION},
             {"text", SV_ITEM_TEXT},       {"field", SV_ITEM_TEXT},  {"tick", SV_ITEM_TICK},
             {"barcode", SV_ITEM_BARCODE}, {"input", SV_ITEM_INPUT}, {"group", SV_ITEM_GROUP},
             {"repeat", SV_ITEM_REPEAT},   {"tail", SV_ITEM_TAIL},   {"more", SV_ITEM_MORE}};

static bool kind_of(const xmlNode *at, sv_item_kind *out)
{
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
        if (strcmp((const char *)at->name, kinds[i].element) == 0) {
            *out = kinds[i].kind;
            return true;
        }
    return false;
}

/* The text of an element: runs of blanks and line ends are one blank; \n in it is a line end. */
static const char *content_of(reader *r, const xmlNode *at)
{
    size_t n = 0;
    for (const xmlNode *t = at->children; t != NULL; t = t->next)
        if (t->type == XML_TEXT_NODE || t->type == XML_CDATA_SECTION_NODE)
            n += strlen((const char *)t->content);
    char *out = sv_alloc(r->arena, n + 1);
    if (out == NULL) return "";
    size_t k = 0;
    for (const xmlNode *t = at->children; t != NULL; t = t->next) {
        if (t->type != XML_TEXT_NODE && t->type != XML_CDATA_SECTION_NODE) continue;
        for (const char *p = (const char *)t->content; *p != '\0'; p++) {
            if (p[0] == '\\' && p[1] == 'n') {
                while (k > 0 && out[k - 1] == ' ')
                    k--;
                out[k++] = '\n';
                p++;
            } else if (strchr(" \t\r\n", *p) == NULL) {
                out[k++] = *p;
            } else if (k > 0 && out[k - 1] != ' ' && out[k - 1] != '\n') {
                out[k++] = ' ';
            }
        }
    }
    while (k > 0 && out[k - 1] == ' ')
        k--;
    out[k] = '\0';
    return out;
}

static sv_item *read_items(reader *r, const xmlNode *parent, int depth);

static void read_marks(reader *r, const xmlNode *at, sv_item *item)
{
    item->line =
        scaled(r, at, "line", 3, item->kind == SV_ITEM_BOX || item->kind == SV_ITEM_RULE ? 200 : 250);
    item->gray = gray(r, at, "black", 100);
    item->dashed = yes(r, at, "dashed");
    if (item->kind == SV_ITEM_BOX && attribute(r, at, "fill") != NULL) {
        item->filled = true;
        item->gray = gray(r, at, "fill", 0);
    }
}

static void read_words(reader *r, const xmlNode *at, sv_item *item)
{
    bool caption = item->kind == SV_ITEM_CAPTION;
    item->style = style_named(r, at, text_or(r, at, "style", caption ? "caption" : "value"));
    item->fit = fit_of(text_or(r, at, "fit", caption ? "wrap shrink" : "shrink"));
    item->align = align_of(text_or(r, at, "align", "start"));
    item->valign = align_of(text_or(r, at, "valign", caption ? "start" : "middle"));
    if (!caption && item->valign == SV_ALIGN_START) item->fit |= SV_FIT_LEVEL;
    if (caption) read_caption(r, at, item);
    if (item->kind == SV_ITEM_TEXT) item->text = content_of(r, at);
    if (caption || strpbrk(item->text, "{[") == NULL) item->kept = SV_NEW(r->arena, struct sv_kept_block);
}

static bool has_words(const sv_item *item)
{
    return item->kind == SV_ITEM_CAPTION || item->kind == SV_ITEM_TEXT || item->kind == SV_ITEM_MORE ||
           item->kind == SV_ITEM_BARCODE;
}

static sv_item *read_item(reader *r, const xmlNode *at, sv_item_kind kind, int depth)
{
    sv_item *item = SV_NEW(r->arena, sv_item);
    if (item == NULL) return NULL;
    item->kind = kind;
    item->line_number = (int)xmlGetLineNo(at);
    item->x = mm(r, at, "x");
    item->y = mm(r, at, "y");
    item->w = mm(r, at, "w");
    item->h = mm(r, at, "h");
    item->name = text_or(r, at, "name", "");
    item->path = text_or(r, at, "path", "");
    item->when = text_or(r, at, "if", "");
    item->unless = text_or(r, at, "unless", "");
    item->pitch = mm(r, at, kind == SV_ITEM_BARCODE ? "module" : "row");
    item->limit = mm(r, at, "bottom");
    item->rows = (unsigned)scaled(r, at, "rows", 0, 0);
    item->text = kind == SV_ITEM_TICK ? text_or(r, at, "is", "") : "";
    read_marks(r, at, item);
    if (has_words(item)) read_words(r, at, item);
    bool holds = kind == SV_ITEM_GROUP || kind == SV_ITEM_REPEAT || kind == SV_ITEM_TAIL;
    if (holds && depth >= DEEPEST_FORM) wrong(r, at, "groups stand too deep in each other", "");
    if (holds && depth < DEEPEST_FORM) item->first = read_items(r, at, depth + 1);
    return item;
}

static sv_item *read_items(reader *r, const xmlNode *parent, int depth)
{
    sv_item *first = NULL, **at = &first;
    for (const xmlNode *n = parent->children; n != NULL && r->status == SV_OK; n = n->next) {
        sv_item_kind kind;
        if (n->type != XML_ELEMENT_NODE) continue;
        if (!kind_of(n, &kind)) {
            wrong(r, n, "no such element in a form", (const char *)n->name);
            break;
        }
        *at = read_item(r, n, kind, depth);
        if (*at == NULL) break;
        at = &(*at)->next;
    }
    return first;
}

/* ---- sheets and the whole ------------------------------------------------------------------- */

static void read_sheet(reader *r, const xmlNode *at)
{
    sv_sheet *sheet = SV_NEW(r->arena, sv_sheet), **end = &r->form->sheets;
    if (sheet == NULL) return;
    sheet->name = text_or(r, at, "name", "");
    sheet->w = mm(r, at, "width");
    sheet->h = mm(r, at, "height");
    sheet->next_name = text_or(r, at, "continued", "");
    sheet->then_name = text_or(r, at, "then", "");
    if (sheet->w < 10000 || sheet->h < 10000)
        wrong(r, at, "a sheet needs width and height of 10 mm at least", sheet->name);
    sheet->first = read_items(r, at, 0);
    while (*end != NULL)
        end = &(*end)->next;
    *end = sheet;
}

static sv_sheet *sheet_named(reader *r, const xmlNode *root, const char *name)
{
    if (*name == '\0') return NULL;
    for (sv_sheet *s = r->form->sheets; s != NULL; s = s->next)
        if (strcmp(s->name, name) == 0) return s;
    wrong(r, root, "no sheet of that name to go on with", name);
    return NULL;
}

static void join_sheets(reader *r, const xmlNode *root)
{
    if (r->form->sheets == NULL) wrong(r, root, "a form has one sheet at least", "");
    for (sv_sheet *s = r->form->sheets; s != NULL; s = s->next) {
        s->continued = sheet_named(r, root, s->next_name);
        s->then = sheet_named(r, root, s->then_name);
    }
}

static void read_root(reader *r, const xmlNode *root)
{
    if (root == NULL || strcmp((const char *)root->name, "form") != 0) {
        if (root != NULL) wrong(r, root, "the outermost element is not form", "");
        return;
    }
    r->form->name = text_or(r, root, "name", "");
    r->form->title = text_or(r, root, "title", "");
    r->form->language = text_or(r, root, "language", "en");
    r->form->numbers = text_or(r, root, "numbers", "");
    r->form->statements = text_or(r, root, "statements", "invoice");
    if (*r->form->numbers != '\0' && sv_table_column(r->captions, r->form->numbers) < 0)
        wrong(r, root, "the caption table has no such column of numbers", r->form->numbers);
    for (const xmlNode *n = root->children; n != NULL && r->status == SV_OK; n = n->next) {
        if (n->type != XML_ELEMENT_NODE) continue;
        if (strcmp((const char *)n->name, "style") == 0)
            read_style(r, n);
        else if (strcmp((const char *)n->name, "sheet") == 0)
            read_sheet(r, n);
        else
            wrong(r, n, "no such element in a form", (const char *)n->name);
    }
    join_sheets(r, root);
}

static const sv_builtin *builtin(const char *name)
{
    for (size_t i = 0; i < sv_builtin_count; i++)
        if (strcmp(sv_builtins[i].name, name) == 0) return &sv_builtins[i];
    return NULL;
}

static void validate(reader *r, xmlDoc *doc)
{
    const sv_builtin *b = builtin("forms/form.xsd");
    if (b == NULL) return;
    xmlSchemaParserCtxt *in = xmlSchemaNewMemParserCtxt(b->text, (int)(b->end - b->text));
    if (in != NULL) xmlSchemaSetParserStructuredErrors(in, on_xml_fault, r);
    xmlSchema *schema = in == NULL ? NULL : xmlSchemaParse(in);
    xmlSchemaValidCtxt *check = schema == NULL ? NULL : xmlSchemaNewValidCtxt(schema);
    if (check != NULL) {
        xmlSchemaSetValidStructuredErrors(check, on_xml_fault, r);
        int found = xmlSchemaValidateDoc(check, doc);
        if (found != 0 && r->status == SV_OK)
            wrong(r, xmlDocGetRootElement(doc), "not valid by forms/form.xsd", "");
        xmlSchemaFreeValidCtxt(check);
    }
    xmlSchemaFree(schema);
    xmlSchemaFreeParserCtxt(in);
}

static xmlDoc *parse(reader *r, const char *text, size_t bytes)
{
    xmlParserCtxt *in = xmlNewParserCtxt();
    if (in == NULL) return NULL;
    in->_private = r;
    in->sax->serror = on_parse_fault;
    xmlDoc *doc = xmlCtxtReadMemory(in, text, (int)bytes, r->file, NULL,
                                    XML_PARSE_NONET | XML_PARSE_BIG_LINES | XML_PARSE_NOCDATA);
    if (doc != NULL && doc->intSubset != NULL) {
        wrong(r, xmlDocGetRootElement(doc), "a form may not hold a document type", "");
    }
    xmlFreeParserCtxt(in);
    return doc;
}

sv_status sv_form_read(const sv_world *world, sv_arena *arena, const char *file, const char *text,
                       size_t bytes, bool checked, sv_form **out, sv_error *err)
{
    reader r = {.world = world, .arena = arena, .file = file, .err = err, .form = SV_NEW(arena, sv_form)};
    if (r.form == NULL) return sv_fail(err, SV_NO_MEMORY, "out of memory while reading %s", file);
    if (bytes > LARGEST_FORM) return sv_fail(err, SV_LIMIT, "%s: a form larger than 1 MB is not read", file);
    sv_status status = sv_world_need(world, "papers/captions", &r.captions, err);
    if (status != SV_OK) return status;
    xmlDoc *doc = parse(&r, text, bytes);
    if (doc != NULL && r.status == SV_OK && checked) validate(&r, doc);
    if (doc != NULL && r.status == SV_OK) read_root(&r, xmlDocGetRootElement(doc));
    if (doc == NULL && r.status == SV_OK) r.status = sv_fail(err, SV_BAD_FORMAT, "%s:1: not XML", file);
    xmlFreeDoc(doc);
    *out = r.form;
    if (r.status == SV_OK && sv_arena_failed(arena))
        return sv_fail(err, SV_NO_MEMORY, "out of memory while reading %s", file);
    if (r.status == SV_OK && checked) return sv_form_check_paths(world, arena, file, r.form, err);
    return r.status;
}

/* ---- kept by the press ---------------------------------------------------------------------- */

typedef struct kept_form {
    const char *name;
    sv_form *form;
    struct kept_form *next;
} kept_form;

typedef struct kept_forms {
    sv_arena *arena;
    kept_form *first;
} kept_forms;

static void drop_forms(void *slot)
{
    kept_forms *kept = slot;
    sv_arena *arena = kept->arena;
    sv_arena_free(arena); /* holds `kept` itself too */
}

static kept_forms *forms_of(sv_press *press)
{
    if (press->slot[SV_PRESS_FORMS] != NULL) return press->slot[SV_PRESS_FORMS];
    sv_arena *arena = sv_arena_new();
    kept_forms *kept = arena == NULL ? NULL : SV_NEW(arena, kept_forms);
    if (kept == NULL) {
        sv_arena_free(arena);
        return NULL;
    }
    kept->arena = arena;
    press->slot[SV_PRESS_FORMS] = kept;
    press->drop[SV_PRESS_FORMS] = drop_forms;
    return kept;
}

sv_status sv_form_of(sv_press *press, const char *name, const char *path, const sv_form **out, sv_error *err)
{
    kept_forms *kept = forms_of(press);
    if (kept == NULL) return sv_fail(err, SV_NO_MEMORY, "out of memory while reading a form");
    const char *key = path != NULL ? path : name;
    for (kept_form *k = kept->first; k != NULL; k = k->next)
        if (strcmp(k->name, key) == 0) return *out = k->form, SV_OK;
    const char *text = NULL, *file = path;
    size_t bytes = 0;
    if (path != NULL) {
        sv_status status = sv_file_read(kept->arena, path, LARGEST_FORM, &text, &bytes, err);
        if (status != SV_OK) return status;
    } else {
        file = sv_format(kept->arena, "forms/%s.xml", name);
        const sv_builtin *b = builtin(file);
        if (b == NULL) return sv_fail(err, SV_USAGE, "there is no form named %s", name);
        text = b->text;
        bytes = (size_t)(b->end - b->text);
    }
    kept_form *k = SV_NEW(kept->arena, kept_form);
    if (k == NULL) return sv_fail(err, SV_NO_MEMORY, "out of memory while reading a form");
    sv_status status =
        sv_form_read(press->world, kept->arena, file, text, bytes, path != NULL, &k->form, err);
    if (status != SV_OK) return status;
    k->name = sv_copy(kept->arena, key);
    k->next = kept->first;
    kept->first = k;
    *out = k->form;
    return SV_OK;
}
