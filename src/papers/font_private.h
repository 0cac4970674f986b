/* font_private.h - shared by font.c, font_shape.c and font_cut.c only. */
#ifndef SV_PAPERS_FONT_PRIVATE_H
#define SV_PAPERS_FONT_PRIVATE_H

#include "papers/font.h"

#include <hb-ot.h>
#include <hb.h>
#include <zlib.h>

typedef enum sv_face_state { SV_FACE_UNTRIED, SV_FACE_OPEN, SV_FACE_ABSENT } sv_face_state;

#define SV_CUTS_KEPT 128

typedef struct sv_kept_cut {
    uint64_t hash;
    uint64_t used;  /* clock of the last use */
    uint64_t *seen; /* the key: glyph bits, then the aliases as text */
    size_t seen_words;
    char *aliases;
    size_t alias_bytes;
    sv_arena *arena; /* owns all of the cut */
    sv_subset subset;
} sv_kept_cut;

typedef struct sv_plain sv_plain;

struct sv_face {
    sv_fonts *fonts;
    const char *name, *family, *package, *paths, *scripts, *places;
    sv_font_style style;
    unsigned index;
    sv_face_state state;
    hb_face_t *face, *outlines; /* the whole; and only the tables a cut needs */
    hb_font_t *font;
    uint32_t upem, glyphs;
    bool cff, cff_cid;    /* CFF outlines; with codes that equal glyph numbers */
    bool round_up;        /* text font: a cut holds whole groups of letters */
    uint32_t *tells;      /* glyph -> the character it stands for by itself, 0 none */
    const uint64_t *sets; /* bits of the glyphs of groups of letters that are written together */
    sv_plain *plain;      /* of characters below U+2200, filled as they are met */
    sv_kept_cut cut[SV_CUTS_KEPT];
    size_t cuts;
};

typedef struct sv_kept_shape {
    uint64_t hash;
    char place[4]; /* the same text has other glyphs elsewhere */
    sv_font_style style;
    sv_base_direction base;
    const sv_shaped *shaped;
} sv_kept_shape;

struct sv_fonts {
    const sv_world *world;
    sv_arena *arena; /* faces and their lists: as long as the press */
    sv_arena *texts; /* shaped texts: emptied when it grows too large */
    sv_face *face;
    size_t faces;
    char place[4];
    hb_buffer_t *buffer;
    sv_kept_shape *shape; /* open addressing, a power of two */
    size_t shapes, shape_room;
    uint64_t clock, age;
    struct UBreakIterator *line_rules;
    z_stream deflate[2]; /* for long and for short texts */
    bool deflate_ready[2];
};

/* Opens the face's file if that was not tried yet. */
bool sv_face_open(sv_face *face);
/* A face of only the tables that outlines need; the caller destroys it. */
hb_face_t *sv_face_outlines(const sv_face *face);
/* The first face, in the order of the table, that has all `n` characters. NULL: none installed. */
sv_face *sv_face_for(sv_fonts *fonts, sv_font_style style, const uint32_t *character, size_t n);
bool sv_face_has(sv_face *face, uint32_t character);
/* Texts of which each character is a glyph of its own width. False: the text needs shaping. */
bool sv_plain_shape(sv_fonts *fonts, sv_font_style style, const char *text, size_t bytes, sv_shaped *out);
/* Shapes always. */
bool sv_full_shape(sv_fonts *fonts, sv_font_style style, sv_base_direction base, const char *text,
                   size_t bytes, sv_shaped *out);
const uint32_t *sv_face_tells_list(sv_face *face);

#endif
