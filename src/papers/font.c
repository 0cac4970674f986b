/* font.c - the faces of the table papers/fonts: opening them, and which of them holds a character. */
#include "papers/font_private.h"

#include <stdlib.h>
#include <string.h>
#include <unicode/ubrk.h>
#include <unicode/uchar.h>

#define FONT_PACKAGE "fonts-liberation2"

bool sv_word_in(const char *list, const char *word, size_t bytes)
{
    for (const char *p = list; *p != '\0';) {
        size_t n = strcspn(p, " ");
        if (n == bytes && memcmp(p, word, n) == 0) return true;
        p += n;
        p += strspn(p, " ");
    }
    return false;
}

/* ---- opening -------------------------------------------------------------------------------- */

static sv_font_style style_of(const char *word)
{
    return strcmp(word, "bold") == 0 ? SV_FONT_BOLD : SV_FONT_REGULAR;
}

static void read_row(sv_fonts *fonts, const sv_table *t, size_t row, sv_face *face)
{
    face->fonts = fonts;
    face->name = sv_cell(t, row, sv_table_column(t, "name"));
    face->family = sv_cell(t, row, sv_table_column(t, "family"));
    face->package = sv_cell(t, row, sv_table_column(t, "package"));
    face->paths = sv_cell(t, row, sv_table_column(t, "paths"));
    face->scripts = sv_cell(t, row, sv_table_column(t, "scripts"));
    face->places = sv_cell(t, row, sv_table_column(t, "places"));
    face->style = style_of(sv_cell(t, row, sv_table_column(t, "style")));
    face->index = (unsigned)strtoul(sv_cell(t, row, sv_table_column(t, "face")), NULL, 10);
    face->round_up = face->style == SV_FONT_REGULAR && sv_word_in(face->scripts, "Latn", 4);
}

static void drop_face(sv_face *face)
{
    for (size_t i = 0; i < face->cuts; i++)
        sv_arena_free(face->cut[i].arena);
    hb_font_destroy(face->font);
    hb_face_destroy(face->outlines);
    hb_face_destroy(face->face);
}

static void drop_fonts(void *slot)
{
    sv_fonts *fonts = slot;
    for (size_t i = 0; i < fonts->faces; i++)
        drop_face(&fonts->face[i]);
    hb_buffer_destroy(fonts->buffer);
    for (int i = 0; i < 2; i++)
        if (fonts->deflate_ready[i]) deflateEnd(&fonts->deflate[i]);
    if (fonts->line_rules != NULL) ubrk_close(fonts->line_rules);
    sv_arena_free(fonts->texts);
    free(fonts->shape);
    sv_arena_free(fonts->arena);
    free(fonts);
}

/* The table is in the order in which faces are tried. */
static sv_status read_table(sv_fonts *fonts, sv_error *err)
{
    const sv_table *t = NULL;
    sv_status status = sv_world_need(fonts->world, "papers/fonts", &t, err);
    if (status != SV_OK) return status;
    fonts->face = SV_NEW_ARRAY(fonts->arena, t->rows, sv_face);
    if (fonts->face == NULL) return SV_NO_MEMORY;
    fonts->faces = t->rows;
    for (size_t row = 0; row < t->rows; row++)
        read_row(fonts, t, row, &fonts->face[row]);
    return SV_OK;
}

sv_status sv_fonts_of(sv_press *press, sv_fonts **out, sv_error *err)
{
    *out = press->slot[SV_PRESS_FONTS];
    if (*out != NULL) return SV_OK;
    sv_fonts *fonts = calloc(1, sizeof *fonts);
    if (fonts == NULL) return sv_fail(err, SV_NO_MEMORY, "out of memory");
    fonts->world = press->world;
    fonts->arena = sv_arena_new();
    fonts->texts = sv_arena_new();
    fonts->buffer = hb_buffer_create();
    bool ready =
        fonts->arena != NULL && fonts->texts != NULL && hb_buffer_allocation_successful(fonts->buffer);
    sv_status status = ready ? read_table(fonts, err) : SV_NO_MEMORY;
    const uint32_t letter = 'A';
    if (status == SV_OK && sv_face_for(fonts, SV_FONT_REGULAR, &letter, 1) == NULL)
        status = sv_fail(err, SV_SYSTEM, "no font for the papers is installed here: apt-get install %s",
                         FONT_PACKAGE);
    if (status != SV_OK) {
        drop_fonts(fonts);
        return status;
    }
    press->slot[SV_PRESS_FONTS] = fonts;
    press->drop[SV_PRESS_FONTS] = drop_fonts;
    *out = fonts;
    return SV_OK;
}

struct UBreakIterator *sv_fonts_line_rules(sv_fonts *fonts)
{
    UErrorCode code = U_ZERO_ERROR;
    if (fonts->line_rules == NULL) fonts->line_rules = ubrk_open(UBRK_LINE, "en", NULL, 0, &code);
    return U_SUCCESS(code) ? fonts->line_rules : NULL;
}

uint64_t sv_fonts_age(const sv_fonts *fonts)
{
    return fonts->age;
}

sv_arena *sv_fonts_texts(sv_fonts *fonts)
{
    return fonts->texts;
}

#define TEXTS_MOST ((size_t)16 << 20)

void sv_fonts_start(sv_fonts *fonts)
{
    if (sv_arena_used(fonts->texts) < TEXTS_MOST) return;
    sv_arena_reset(fonts->texts);
    fonts->age++;
    if (fonts->shape != NULL) memset(fonts->shape, 0, fonts->shape_room * sizeof *fonts->shape);
    fonts->shapes = 0;
}

void sv_fonts_place(sv_fonts *fonts, const char *place)
{
    memset(fonts->place, 0, sizeof fonts->place);
    for (size_t i = 0; place != NULL && place[i] != '\0' && i + 1 < sizeof fonts->place; i++)
        fonts->place[i] = place[i];
}

static uint32_t table_length(hb_face_t *face, hb_tag_t tag)
{
    hb_blob_t *blob = hb_face_reference_table(face, tag);
    uint32_t n = hb_blob_get_length(blob);
    hb_blob_destroy(blob);
    return n;
}

/* A face of only the tables that outlines need. Cutting it is ten times quicker than cutting the whole font,
 * since no layout tables are walked. */
hb_face_t *sv_face_outlines(const sv_face *f)
{
    hb_face_t *face = f->face;
    bool cff = f->cff;
    static const hb_tag_t common[] = {HB_TAG('h', 'e', 'a', 'd'), HB_TAG('h', 'h', 'e', 'a'),
                                      HB_TAG('m', 'a', 'x', 'p'), HB_TAG('h', 'm', 't', 'x')};
    const hb_tag_t own[2] = {cff ? HB_TAG('C', 'F', 'F', ' ') : HB_TAG('g', 'l', 'y', 'f'),
                             cff ? HB_TAG_NONE : HB_TAG('l', 'o', 'c', 'a')};
    hb_face_t *builder = hb_face_builder_create();
    for (size_t i = 0; i < 6; i++) {
        hb_tag_t tag = i < 4 ? common[i] : own[i - 4];
        if (tag == HB_TAG_NONE) continue;
        hb_blob_t *blob = hb_face_reference_table(face, tag);
        hb_face_builder_add_table(builder, tag, blob);
        hb_blob_destroy(blob);
    }
    hb_blob_t *whole = hb_face_reference_blob(builder);
    hb_face_t *out = hb_face_create(whole, 0);
    hb_blob_destroy(whole);
    hb_face_destroy(builder);
    return out;
}

/* ---- CFF (Adobe Technical Note 5176): do codes equal glyph numbers? --------------------------- */

typedef struct cff {
    const uint8_t *d;
    size_t n;
} cff;

static uint32_t cff_at(const cff *f, size_t at, size_t bytes)
{
    uint32_t v = 0;
    for (size_t i = 0; i < bytes; i++)
        v = v << 8 | (at + i < f->n ? f->d[at + i] : 0);
    return v;
}

/* Where the only object of an index begins and ends; 0 when it has another count. */
static size_t cff_only_object(const cff *f, size_t index, size_t *end)
{
    size_t size = cff_at(f, index + 2, 1);
    if (cff_at(f, index, 2) != 1 || size < 1 || size > 4) return 0;
    size_t before = index + 2 + 2 * size;
    *end = before + cff_at(f, index + 3 + size, size);
    return before + 1;
}

/* One operand of a dictionary; moves on. */
static uint32_t cff_operand(const cff *f, size_t *at)
{
    uint32_t b = cff_at(f, (*at)++, 1);
    size_t more = b == 28 ? 2 : b == 29 ? 4 : b >= 247 && b <= 254 ? 1 : 0;
    uint32_t v = cff_at(f, *at, more);
    *at += more;
    if (b == 30) /* a real number ends with a nibble of ones */
        while (*at < f->n && (cff_at(f, *at, 1) & 15) != 15 && (cff_at(f, *at, 1) >> 4) != 15)
            (*at)++;
    if (b == 30) (*at)++;
    if (b >= 32 && b <= 246) return b - 139;
    return b >= 247 && b <= 250 ? (b - 247) * 256 + v + 108 : b >= 251 && b <= 254 ? 0 : v;
}

/* In a font keyed by CID (operator ROS), a charset of format 2 with one range that starts at 1 says that
 * codes and glyph numbers are the same; only then may the cut drop the unused numbers. */
static bool cff_codes_are_glyphs(hb_face_t *face)
{
    hb_blob_t *blob = hb_face_reference_table(face, HB_TAG('C', 'F', 'F', ' '));
    unsigned n = 0;
    const char *data = hb_blob_get_data(blob, &n);
    cff f = {(const uint8_t *)data, n};
    size_t end = 0, names_end = 0;
    size_t names = cff_only_object(&f, cff_at(&f, 2, 1), &names_end);
    size_t at = names == 0 ? 0 : cff_only_object(&f, names_end, &end);
    uint32_t operand = 0, charset = 0;
    bool cid = false;
    while (at != 0 && at < end && end <= f.n) {
        uint32_t b = cff_at(&f, at, 1);
        if (b > 21) {
            operand = cff_operand(&f, &at);
            continue;
        }
        at += b == 12 ? 2 : 1;
        if (b == 12 && cff_at(&f, at - 1, 1) == 30) cid = true;
        if (b == 15) charset = operand;
    }
    bool same = cid && charset > 2 && cff_at(&f, charset, 1) == 2 && cff_at(&f, charset + 1, 2) == 1 &&
                cff_at(&f, charset + 3, 2) + 2 >= hb_face_get_glyph_count(face);
    hb_blob_destroy(blob);
    return same;
}

static bool open_path(sv_face *face, const char *path)
{
    hb_blob_t *blob = hb_blob_create_from_file_or_fail(path);
    if (blob == NULL) return false;
    face->face = hb_face_create(blob, face->index);
    hb_blob_destroy(blob);
    face->glyphs = hb_face_get_glyph_count(face->face);
    if (face->glyphs == 0) {
        hb_face_destroy(face->face);
        face->face = NULL;
        return false;
    }
    face->font = hb_font_create(face->face);
    face->upem = hb_face_get_upem(face->face);
    face->cff = table_length(face->face, HB_TAG('C', 'F', 'F', ' ')) > 0;
    face->cff_cid = face->cff && cff_codes_are_glyphs(face->face);
    return true;
}

bool sv_face_open(sv_face *face)
{
    if (face->state != SV_FACE_UNTRIED) return face->state == SV_FACE_OPEN;
    face->state = SV_FACE_ABSENT;
    char path[256];
    for (const char *p = face->paths; *p != '\0';) {
        size_t n = strcspn(p, " ");
        if (n < sizeof path) {
            memcpy(path, p, n);
            path[n] = '\0';
            if (open_path(face, path)) {
                face->state = SV_FACE_OPEN;
                return true;
            }
        }
        p += n;
        p += strspn(p, " ");
    }
    return false;
}

/* ---- which face ----------------------------------------------------------------------------- */

bool sv_face_has(sv_face *face, uint32_t character)
{
    hb_codepoint_t glyph = 0;
    return sv_face_open(face) && hb_font_get_nominal_glyph(face->font, character, &glyph);
}

static void script_word(uint32_t character, char out[4])
{
    hb_tag_t tag = hb_script_to_iso15924_tag(hb_unicode_script(hb_unicode_funcs_get_default(), character));
    for (int i = 0; i < 4; i++)
        out[i] = (char)(tag >> (24 - 8 * i) & 0xff);
}

/* Signs shared by scripts belong to no face in particular. */
static bool shared_script(const char script[4])
{
    return memcmp(script, "Zyyy", 4) == 0 || memcmp(script, "Zinh", 4) == 0 || memcmp(script, "Zzzz", 4) == 0;
}

static bool face_has_all(sv_face *face, const uint32_t *character, size_t n)
{
    for (size_t i = 0; i < n; i++) {
        bool mute = hb_unicode_general_category(hb_unicode_funcs_get_default(), character[i]) ==
                        HB_UNICODE_GENERAL_CATEGORY_FORMAT ||
                    (character[i] >= 0xFE00 && character[i] <= 0xFE0F);
        if (!mute && !sv_face_has(face, character[i])) return false;
    }
    return true;
}

static sv_face *search(sv_fonts *fonts, sv_font_style style, const uint32_t *character, size_t n,
                       bool by_place)
{
    char script[4];
    script_word(character[0], script);
    bool any = shared_script(script);
    size_t place = strlen(fonts->place);
    for (size_t i = 0; i < fonts->faces; i++) {
        sv_face *face = &fonts->face[i];
        if (face->style != style || (!any && !sv_word_in(face->scripts, script, 4))) continue;
        if (by_place && (place == 0 || !sv_word_in(face->places, fonts->place, place))) continue;
        if (face_has_all(face, character, n)) return face;
    }
    return NULL;
}

sv_face *sv_face_for(sv_fonts *fonts, sv_font_style style, const uint32_t *character, size_t n)
{
    sv_face *face = search(fonts, style, character, n, true);
    if (face == NULL) face = search(fonts, style, character, n, false);
    if (face == NULL && style != SV_FONT_REGULAR) face = sv_face_for(fonts, SV_FONT_REGULAR, character, n);
    return face;
}

const char *sv_fonts_wanted(sv_fonts *fonts, sv_arena *arena, uint32_t character)
{
    char script[4];
    script_word(character, script);
    const char *wanted = "";
    for (size_t i = 0; i < fonts->faces; i++) {
        sv_face *face = &fonts->face[i];
        if (!sv_word_in(face->scripts, script, 4) || sv_face_open(face)) continue;
        if (sv_word_in(wanted, face->package, strlen(face->package))) continue;
        wanted = sv_format(arena, "%s%s%s", wanted, *wanted == '\0' ? "" : " ", face->package);
    }
    return wanted;
}

/* Pictures are no writing, and marks that turn the direction can make a name read as another. */
const char *sv_character_refused(uint32_t c)
{
    if (c == '\n' || c == '\t') return NULL;
    if (c < 0x20 || (c >= 0x7F && c < 0xA0) || c == 0x2028 || c == 0x2029) return "control character";
    if ((c >= 0x202A && c <= 0x202E) || (c >= 0x2066 && c <= 0x2069))
        return "mark that turns the writing direction";
    if (c < 0xA0) return NULL;
    int8_t type = u_charType((UChar32)c);
    if (type == U_UNASSIGNED || type == U_SURROGATE || type == U_PRIVATE_USE_CHAR || c == 0xFFFD)
        return "code without a character";
    bool picture = u_hasBinaryProperty((UChar32)c, UCHAR_EMOJI_PRESENTATION) ||
                   (c > 0x2122 && u_hasBinaryProperty((UChar32)c, UCHAR_EXTENDED_PICTOGRAPHIC)) ||
                   u_hasBinaryProperty((UChar32)c, UCHAR_REGIONAL_INDICATOR) || c == 0xFE0F ||
                   (c >= 0xE0020 && c <= 0xE007F);
    return picture ? "emoji" : NULL;
}

/* ---- facts of a face ------------------------------------------------------------------------ */

int32_t sv_face_advance(const sv_face *face, uint32_t glyph)
{
    return hb_font_get_glyph_h_advance(face->font, glyph);
}

uint32_t sv_face_upem(const sv_face *face)
{
    return face->upem;
}

bool sv_face_is_cff(const sv_face *face)
{
    return face->cff;
}

const char *sv_face_family(const sv_face *face)
{
    return face->family;
}

sv_font_style sv_face_style(const sv_face *face)
{
    return face->style;
}

void sv_face_box(const sv_face *face, int32_t out[6])
{
    static const int32_t usual[6] = {-200, -300, 1400, 1050, 900, -250};
    memcpy(out, usual, sizeof usual);
    hb_blob_t *head = hb_face_reference_table(face->face, HB_TAG('h', 'e', 'a', 'd'));
    unsigned n = 0;
    const uint8_t *d = (const uint8_t *)hb_blob_get_data(head, &n);
    for (int i = 0; n >= 54 && i < 4; i++) {
        int16_t v = (int16_t)(uint16_t)(d[36 + 2 * i] << 8 | d[37 + 2 * i]);
        out[i] = v * 1000 / (int32_t)face->upem;
    }
    hb_blob_destroy(head);
    hb_font_extents_t ext;
    if (hb_font_get_h_extents(face->font, &ext)) {
        out[4] = ext.ascender * 1000 / (int32_t)face->upem;
        out[5] = ext.descender * 1000 / (int32_t)face->upem;
    }
}

static bool compatibility(uint32_t c)
{
    return (c >= 0x2E80 && c <= 0x2FDF) || (c >= 0xF900 && c <= 0xFAFF) || (c >= 0x2F800 && c <= 0x2FA1F) ||
           (c >= 0xFB00 && c <= 0xFDFF) || (c >= 0xFE70 && c <= 0xFEFF);
}

/* Which character a glyph stands for by itself: of several that share it the lowest that is no compatibility
 * form. */
const uint32_t *sv_face_tells_list(sv_face *face)
{
    if (face->tells != NULL) return face->tells;
    uint32_t *tells = SV_NEW_ARRAY(face->fonts->arena, face->glyphs, uint32_t);
    hb_set_t *all = hb_set_create();
    if (tells != NULL && all != NULL) {
        hb_face_collect_unicodes(face->face, all);
        for (hb_codepoint_t c = HB_SET_VALUE_INVALID; hb_set_next(all, &c);) {
            hb_codepoint_t glyph = 0;
            if (!hb_font_get_nominal_glyph(face->font, c, &glyph) || glyph >= face->glyphs) continue;
            uint32_t before = tells[glyph];
            if (before == 0 || (compatibility(before) && !compatibility(c))) tells[glyph] = c;
        }
    }
    hb_set_destroy(all);
    face->tells = tells;
    return tells;
}
