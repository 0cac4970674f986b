/* font_cut.c - the part of a face that a document carries, cut by hb-subset, deflated, and kept for the next.
 */
#include "papers/font_private.h"
#include "text/text.h"

#include <hb-subset.h>
#include <stdlib.h>
#include <string.h>

/* Level 4 is three times quicker than the usual 6 on page contents, and two in a hundred larger. */
#define LEVEL 4
#define SMALL ((size_t)2048)

/* ---- what a document used ------------------------------------------------------------------- */

static size_t words_of(const sv_face *face)
{
    return ((size_t)face->glyphs + 63) / 64;
}

bool sv_face_use_begin(sv_arena *arena, sv_face *face, sv_face_use *use)
{
    *use = (sv_face_use){.face = face, .arena = arena};
    use->seen = SV_NEW_ARRAY(arena, words_of(face), uint64_t);
    if (use->seen != NULL) use->seen[0] = 1; /* .notdef */
    return use->seen != NULL && sv_face_tells_list(face) != NULL;
}

bool sv_face_tells(sv_face *face, uint32_t glyph, const char *text, uint32_t bytes)
{
    const uint32_t *tells = sv_face_tells_list(face);
    if (tells == NULL || glyph >= face->glyphs || bytes == 0) return false;
    const char *p = text, *end = text + bytes;
    uint32_t c = sv_utf8_next(&p, end);
    if (p != end) return false;
    return tells[glyph] == c || (tells[glyph] == ' ' && c == 0xA0);
}

static uint32_t alias_of(sv_face_use *use, uint32_t glyph, const char *text, uint32_t bytes, bool carrier)
{
    for (uint32_t i = 0; i < use->aliases; i++) {
        const sv_face_alias *a = &use->alias[i];
        if (a->glyph == glyph && a->carrier == carrier && a->bytes == bytes &&
            memcmp(a->text, text, bytes) == 0)
            return a->code;
    }
    uint32_t code = use->face->glyphs + use->aliases;
    if (code > 0xFFFF) return glyph;
    if ((use->aliases & (use->aliases - 1)) == 0) {
        sv_face_alias *more =
            SV_NEW_ARRAY(use->arena, use->aliases == 0 ? 1 : (size_t)use->aliases * 2, sv_face_alias);
        if (more == NULL) return glyph;
        if (use->aliases > 0) memcpy(more, use->alias, use->aliases * sizeof *more);
        use->alias = more;
    }
    use->alias[use->aliases++] =
        (sv_face_alias){code, glyph, sv_copy_n(use->arena, text, bytes), bytes, carrier};
    return code;
}

/* A glyph that stands for another text than its own gets a code of its own beside it. Only outlines of the
 * TrueType kind can be reached by two codes. */
uint32_t sv_face_use_glyph(sv_face_use *use, uint32_t glyph, const char *text, uint32_t bytes)
{
    if (glyph >= use->face->glyphs) return 0;
    uint64_t bit = (uint64_t)1 << (glyph & 63);
    if ((use->seen[glyph >> 6] & bit) == 0) {
        use->seen[glyph >> 6] |= bit;
    }
    if (text == NULL || use->face->cff || sv_face_tells(use->face, glyph, text, bytes)) return glyph;
    return alias_of(use, glyph, text, bytes, false);
}

uint32_t sv_face_use_carrier(sv_face_use *use, const char *text, uint32_t bytes)
{
    hb_codepoint_t blank = 0;
    if (use->face->cff || !hb_font_get_nominal_glyph(use->face->font, ' ', &blank)) return 0;
    sv_face_use_glyph(use, blank, NULL, 0);
    return alias_of(use, blank, text, bytes, true);
}

void sv_face_use_plain(sv_face_use *use, const sv_glyph *glyph, uint32_t count)
{
    for (uint32_t i = 0; i < count; i++)
        use->seen[glyph[i].id >> 6] |= (uint64_t)1 << (glyph[i].id & 63);
}

/* Two papers share a cut, and need not be cut again, when their letters come in the same groups: once most of
 * ASCII is there all of it is, with the accents of the French captions; and an accented letter brings those
 * that are written with it. Such letters are mostly put together from parts that are there already, so that a
 * group costs little. */
static const char common_text[] = "ÀÉàâçèéêîô°";
static const char *const groups[] = {
    "äöüÄÖÜß", "åæøÅÆØ", "áíóúñÁÍÓÚÑ",   "ãõâôçëïÃÕÂÊÔÇ", "ðþýÐÞÝ", "ąćęłńśźżĄĆĘŁŃŚŹŻ", "čďěňřšťůžČĎĚŇŘŠŤŮŽ",
    "ľĺŕôĽĹŔ", "őűŐŰ",   "ăîșțĂÎȘȚşţŞŢ", "ğıĞİ",          "đĐ",     "āēģīķļņūĀĒĢĪĶĻŅŪ", "ėįųĖĮŲ",
    "ċġħĊĠĦ",  "ŵŷŴŶ",   "ẹọṣẸỌṢ"};
#define GROUPS (sizeof groups / sizeof *groups)

static void add_letters(const sv_face *face, uint64_t *set, const char *letters, size_t bytes)
{
    for (const char *p = letters, *end = p + bytes; p < end;) {
        hb_codepoint_t g = 0;
        if (hb_font_get_nominal_glyph(face->font, sv_utf8_next(&p, end), &g) && g < face->glyphs)
            set[g >> 6] |= (uint64_t)1 << (g & 63);
    }
}

/* The common set, then those of the groups, one behind the other. */
static const uint64_t *sets_of(sv_face *face)
{
    if (face->sets != NULL) return face->sets;
    size_t words = words_of(face);
    uint64_t *sets = SV_NEW_ARRAY(face->fonts->arena, words * (GROUPS + 1), uint64_t);
    if (sets == NULL) return NULL;
    char ascii[0x7F - 0x20];
    for (size_t i = 0; i < sizeof ascii; i++)
        ascii[i] = (char)(0x20 + i);
    add_letters(face, sets, ascii, sizeof ascii);
    add_letters(face, sets, common_text, sizeof common_text - 1);
    for (size_t g = 1; g <= GROUPS; g++) {
        add_letters(face, sets + words * g, groups[g - 1], strlen(groups[g - 1]));
        for (size_t i = 0; i < words; i++)
            sets[words * g + i] &= ~sets[i]; /* what all have calls for no group */
    }
    face->sets = sets;
    return sets;
}

static uint32_t shared_bits(const uint64_t *a, const uint64_t *b, size_t words)
{
    uint32_t n = 0;
    for (size_t i = 0; i < words; i++)
        n += (uint32_t)__builtin_popcountll(a[i] & b[i]);
    return n;
}

/* Which groups the text itself calls for, not those whose letters came in with others. */
static void round_up(sv_face_use *use)
{
    size_t words = words_of(use->face);
    const uint64_t *sets = use->face->round_up ? sets_of(use->face) : NULL;
    bool wanted[GROUPS + 1] = {true};
    if (sets == NULL || shared_bits(sets, use->seen, words) < 50) return;
    for (size_t g = 1; g <= GROUPS; g++)
        wanted[g] = shared_bits(sets + words * g, use->seen, words) > 0;
    for (size_t g = 0; g <= GROUPS; g++)
        for (size_t i = 0; wanted[g] && i < words; i++)
            use->seen[i] |= sets[words * g + i];
}

/* ---- deflate -------------------------------------------------------------------------------- */

/* A short text needs no large tables, whose clearing would cost more than the text. */
static z_stream *deflater_for(sv_fonts *fonts, size_t n)
{
    int which = n < SMALL;
    z_stream *z = &fonts->deflate[which];
    if (fonts->deflate_ready[which]) return deflateReset(z) == Z_OK ? z : NULL;
    if (deflateInit2(z, LEVEL, Z_DEFLATED, which ? 12 : 15, which ? 4 : 8, Z_DEFAULT_STRATEGY) != Z_OK)
        return NULL;
    fonts->deflate_ready[which] = true;
    return z;
}

const void *sv_deflate(sv_fonts *fonts, sv_arena *arena, const void *bytes, size_t n, size_t *out)
{
    z_stream *z = deflater_for(fonts, n);
    size_t room = z == NULL ? 0 : deflateBound(z, (uLong)n);
    uint8_t *to = room == 0 ? NULL : sv_alloc(arena, room);
    if (to == NULL) return NULL;
    z->next_in = (Bytef *)bytes;
    z->avail_in = (uInt)n;
    z->next_out = to;
    z->avail_out = (uInt)room;
    if (deflate(z, Z_FINISH) != Z_STREAM_END) return NULL;
    *out = z->total_out;
    return to;
}

/* ---- the parts of a cut --------------------------------------------------------------------- */

static bool next_glyph(const uint64_t *seen, uint32_t glyphs, uint32_t *at)
{
    for (uint32_t g = *at + 1; g < glyphs; g++) {
        uint64_t rest = seen[g >> 6] >> (g & 63);
        if (rest == 0) {
            g |= 63;
            continue;
        }
        *at = g + (uint32_t)__builtin_ctzll(rest);
        return *at < glyphs;
    }
    return false;
}

static void put_hex(sv_buf *b, uint32_t v)
{
    static const char digit[] = "0123456789ABCDEF";
    const char t[4] = {digit[v >> 12 & 15], digit[v >> 8 & 15], digit[v >> 4 & 15], digit[v & 15]};
    sv_put_n(b, t, 4);
}

static void put_width(sv_buf *b, const sv_face *face, uint32_t code, int64_t advance, uint32_t *last)
{
    int64_t tenths = (advance * 10000 + face->upem / 2) / face->upem;
    if (code == *last + 1) {
        sv_put_char(b, ' ');
    } else {
        if (*last != UINT32_MAX) sv_put_char(b, ']');
        sv_put_int(b, code);
        sv_put_char(b, '[');
    }
    sv_put_int(b, tenths / 10);
    if (tenths % 10 != 0) {
        sv_put_char(b, '.');
        sv_put_int(b, tenths % 10);
    }
    *last = code;
}

static void put_widths(sv_buf *b, const sv_face_use *use)
{
    uint32_t last = UINT32_MAX, g = 0;
    sv_put_char(b, '[');
    while (next_glyph(use->seen, use->face->glyphs, &g))
        put_width(b, use->face, g, sv_face_advance(use->face, g), &last);
    for (uint32_t i = 0; i < use->aliases; i++) {
        const sv_face_alias *a = &use->alias[i];
        put_width(b, use->face, a->code, a->carrier ? 0 : sv_face_advance(use->face, a->glyph), &last);
    }
    sv_put(b, last == UINT32_MAX ? "]" : "]]");
}

static void put_utf16(sv_buf *b, uint32_t c)
{
    if (c >= 0x10000) put_hex(b, 0xD7C0 + (c >> 10));
    put_hex(b, c < 0x10000 ? c : 0xDC00 + (c & 0x3FF));
}

/* Blocks of at most 100 entries, as CMaps must have them. */
typedef struct entries {
    sv_buf *out;
    sv_buf held;
    const char *kind; /* "bfrange", "bfchar" */
    int n;
} entries;

static void flush_entries(entries *e)
{
    if (e->n == 0) return;
    sv_put_format(e->out, "%d begin%s\n", e->n, e->kind);
    sv_put_n(e->out, e->held.data, e->held.length);
    sv_put_format(e->out, "end%s\n", e->kind);
    sv_buf_reset(&e->held);
    e->n = 0;
}

static void count_entry(entries *e)
{
    if (++e->n == 100) flush_entries(e);
}

static void put_text_entry(entries *e, uint32_t code, const char *text, uint32_t bytes)
{
    if (bytes == 0) return;
    sv_put_char(&e->held, '<');
    put_hex(&e->held, code);
    sv_put(&e->held, "><");
    for (const char *t = text, *end = text + bytes; t < end;)
        put_utf16(&e->held, sv_utf8_next(&t, end));
    sv_put(&e->held, ">\n");
    count_entry(e);
}

/* Codes first to last stand for as many characters in a row. */
static void put_range(entries *e, uint32_t first, uint32_t last, uint32_t character)
{
    if (character == 0) return;
    sv_put_char(&e->held, '<');
    put_hex(&e->held, first);
    sv_put(&e->held, "><");
    put_hex(&e->held, last);
    sv_put(&e->held, "><");
    put_utf16(&e->held, character);
    sv_put(&e->held, ">\n");
    count_entry(e);
}

/* A range may not cross a multiple of 256, neither of codes nor of characters. */
static bool goes_on(uint32_t first, uint32_t last, uint32_t character, uint32_t glyph, uint32_t next)
{
    return character != 0 && character < 0x10000 && glyph == last + 1 && glyph >> 8 == first >> 8 &&
           next == character + (glyph - first) && next >> 8 == character >> 8;
}

static void put_ranges(entries *e, const sv_face_use *use, const uint32_t *tells)
{
    uint32_t first = 0, last = 0, character = 0;
    for (uint32_t g = 0; next_glyph(use->seen, use->face->glyphs, &g);) {
        if (tells[g] == 0) continue;
        if (goes_on(first, last, character, g, tells[g])) {
            last = g;
            continue;
        }
        put_range(e, first, last, character);
        first = last = g;
        character = tells[g];
    }
    put_range(e, first, last, character);
    flush_entries(e);
}

static void put_unicode(sv_buf *b, const sv_face_use *use)
{
    entries e = {.out = b, .kind = "bfrange"};
    sv_buf_init(&e.held, 0);
    sv_put(b, "/CIDInit/ProcSet findresource begin 12 dict begin begincmap\n/CMapName/T def/CMapType 2 def\n"
              "1 begincodespacerange<0000><FFFF>endcodespacerange\n");
    put_ranges(&e, use, sv_face_tells_list(use->face));
    e.kind = "bfchar";
    for (uint32_t i = 0; i < use->aliases; i++)
        put_text_entry(&e, use->alias[i].code, use->alias[i].text, use->alias[i].bytes);
    flush_entries(&e);
    sv_put(b, "endcmap CMapName currentdict/CMap defineresource pop end end");
    sv_buf_free(&e.held);
}

/* Two bytes for each code: the glyph it means. */
static bool put_map(const sv_face_use *use, sv_buf *b)
{
    uint32_t last = use->alias[use->aliases - 1].code;
    for (uint32_t code = 0; code <= last; code++) {
        uint32_t glyph = code < use->face->glyphs ? code : use->alias[code - use->face->glyphs].glyph;
        sv_put_char(b, (char)(glyph >> 8));
        sv_put_char(b, (char)(glyph & 0xFF));
    }
    return b->failed == SV_OK;
}

static hb_face_t *cut_outlines(const sv_face_use *use)
{
    sv_face *face = use->face;
    if (face->outlines == NULL) face->outlines = sv_face_outlines(face);
    hb_subset_input_t *in = hb_subset_input_create_or_fail();
    if (in == NULL || face->outlines == NULL) {
        hb_subset_input_destroy(in);
        return NULL;
    }
    hb_set_t *wanted = hb_subset_input_glyph_set(in);
    hb_set_add(wanted, 0);
    for (uint32_t g = 0; next_glyph(use->seen, face->glyphs, &g);)
        hb_set_add(wanted, g);
    unsigned flags = HB_SUBSET_FLAGS_NO_HINTING | HB_SUBSET_FLAGS_NOTDEF_OUTLINE;
    if (!face->cff_cid)
        flags |= HB_SUBSET_FLAGS_RETAIN_GIDS;
    else
        flags |= HB_SUBSET_FLAGS_DESUBROUTINIZE;
    hb_subset_input_set_flags(in, flags);
    hb_face_t *cut = hb_subset_or_fail(face->outlines, in);
    hb_subset_input_destroy(in);
    return cut;
}

static bool make_file(const sv_face_use *use, sv_kept_cut *kept)
{
    hb_face_t *cut = cut_outlines(use);
    if (cut == NULL) return false;
    hb_blob_t *blob = use->face->cff ? hb_face_reference_table(cut, HB_TAG('C', 'F', 'F', ' '))
                                     : hb_face_reference_blob(cut);
    unsigned n = 0;
    const char *d = hb_blob_get_data(blob, &n);
    kept->subset.raw_bytes = n;
    kept->subset.file =
        n == 0 ? NULL : sv_deflate(use->face->fonts, kept->arena, d, n, &kept->subset.file_bytes);
    hb_blob_destroy(blob);
    hb_face_destroy(cut);
    return kept->subset.file != NULL;
}

/* Six capitals told by the content, so that the same document always has the same bytes. */
static void make_tag(uint64_t hash, char tag[7])
{
    for (int i = 0; i < 6; i++, hash /= 26)
        tag[i] = (char)('A' + (int)(hash % 26));
    tag[6] = '\0';
}

static bool make_cut(const sv_face_use *use, sv_kept_cut *kept)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_fonts *fonts = use->face->fonts;
    put_widths(&b, use);
    kept->subset.widths = sv_buf_copy(&b, kept->arena);
    sv_buf_reset(&b);
    put_unicode(&b, use);
    bool good = b.failed == SV_OK && make_file(use, kept);
    if (good)
        kept->subset.unicode = sv_deflate(fonts, kept->arena, b.data, b.length, &kept->subset.unicode_bytes);
    sv_buf_reset(&b);
    if (good && use->aliases > 0) {
        good = put_map(use, &b);
        kept->subset.map = sv_deflate(fonts, kept->arena, b.data, b.length, &kept->subset.map_bytes);
    }
    sv_buf_free(&b);
    make_tag(kept->hash, kept->subset.tag);
    return good && kept->subset.unicode != NULL && !sv_arena_failed(kept->arena);
}

/* ---- cuts are kept -------------------------------------------------------------------------- */

static void put_key(const sv_face_use *use, sv_buf *b)
{
    for (uint32_t i = 0; i < use->aliases; i++) {
        sv_put_format(b, "%u%c", use->alias[i].glyph, use->alias[i].carrier ? '-' : ' ');
        sv_put_n(b, use->alias[i].text, use->alias[i].bytes);
        sv_put_char(b, '\n');
    }
}

static uint64_t hash_key(const sv_face_use *use, const sv_buf *aliases)
{
    uint64_t h = 14695981039346656037u;
    for (size_t i = 0; i < words_of(use->face); i++)
        if (use->seen[i] != 0) h = ((h ^ i) * 1099511628211u ^ use->seen[i]) * 1099511628211u, h ^= h >> 29;
    for (size_t i = 0; i < aliases->length; i++)
        h = (h ^ (uint8_t)aliases->data[i]) * 1099511628211u;
    for (const char *p = use->face->name; *p != '\0'; p++)
        h = (h ^ (uint8_t)*p) * 1099511628211u;
    return h;
}

static sv_kept_cut *kept_before(sv_face *face, uint64_t hash, const sv_face_use *use, const sv_buf *aliases)
{
    for (size_t i = 0; i < face->cuts; i++) {
        sv_kept_cut *k = &face->cut[i];
        if (k->hash == hash && k->alias_bytes == aliases->length &&
            memcmp(k->seen, use->seen, words_of(face) * sizeof *use->seen) == 0 &&
            (aliases->length == 0 || memcmp(k->aliases, aliases->data, aliases->length) == 0))
            return k;
    }
    return NULL;
}

/* A free place, or that of the cut that was not asked for longest. */
static sv_kept_cut *place_for(sv_face *face)
{
    if (face->cuts < SV_CUTS_KEPT) return &face->cut[face->cuts++];
    sv_kept_cut *oldest = &face->cut[0];
    for (size_t i = 1; i < face->cuts; i++)
        if (face->cut[i].used < oldest->used) oldest = &face->cut[i];
    sv_arena_free(oldest->arena);
    return oldest;
}

static sv_kept_cut *keep_new(sv_face_use *use, uint64_t hash, const sv_buf *aliases)
{
    sv_face *face = use->face;
    sv_kept_cut *k = place_for(face);
    *k = (sv_kept_cut){.hash = hash, .arena = sv_arena_new()};
    size_t bytes = words_of(face) * sizeof *use->seen;
    k->seen = k->arena == NULL ? NULL : sv_alloc(k->arena, bytes);
    bool good = k->seen != NULL;
    if (good) {
        memcpy(k->seen, use->seen, bytes);
        k->aliases = (char *)sv_copy_n(k->arena, aliases->length == 0 ? "" : aliases->data, aliases->length);
        k->alias_bytes = aliases->length;
        good = make_cut(use, k);
    }
    if (good) return k;
    sv_arena_free(k->arena);
    *k = face->cut[--face->cuts];
    return NULL;
}

const sv_subset *sv_face_cut(sv_face_use *use)
{
    sv_buf aliases;
    sv_buf_init(&aliases, 0);
    round_up(use);
    put_key(use, &aliases);
    uint64_t hash = hash_key(use, &aliases);
    sv_kept_cut *k = kept_before(use->face, hash, use, &aliases);
    if (k == NULL) k = keep_new(use, hash, &aliases);
    sv_buf_free(&aliases);
    if (k == NULL) return NULL;
    k->used = ++use->face->fonts->clock;
    return &k->subset;
}
