/* font_shape.c - a line of text to glyphs: direction by ICU, a face for each part, shaping by HarfBuzz. */
#include "papers/font_private.h"
#include "text/text.h"

#include <stdlib.h>
#include <string.h>
#include <unicode/ubidi.h>
#include <unicode/uchar.h>
#include <unicode/utf16.h>

typedef struct line {
    sv_fonts *fonts;
    sv_font_style style;
    const uint32_t *c;  /* characters */
    const uint32_t *at; /* byte where each starts; one more for the end */
    const char *text;
    uint32_t n;
    sv_glyph_run *run;
    uint32_t runs, room;
    uint32_t missing;
} line;

/* A stretch of one face and one script. */
typedef struct part {
    sv_face *face;
    uint32_t from, to;
    hb_script_t script;
} part;

/* ---- direction ------------------------------------------------------------------------------ */

static bool right_to_left(uint32_t c)
{
    return (c >= 0x590 && c <= 0x8FF) || c == 0x200F || (c >= 0xFB1D && c <= 0xFDFF) ||
           (c >= 0xFE70 && c <= 0xFEFE) || (c >= 0x10800 && c <= 0x10FFF) || (c >= 0x1E800 && c <= 0x1EFFF);
}

static bool needs_order(const line *l, sv_base_direction base)
{
    if (base == SV_BASE_RTL) return true;
    for (uint32_t i = 0; i < l->n; i++)
        if (right_to_left(l->c[i])) return true;
    return false;
}

/* ---- faces ---------------------------------------------------------------------------------- */

static bool joins_before(uint32_t c)
{
    if (c < 0x300) return false;
    hb_unicode_general_category_t g = hb_unicode_general_category(hb_unicode_funcs_get_default(), c);
    return g == HB_UNICODE_GENERAL_CATEGORY_NON_SPACING_MARK ||
           g == HB_UNICODE_GENERAL_CATEGORY_ENCLOSING_MARK || g == HB_UNICODE_GENERAL_CATEGORY_SPACING_MARK ||
           g == HB_UNICODE_GENERAL_CATEGORY_FORMAT;
}

static uint32_t cluster_end(const line *l, uint32_t from, uint32_t to)
{
    uint32_t end = from + 1;
    while (end < to && joins_before(l->c[end]))
        end++;
    return end;
}

/* The first face of the style holds Latin, Greek and Cyrillic and needs no search. */
static sv_face *face_of(line *l, uint32_t from, uint32_t to)
{
    sv_fonts *fonts = l->fonts;
    if (l->c[from] < 0x590 && to - from == 1)
        for (size_t i = 0; i < fonts->faces; i++)
            if (fonts->face[i].style == l->style) {
                if (sv_face_has(&fonts->face[i], l->c[from])) return &fonts->face[i];
                break;
            }
    sv_face *face = sv_face_for(fonts, l->style, l->c + from, to - from);
    /* a mark that no face has together with its base: shape them by the face of the base */
    if (face == NULL && to - from > 1) face = sv_face_for(fonts, l->style, l->c + from, 1);
    return face;
}

static sv_face *fallback(line *l, uint32_t character)
{
    static const uint32_t letter = 'A';
    if (l->missing == 0) l->missing = character;
    return sv_face_for(l->fonts, l->style, &letter, 1);
}

static bool own_script(hb_script_t s)
{
    return s != HB_SCRIPT_COMMON && s != HB_SCRIPT_INHERITED && s != HB_SCRIPT_UNKNOWN;
}

static bool plain_script(hb_script_t s)
{
    return s == HB_SCRIPT_LATIN || s == HB_SCRIPT_GREEK || s == HB_SCRIPT_CYRILLIC || !own_script(s);
}

/* Blanks, and beside scripts other than the European and the Han ones punctuation too. */
static bool stays_with(const part *last, uint32_t c, hb_script_t script)
{
    if (c == ' ' || c == 0xA0) return true;
    if (own_script(script) || (c >= '0' && c <= '9')) return false;
    return own_script(last->script) && !plain_script(last->script) && last->script != HB_SCRIPT_HAN &&
           last->script != HB_SCRIPT_HANGUL && last->script != HB_SCRIPT_KATAKANA &&
           last->script != HB_SCRIPT_HIRAGANA;
}

/* Characters that every script shares stay with what stands before them where that face has them. */
static uint32_t split_parts(line *l, uint32_t from, uint32_t to, part *out)
{
    uint32_t n = 0;
    for (uint32_t i = from; i < to;) {
        uint32_t end = cluster_end(l, i, to);
        hb_script_t script = hb_unicode_script(hb_unicode_funcs_get_default(), l->c[i]);
        part *last = n > 0 ? &out[n - 1] : NULL;
        bool stays = last != NULL && stays_with(last, l->c[i], script) && sv_face_has(last->face, l->c[i]);
        sv_face *face = stays ? last->face : face_of(l, i, end);
        if (face == NULL) face = fallback(l, l->c[i]);
        bool same_script =
            last != NULL && (!own_script(script) || !own_script(last->script) || script == last->script);
        if (last != NULL && last->face == face && same_script) {
            last->to = end;
            if (!own_script(last->script)) last->script = script;
        } else {
            out[n++] = (part){face, i, end, script};
        }
        i = end;
    }
    return n;
}

/* ---- shaping -------------------------------------------------------------------------------- */

static void set_buffer(const line *l, const part *p, bool rtl)
{
    hb_buffer_t *b = l->fonts->buffer;
    hb_buffer_reset(b);
    hb_buffer_set_cluster_level(b, HB_BUFFER_CLUSTER_LEVEL_MONOTONE_GRAPHEMES);
    hb_buffer_set_flags(b, HB_BUFFER_FLAG_REMOVE_DEFAULT_IGNORABLES);
    hb_buffer_add_codepoints(b, l->c, (int)l->n, p->from, (int)(p->to - p->from));
    hb_buffer_set_direction(b, rtl ? HB_DIRECTION_RTL : HB_DIRECTION_LTR);
    hb_buffer_set_script(b, own_script(p->script) ? p->script : HB_SCRIPT_LATIN);
    hb_buffer_set_language(b, hb_language_from_string("und", 3));
}

/* The bytes of each cluster go to its widest glyph, the others stand for nothing of their own. */
static void share_text(const line *l, const part *p, bool rtl, const hb_glyph_info_t *info, sv_glyph *g,
                       uint32_t n)
{
    for (uint32_t i = 0; i < n;) {
        uint32_t end = i + 1;
        while (end < n && info[end].cluster == info[i].cluster)
            end++;
        uint32_t next = p->to;
        if (!rtl && end < n) next = info[end].cluster;
        if (rtl && i > 0) next = info[i - 1].cluster;
        uint32_t widest = i;
        for (uint32_t k = i; k < end; k++) {
            g[k].from = g[k].to = l->at[info[i].cluster];
            if (g[k].advance > g[widest].advance) widest = k;
        }
        g[widest].to = l->at[next];
        i = end;
    }
}

static uint32_t utf8_bytes(char first)
{
    uint8_t c = (uint8_t)first;
    return c < 0x80 ? 1 : c < 0xE0 ? 2 : c < 0xF0 ? 3 : 4;
}

/* Commas, points, hyphens: readers take them for parts of a number and what follows to it, so a right-to-left
 * mark is carried behind them. */
static bool counts_as_number(const char *text, uint32_t bytes)
{
    const char *p = text;
    UCharDirection d = u_charDirection((UChar32)sv_utf8_next(&p, text + bytes));
    return d == U_EUROPEAN_NUMBER_SEPARATOR || d == U_EUROPEAN_NUMBER_TERMINATOR ||
           d == U_COMMON_NUMBER_SEPARATOR;
}

/* Readers put right-to-left text together glyph by glyph from the page, so there each glyph stands for one
 * character: what more a cluster holds (the second letter of a ligature, marks) is carried beside it, to its
 * left. */
static uint32_t carry(const line *l, const sv_glyph *in, uint32_t n, sv_glyph *out)
{
    uint32_t k = 0;
    for (uint32_t i = 0; i < n;) {
        uint32_t end = i + 1, own = i;
        while (end < n && in[end].from == in[i].from)
            end++;
        for (uint32_t j = i; j < end; j++)
            if (in[j].to > in[j].from) own = j;
        uint32_t first = in[own].from, to = in[own].to;
        if (to == first + utf8_bytes(l->text[first]) && counts_as_number(l->text + first, to - first))
            out[k++] = (sv_glyph){.from = l->at[l->n] + 1, .to = l->at[l->n] + 4, .carrier = true};
        while (to > first) {
            uint32_t c = to - 1;
            while (c > first && ((uint8_t)l->text[c] & 0xC0) == 0x80)
                c--;
            if (c > first) out[k++] = (sv_glyph){.from = c, .to = to, .carrier = true};
            if (c == first) break;
            to = c;
        }
        for (uint32_t j = i; j < end; j++) {
            out[k] = in[j];
            if (j == own) out[k].to = to;
            k++;
        }
        i = end;
    }
    return k;
}

static bool must_spell(const sv_glyph_run *run, const char *text)
{
    for (uint32_t i = 0; i < run->count; i++) {
        const sv_glyph *g = &run->glyph[i];
        if (g->to == g->from || !sv_face_tells(run->face, g->id, text + g->from, g->to - g->from))
            return true;
    }
    return false;
}

void sv_put_code(sv_buf *b, uint32_t code)
{
    const char two[2] = {(char)(code >> 8), (char)(code & 0xFF)};
    for (int i = 0; i < 2; i++) {
        if (two[i] == '(' || two[i] == ')' || two[i] == '\\') sv_put_char(b, '\\');
        if (two[i] == '\r' || two[i] == '\n')
            sv_put(b, two[i] == '\r' ? "\\r" : "\\n");
        else
            sv_put_char(b, two[i]);
    }
}

/* Most texts are glyphs of their own width that each stand for their character: their codes are written once.
 */
static bool set_codes(line *l, sv_glyph_run *run)
{
    if (run->placed || run->spell || run->rtl) return true;
    for (uint32_t i = 0; i < run->count; i++)
        if (run->glyph[i].advance != hb_font_get_glyph_h_advance(run->face->font, run->glyph[i].id) ||
            run->glyph[i].id >= run->face->glyphs)
            return true;
    sv_buf b;
    sv_buf_init(&b, 0);
    for (uint32_t i = 0; i < run->count; i++)
        sv_put_code(&b, run->glyph[i].id);
    char *codes = b.failed == SV_OK ? sv_alloc(l->fonts->texts, b.length + 1) : NULL;
    if (codes != NULL && b.length > 0) memcpy(codes, b.data, b.length);
    run->codes = codes;
    run->code_bytes = (uint32_t)b.length;
    sv_buf_free(&b);
    return codes != NULL;
}

static int64_t millionths(const sv_face *face, int64_t units)
{
    return units * 1000000 / (int64_t)face->upem;
}

static void measure_ink(sv_shaped *out, const sv_glyph_run *run)
{
    for (uint32_t i = 0; i < run->count; i++) {
        hb_glyph_extents_t e;
        if (run->glyph[i].carrier || !hb_font_get_glyph_extents(run->face->font, run->glyph[i].id, &e))
            continue;
        int64_t top = millionths(run->face, e.y_bearing + run->glyph[i].dy);
        int64_t bottom = millionths(run->face, -(e.y_bearing + e.height + run->glyph[i].dy));
        out->top = top > out->top ? top : out->top;
        out->bottom = bottom > out->bottom ? bottom : out->bottom;
    }
}

static bool shape_part(line *l, const part *p, bool rtl, sv_shaped *out)
{
    static const hb_feature_t plain[] = {{HB_TAG('l', 'i', 'g', 'a'), 0, 0, (unsigned)-1},
                                         {HB_TAG('c', 'l', 'i', 'g'), 0, 0, (unsigned)-1},
                                         {HB_TAG('k', 'e', 'r', 'n'), 0, 0, (unsigned)-1}};
    set_buffer(l, p, rtl);
    hb_shape(p->face->font, l->fonts->buffer, plain, plain_script(p->script) ? 3 : 0);
    unsigned n = 0;
    const hb_glyph_info_t *info = hb_buffer_get_glyph_infos(l->fonts->buffer, &n);
    const hb_glyph_position_t *pos = hb_buffer_get_glyph_positions(l->fonts->buffer, &n);
    sv_glyph *g = SV_NEW_ARRAY(l->fonts->texts, n + 1, sv_glyph);
    if (g == NULL) return false;
    sv_glyph_run *run = &l->run[l->runs++];
    *run = (sv_glyph_run){
        .face = p->face, .glyph = g, .count = n, .from = l->at[p->from], .to = l->at[p->to], .rtl = rtl};
    int64_t width = 0;
    for (unsigned i = 0; i < n; i++) {
        g[i] = (sv_glyph){info[i].codepoint, pos[i].x_advance, pos[i].x_offset, pos[i].y_offset, 0, 0, false};
        run->placed = run->placed || g[i].dx != 0 || g[i].dy != 0;
        width += g[i].advance;
    }
    share_text(l, p, rtl, info, g, n);
    if (rtl && !p->face->cff) {
        sv_glyph *more = SV_NEW_ARRAY(l->fonts->texts, n + (size_t)(run->to - run->from) * 2 + 1, sv_glyph);
        if (more == NULL) return false;
        run->glyph = more;
        run->count = carry(l, g, n, more);
    }
    run->width = millionths(p->face, width);
    run->spell = !rtl && must_spell(run, out->text);
    if (!set_codes(l, run)) return false;
    measure_ink(out, run);
    out->width += run->width;
    return true;
}

static bool make_room(line *l, uint32_t n)
{
    if (l->runs + n <= l->room) return true;
    uint32_t room = (l->runs + n) * 2;
    sv_glyph_run *more = SV_NEW_ARRAY(l->fonts->texts, room, sv_glyph_run);
    if (more == NULL) return false;
    if (l->runs > 0) memcpy(more, l->run, l->runs * sizeof *more);
    l->run = more;
    l->room = room;
    return true;
}

static bool shape_stretch(line *l, uint32_t from, uint32_t to, bool rtl, sv_shaped *out)
{
    if (from == to) return true;
    part *parts = SV_NEW_ARRAY(l->fonts->texts, to - from, part);
    if (parts == NULL) return false;
    uint32_t n = split_parts(l, from, to, parts);
    if (!make_room(l, n)) return false;
    for (uint32_t i = 0; i < n; i++)
        if (!shape_part(l, &parts[rtl ? n - 1 - i : i], rtl, out)) return false;
    return true;
}

/* ---- the line in both directions ------------------------------------------------------------ */

typedef struct units {
    UChar *u;
    uint32_t *character; /* of each unit */
    int32_t n;
} units;

static bool to_units(const line *l, units *out)
{
    out->u = SV_NEW_ARRAY(l->fonts->texts, (size_t)l->n * 2 + 1, UChar);
    out->character = SV_NEW_ARRAY(l->fonts->texts, (size_t)l->n * 2 + 2, uint32_t);
    if (out->u == NULL || out->character == NULL) return false;
    for (uint32_t i = 0; i < l->n; i++) {
        int32_t before = out->n;
        U16_APPEND_UNSAFE(out->u, out->n, (UChar32)l->c[i]);
        for (int32_t k = before; k < out->n; k++)
            out->character[k] = i;
    }
    out->character[out->n] = l->n;
    return true;
}

/* To the left of a number or a foreign word inside right-to-left text: readers take what follows up to the
 * next letter of the other direction to the number, so it is given one. */
static bool add_turn(line *l, sv_shaped *out)
{
    sv_glyph *g = SV_NEW(l->fonts->texts, sv_glyph);
    static const uint32_t letter = 'A';
    if (g == NULL || !make_room(l, 1)) return false;
    *g = (sv_glyph){.from = out->bytes + 1, .to = out->bytes + 4, .carrier = true};
    l->run[l->runs++] = (sv_glyph_run){.face = sv_face_for(l->fonts, l->style, &letter, 1),
                                       .glyph = g,
                                       .count = 1,
                                       .from = out->bytes + 1,
                                       .to = out->bytes + 4,
                                       .rtl = true};
    return true;
}

static bool shape_ordered(line *l, sv_base_direction base, sv_shaped *out)
{
    units u = {0};
    if (!to_units(l, &u)) return false;
    UErrorCode code = U_ZERO_ERROR;
    UBiDi *bidi = ubidi_openSized(u.n, 0, &code);
    UBiDiLevel level = base == SV_BASE_AUTO ? UBIDI_DEFAULT_LTR : (UBiDiLevel)(base == SV_BASE_RTL);
    ubidi_setPara(bidi, u.u, u.n, level, NULL, &code);
    int32_t runs = ubidi_countRuns(bidi, &code);
    bool good = U_SUCCESS(code);
    for (int32_t i = 0; good && i < runs; i++) {
        int32_t start = 0, length = 0;
        UBiDiDirection d = ubidi_getVisualRun(bidi, i, &start, &length);
        if (i > 0 && d == UBIDI_LTR) good = add_turn(l, out);
        good = good && shape_stretch(l, u.character[start], u.character[start + length], d == UBIDI_RTL, out);
    }
    out->rtl = good && (ubidi_getParaLevel(bidi) & 1) != 0;
    ubidi_close(bidi);
    return good;
}

static bool decode(line *l, const char *text, size_t bytes)
{
    uint32_t *c = SV_NEW_ARRAY(l->fonts->texts, bytes + 1, uint32_t),
             *at = SV_NEW_ARRAY(l->fonts->texts, bytes + 1, uint32_t);
    if (c == NULL || at == NULL) return false;
    const char *p = text, *end = text + bytes;
    while (p < end) {
        at[l->n] = (uint32_t)(p - text);
        c[l->n++] = sv_utf8_next(&p, end);
    }
    at[l->n] = (uint32_t)bytes;
    l->c = c;
    l->at = at;
    return true;
}

/* Behind the text and its end stands a right-to-left mark, which the carriers at turns of the direction refer
 * to. */
static const char *copy_with_mark(sv_arena *arena, const char *text, size_t bytes)
{
    char *out = sv_alloc(arena, bytes + 5);
    if (out == NULL) return "";
    if (bytes > 0) memcpy(out, text, bytes);
    memcpy(out + bytes + 1, "\xE2\x80\x8F", 4);
    return out;
}

bool sv_full_shape(sv_fonts *fonts, sv_font_style style, sv_base_direction base, const char *text,
                   size_t bytes, sv_shaped *out)
{
    line l = {.fonts = fonts, .style = style == SV_FONT_BOLD ? SV_FONT_BOLD : SV_FONT_REGULAR, .text = text};
    if (!decode(&l, text, bytes)) return false;
    bool done = needs_order(&l, base) ? shape_ordered(&l, base, out) : shape_stretch(&l, 0, l.n, false, out);
    out->run = l.run;
    out->runs = l.runs;
    out->missing = l.missing;
    return done;
}

static const sv_shaped *shape_new(sv_fonts *fonts, sv_font_style style, sv_base_direction base,
                                  const char *text, size_t bytes)
{
    sv_shaped *out = SV_NEW(fonts->texts, sv_shaped);
    if (out == NULL) return NULL;
    out->text = copy_with_mark(fonts->texts, text, bytes);
    out->bytes = (uint32_t)bytes;
    out->slanted = style == SV_FONT_SLANTED;
    out->heavy = style == SV_FONT_HEAVY;
    bool done = (base != SV_BASE_RTL && sv_plain_shape(fonts, style, out->text, bytes, out)) ||
                sv_full_shape(fonts, style, base, out->text, bytes, out);
    return done && !sv_arena_failed(fonts->texts) ? out : NULL;
}

/* ---- shaped texts are kept ------------------------------------------------------------------ */

static uint64_t hash_of(const char place[4], sv_font_style style, sv_base_direction base, const char *text,
                        size_t bytes)
{
    uint64_t h = 14695981039346656037u ^ (uint64_t)style << 8 ^ (uint64_t)base;
    for (size_t i = 0; i < 4; i++)
        h = (h ^ (uint8_t)place[i]) * 1099511628211u;
    for (size_t i = 0; i < bytes; i++)
        h = (h ^ (uint8_t)text[i]) * 1099511628211u;
    return h == 0 ? 1 : h;
}

static bool grow(sv_fonts *fonts)
{
    size_t room = fonts->shape_room == 0 ? 1024 : fonts->shape_room * 2;
    sv_kept_shape *more = calloc(room, sizeof *more);
    if (more == NULL) return false;
    for (size_t i = 0; i < fonts->shape_room; i++) {
        if (fonts->shape[i].shaped == NULL) continue;
        size_t k = fonts->shape[i].hash & (room - 1);
        while (more[k].shaped != NULL)
            k = (k + 1) & (room - 1);
        more[k] = fonts->shape[i];
    }
    free(fonts->shape);
    fonts->shape = more;
    fonts->shape_room = room;
    return true;
}

const sv_shaped *sv_shape(sv_fonts *fonts, sv_font_style style, sv_base_direction base, const char *text,
                          size_t bytes)
{
    if (fonts->shapes * 2 >= fonts->shape_room && !grow(fonts)) return NULL;
    uint64_t hash = hash_of(fonts->place, style, base, text, bytes);
    size_t k = hash & (fonts->shape_room - 1);
    for (; fonts->shape[k].shaped != NULL; k = (k + 1) & (fonts->shape_room - 1)) {
        const sv_kept_shape *s = &fonts->shape[k];
        if (s->hash == hash && s->style == style && s->base == base && s->shaped->bytes == bytes &&
            memcmp(s->place, fonts->place, sizeof s->place) == 0 && memcmp(s->shaped->text, text, bytes) == 0)
            return s->shaped;
    }
    const sv_shaped *shaped = shape_new(fonts, style, base, text, bytes);
    if (shaped == NULL) return NULL;
    fonts->shape[k] = (sv_kept_shape){hash, {0}, style, base, shaped};
    memcpy(fonts->shape[k].place, fonts->place, sizeof fonts->place);
    fonts->shapes++;
    return shaped;
}
