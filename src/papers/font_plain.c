/* font_plain.c - European text in which each character is one glyph of its own width: known without shaping.
 *
 * Ligatures and kerning are off for these scripts (a form is read by columns), so that the result is what
 * HarfBuzz gives; the tests compare the two. It is most of what stands on papers, and ten times quicker. */
#include <string.h>

#include "base/utf8.h"
#include "papers/font_private.h"

#define PLAIN_END 0x2200

typedef enum plain_state { UNKNOWN, PLAIN, SHAPED } plain_state;

struct sv_plain {
    uint32_t glyph;
    int32_t advance, top, bottom;
    uint8_t state;
};

static bool plain_kind(uint32_t c)
{
    hb_unicode_funcs_t *u = hb_unicode_funcs_get_default();
    hb_unicode_general_category_t g = hb_unicode_general_category(u, c);
    if (g == HB_UNICODE_GENERAL_CATEGORY_FORMAT || g == HB_UNICODE_GENERAL_CATEGORY_NON_SPACING_MARK ||
        g == HB_UNICODE_GENERAL_CATEGORY_SPACING_MARK || g == HB_UNICODE_GENERAL_CATEGORY_ENCLOSING_MARK ||
        g == HB_UNICODE_GENERAL_CATEGORY_CONTROL)
        return false;
    hb_script_t s = hb_unicode_script(u, c);
    return s == HB_SCRIPT_LATIN || s == HB_SCRIPT_GREEK || s == HB_SCRIPT_CYRILLIC || s == HB_SCRIPT_COMMON;
}

static void look_up(sv_face *face, uint32_t c, sv_plain *out)
{
    char text[4];
    size_t bytes = sv_utf8_put(text, c);
    hb_codepoint_t glyph = 0;
    hb_glyph_extents_t e = {0};
    out->state = SHAPED;
    if (!plain_kind(c) || !hb_font_get_nominal_glyph(face->font, c, &glyph)) return;
    if (glyph >= face->glyphs || !sv_face_tells(face, glyph, text, (uint32_t)bytes)) return;
    hb_font_get_glyph_extents(face->font, glyph, &e);
    *out = (sv_plain){glyph, hb_font_get_glyph_h_advance(face->font, glyph), e.y_bearing,
                      -(e.y_bearing + e.height), PLAIN};
}

static const sv_plain *plain_of(sv_face *face, uint32_t c)
{
    if (c >= PLAIN_END) return NULL;
    sv_plain *p = &face->plain[c];
    if (p->state == UNKNOWN) look_up(face, c, p);
    return p->state == PLAIN ? p : NULL;
}

/* The text font of the style: the first of the table. NULL when it is not here. */
static sv_face *text_face(sv_fonts *fonts, sv_font_style style)
{
    sv_font_style own = style == SV_FONT_BOLD ? SV_FONT_BOLD : SV_FONT_REGULAR;
    for (size_t i = 0; i < fonts->faces; i++) {
        sv_face *face = &fonts->face[i];
        if (face->style != own) continue;
        if (!sv_face_open(face)) return NULL;
        if (face->plain == NULL) face->plain = SV_NEW_ARRAY(fonts->arena, PLAIN_END, sv_plain);
        return face->plain == NULL ? NULL : face;
    }
    return NULL;
}

static uint32_t next(const char **p, const char *end)
{
    uint8_t c = (uint8_t) * *p;
    if (c < 0x80) return (*p)++, c;
    return sv_utf8_next(p, end);
}

static int64_t spread(sv_font_style style, uint32_t n)
{
    return style == SV_FONT_HEAVY ? (int64_t)n * SV_HEAVY_SPREAD : 0;
}

bool sv_plain_width(sv_fonts *fonts, sv_font_style style, const char *text, size_t bytes, int64_t *millionths)
{
    sv_face *face = text_face(fonts, style);
    int64_t units = 0;
    uint32_t n = 0;
    if (face == NULL) return false;
    for (const char *p = text, *end = text + bytes; p < end; n++) {
        const sv_plain *one = plain_of(face, next(&p, end));
        if (one == NULL) return false;
        units += one->advance;
    }
    *millionths = units * 1000000 / (int64_t)face->upem + spread(style, n);
    return true;
}

static bool special(uint32_t byte)
{
    return byte == '(' || byte == ')' || byte == '\\' || byte == '\r' || byte == '\n';
}

static char *put_byte(char *out, uint32_t byte)
{
    if (special(byte)) *out++ = '\\';
    *out++ = (char)(byte == '\r' ? 'r' : byte == '\n' ? 'n' : byte);
    return out;
}

bool sv_plain_shape(sv_fonts *fonts, sv_font_style style, const char *text, size_t bytes, sv_shaped *out)
{
    sv_face *face = text_face(fonts, style);
    sv_glyph *g = face == NULL ? NULL : SV_NEW_ARRAY(fonts->texts, bytes + 1, sv_glyph);
    sv_glyph_run *run = g == NULL ? NULL : SV_NEW(fonts->texts, sv_glyph_run);
    char *codes = run == NULL ? NULL : sv_alloc(fonts->texts, 4 * bytes + 1), *to = codes;
    int64_t units = 0, top = 0, bottom = 0;
    uint32_t n = 0;
    if (codes == NULL) return false;
    for (const char *p = text, *end = text + bytes; p < end; n++) {
        uint32_t from = (uint32_t)(p - text);
        const sv_plain *one = plain_of(face, next(&p, end));
        if (one == NULL) return false;
        g[n] = (sv_glyph){one->glyph, one->advance, 0, 0, from, (uint32_t)(p - text), false};
        to = put_byte(put_byte(to, one->glyph >> 8), one->glyph & 0xFF);
        units += one->advance;
        top = one->top > top ? one->top : top;
        bottom = one->bottom > bottom ? one->bottom : bottom;
    }
    *run = (sv_glyph_run){.face = face, .glyph = g, .count = n, .to = (uint32_t)bytes, .codes = codes};
    run->code_bytes = (uint32_t)(to - codes);
    run->spread = style == SV_FONT_HEAVY;
    run->width = units * 1000000 / (int64_t)face->upem + spread(style, n);
    out->run = run;
    out->runs = n > 0;
    out->width = run->width;
    out->top = top * 1000000 / (int64_t)face->upem;
    out->bottom = bottom * 1000000 / (int64_t)face->upem;
    return true;
}
