/* font.h - our own font module: which font holds a character, shaping, and the cut of a font that a PDF
 * carries.
 *
 * Fonts come from the table papers/fonts. HarfBuzz shapes, hb-subset cuts; nothing of libharu's own font
 * loading is used, because it embeds composite glyphs wrongly without an error. All objects belong to one
 * press (one thread) and live as long as it. The same glyphs always give the same bytes, whatever was printed
 * before.
 */
#ifndef SV_PAPERS_FONT_H
#define SV_PAPERS_FONT_H

#include "base/buf.h"
#include "text/press.h"

typedef struct sv_fonts sv_fonts;
typedef struct sv_face sv_face;

/* Slanted is the regular face leant over by the pen, heavy the regular face with a thin outline: the same
 * letters serve all three, so that a paper carries one font. */
typedef enum sv_font_style {
    SV_FONT_REGULAR,
    SV_FONT_BOLD,
    SV_FONT_SLANTED,
    SV_FONT_HEAVY,
    SV_FONT_STYLES
} sv_font_style;
typedef enum sv_base_direction { SV_BASE_AUTO, SV_BASE_LTR, SV_BASE_RTL } sv_base_direction;

/* A glyph in drawing order, left to right. Measures are in units of its face. `from` and `to` bound the bytes
 * of the text it stands for; they are equal for the glyphs of a cluster after the one that stands for all of
 * it. A carrier draws nothing and has no width: it only holds a character for those who read the text out. */
typedef struct sv_glyph {
    uint32_t id;
    int32_t advance, dx, dy;
    uint32_t from, to;
    bool carrier;
} sv_glyph;

/* Glyphs of one face and one direction. */
typedef struct sv_glyph_run {
    sv_face *face;
    const sv_glyph *glyph;
    uint32_t count, from, to;
    bool rtl;
    bool placed;       /* some glyph is moved off the line: each is placed by itself */
    bool spell;        /* the text cannot be told glyph by glyph: it is written beside the run */
    bool spread;       /* heavy letters that stand further apart */
    int64_t width;     /* millionths of an em */
    const char *codes; /* the glyphs as a PDF string, where that is all there is to say; else NULL */
    uint32_t code_bytes;
} sv_glyph_run;

/* A line of text, shaped without a size: widths in millionths of an em. Shared by all who ask for the same
 * text. */
typedef struct sv_shaped {
    const char *text;
    uint32_t bytes, runs;
    const sv_glyph_run *run;
    int64_t width, top, bottom; /* ink above and below the baseline, both counted outwards */
    bool rtl;                   /* base direction */
    bool slanted, heavy;
    uint32_t missing; /* first character that no installed font has, 0 when all are there */
} sv_shaped;

/* The fonts of the press, opened on first use. SV_SYSTEM with the package to install when the text font
 * itself is not there. */
SV_MUST_USE sv_status sv_fonts_of(sv_press *press, sv_fonts **out, sv_error *err);

/* Call before each document: shaped texts of earlier ones may be gone after it. */
void sv_fonts_start(sv_fonts *fonts);
/* `place` (ISO code of the destination, may be "") decides which glyphs Han characters get from now on. */
void sv_fonts_place(sv_fonts *fonts, const char *place);

/* Heavy letters stand this much further apart, millionths of an em; letters that join or carry marks do not.
 */
#define SV_HEAVY_SPREAD 24000

/* Grows whenever the shaped texts of before are gone; texts lives as long as they do. */
uint64_t sv_fonts_age(const sv_fonts *fonts);
sv_arena *sv_fonts_texts(sv_fonts *fonts);

/* Shapes one line. The result is valid until the next sv_fonts_start. NULL when out of memory. */
const sv_shaped *sv_shape(sv_fonts *fonts, sv_font_style style, sv_base_direction base, const char *text,
                          size_t bytes);

/* ICU's rules for where a line may end, kept by the fonts; NULL when ICU has none. */
struct UBreakIterator *sv_fonts_line_rules(sv_fonts *fonts);

/* The width of a text without shaping it. False: it needs shaping. */
bool sv_plain_width(sv_fonts *fonts, sv_font_style style, const char *text, size_t bytes,
                    int64_t *millionths);

/* Appends a two-byte code to a PDF string. */
void sv_put_code(sv_buf *b, uint32_t code);

/* Width in micrometres at a size in hundredths of a point. */
static inline int32_t sv_at_size(int64_t millionths, int32_t size)
{
    return (int32_t)((millionths * size * 127 + 18000000) / 36000000);
}

/* Is the word one of the words of the list, which are apart by blanks? */
bool sv_word_in(const char *list, const char *word, size_t bytes);

/* Packages (apart by blanks) that hold a font for the character's script and are not installed here; "" when
 * all that the table knows are there. */
const char *sv_fonts_wanted(sv_fonts *fonts, sv_arena *arena, uint32_t character);
/* Why a character may not stand on a paper: "emoji", "control character", ...; NULL when it may. */
const char *sv_character_refused(uint32_t character);

/* ---- the cut of a face that a document carries ---------------------------------------------- */

/* What a document used of a face. Kept by the pen, reset for each document. */
typedef struct sv_face_use {
    sv_face *face;
    uint64_t *seen;              /* bit set of glyphs */
    struct sv_face_alias *alias; /* further codes for a glyph that stands for another text here */
    uint32_t aliases;
    sv_arena *arena;
} sv_face_use;

typedef struct sv_face_alias {
    uint32_t code, glyph;
    const char *text;
    uint32_t bytes;
    bool carrier;
} sv_face_alias;

SV_MUST_USE bool sv_face_use_begin(sv_arena *arena, sv_face *face, sv_face_use *use);
/* Notes the glyph; gives the code to write in the page. `text` is what it stands for; 0 bytes: nothing of its
 * own. */
uint32_t sv_face_use_glyph(sv_face_use *use, uint32_t glyph, const char *text, uint32_t bytes);
/* Notes glyphs that stand for themselves. */
void sv_face_use_plain(sv_face_use *use, const sv_glyph *glyph, uint32_t count);
/* A code without ink and width that stands for the text; TrueType outlines only. */
uint32_t sv_face_use_carrier(sv_face_use *use, const char *text, uint32_t bytes);
/* Does the glyph by itself tell exactly this text? */
bool sv_face_tells(sv_face *face, uint32_t glyph, const char *text, uint32_t bytes);
int32_t sv_face_advance(const sv_face *face, uint32_t glyph);
uint32_t sv_face_upem(const sv_face *face);
bool sv_face_is_cff(const sv_face *face);
const char *sv_face_family(const sv_face *face); /* "Liberation Sans" */
sv_font_style sv_face_style(const sv_face *face);
/* Font box in thousandths of an em, for the descriptor: x0 y0 x1 y1 ascent descent. */
void sv_face_box(const sv_face *face, int32_t out[6]);

/* The cut, ready for a PDF. All parts are deflated except the texts. */
typedef struct sv_subset {
    char tag[7];      /* six capitals, from the content */
    const void *file; /* FontFile2, or CIDFontType0C */
    size_t file_bytes, raw_bytes;
    const char *widths;  /* the W array, as PDF text */
    const void *unicode; /* ToUnicode CMap */
    size_t unicode_bytes;
    const void *map; /* CIDToGIDMap, NULL where codes are glyph numbers */
    size_t map_bytes;
} sv_subset;
/* Kept by the face for later documents with the same glyphs. NULL: out of memory, or the font cannot be cut.
 */
const sv_subset *sv_face_cut(sv_face_use *use);

/* zlib at the level of the press, into the arena; NULL when out of memory. */
const void *sv_deflate(sv_fonts *fonts, sv_arena *arena, const void *bytes, size_t n, size_t *out);

#endif
