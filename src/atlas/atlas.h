/* atlas.h - what the address room reads of the atlas beyond the public header: how a place writes addresses,
 * its postcodes, its regions, the names by which buyers call it.
 *
 * Everything here is part of the world: immutable once open, shared by threads, never NULL where a text is
 * meant.
 */
#ifndef SV_ATLAS_H
#define SV_ATLAS_H

#include "base/world.h"
#include "selvedge/atlas.h"

/* Loads atlas/ tables, builds the index and puts it into world->room[SV_ROOM_ATLAS]. */
SV_MUST_USE sv_status sv_atlas_open(sv_world *world, sv_error *err);

typedef struct sv_atlas sv_atlas;
typedef struct sv_atlas_place sv_atlas_place;
static inline const sv_atlas *sv_atlas_in(const sv_world *world) /* NULL when the room was not opened */
{
    return (const sv_atlas *)world->room[SV_ROOM_ATLAS];
}

/* ---- postcodes ---- */

/* How well a text fits the postcodes of a place. Everything but SV_POST_NONE is a code the post delivers by.
 */
typedef enum sv_post_fit {
    SV_POST_NONE,   /* no form of the place fits (or it has no postcodes) */
    SV_POST_OLD,    /* a superseded system that is still used */
    SV_POST_PREFIX, /* normal behind an obsolete or cross-border prefix: D-26133, FI-00550, 〒154-0023 */
    SV_POST_LOOSE,  /* right characters; spacing, hyphens, case, digits or the code's own letters differ */
    SV_POST_NORMAL  /* letter for letter as printed */
} sv_post_fit;

/* One form of a place's postcodes. In a mask `9` is a digit, `A` a capital letter, `#` either, `{1-7}` or
 * `{ABC}` one of these characters, `(LV-)` characters that may be missing in the input; everything else
 * stands for itself. Blanks and hyphens are printed and not asked for in the input. */
#define SV_POSTCODE_MOST 15 /* significant characters (letters and digits) of the longest form */
typedef struct sv_postcode_form {
    const char *mask;
    bool old;                          /* superseded, still used */
    bool group;                        /* the first letters must be one of the place's letter groups */
    uint8_t length, opening;           /* significant characters, and how many of the first may be missing */
    uint64_t accept[SV_POSTCODE_MOST]; /* bit of each permitted character: digits 0 to 9, letters 10 to 35 */
    char before[SV_POSTCODE_MOST];     /* the blank or hyphen printed before each, 0 for none */
    const char *note;                  /* what to say of it, "" for nothing */
} sv_postcode_form;

#define SV_POSTCODE_ROOM 32
typedef struct sv_postcode {
    sv_post_fit fit;
    char text[SV_POSTCODE_ROOM];  /* normal form; "" when nothing fits */
    const sv_postcode_form *form; /* NULL when nothing fits */
} sv_postcode;

/* The whole text is one postcode of this place? Takes any case, full-width and local digits, any dash, a
 * surplus or missing blank or hyphen, label signs (〒), obsolete prefixes. Allocates nothing. */
bool sv_postcode_read(const sv_atlas_place *place, const char *text, size_t bytes, sv_postcode *out);
/* The longest postcode of this place that begins exactly at `text` and ends at a word's end; the bytes it
 * takes, 0 for none. The caller sees to it that `text` begins a word. A code glued to a town's letters
 * ("101-0001Tokyo", "1010Wien") is taken when `glued`. */
size_t sv_postcode_at(const sv_atlas_place *place, const char *text, size_t bytes, bool glued,
                      sv_postcode *out);
/* A code that order forms force on buyers in places that have none (00000, 999077), or a mere row of zeros.
 */
bool sv_postcode_placeholder(const sv_atlas_place *place, const char *text, size_t bytes);

/* ---- regions ---- */

/* A first-level part of a country as addresses name it: state, province, prefecture. */
typedef struct sv_region {
    const char *code;      /* ISO 3166-2 part behind the hyphen, "" where it has none */
    const char *name;      /* Latin name */
    const char *local;     /* in local script, "" when the same */
    const char *shorter;   /* printed short form where the post wants one: "CA", "Jal."; "" for none */
    const char *postcodes; /* "900-961" first characters of the postcode or ranges of them, apart by blanks;
                              "" unknown */
    const char *source, *as_of;
} sv_region;
/* By code, short form, full, local or other name, in any case. NULL: none. Allocates nothing. */
const sv_region *sv_region_find(const sv_atlas_place *place, const char *text, size_t bytes);
/* The region a postcode (normal form) lies in; NULL when the table does not say or several share it. */
const sv_region *sv_region_by_postcode(const sv_atlas_place *place, const char *postcode);
/* May this postcode lie in this region? True also when the table does not say. */
bool sv_region_has_postcode(const sv_region *region, const char *postcode);

/* ---- a place ---- */

typedef enum sv_side { SV_SIDE_NONE, SV_SIDE_LEFT, SV_SIDE_RIGHT, SV_SIDE_BELOW, SV_SIDE_ABOVE } sv_side;

/* Parts of an address, as bits of `required` and `capitals`. */
enum {
    SV_PART_NAME = 1,      /* N recipient */
    SV_PART_FIRM = 2,      /* O organisation */
    SV_PART_STREET = 4,    /* A street lines */
    SV_PART_DEPENDENT = 8, /* D dependent locality */
    SV_PART_TOWN = 16,     /* C city */
    SV_PART_REGION = 32,   /* S region */
    SV_PART_CODE = 64      /* Z postcode */
};

typedef struct sv_layout sv_layout; /* a template, made ready; src/atlas/layout.h */

struct sv_atlas_place {
    sv_place place;    /* first, so that an sv_place of the atlas is one of these */
    uint16_t index;    /* among the places, in the order of codes */
    const char *lines; /* Latin template behind the street lines: "Z C|S" (data/atlas/formats.tsv says how) */
    const char *lines_local; /* whole template in local script; "" when the order is the same */
    const char *town;        /* town every address of the place has: SINGAPORE, GIBRALTAR; "" */
    const char *script;      /* ISO 15924 of local writing: Jpan, Cyrl, Hani; "Latn" */
    bool firm_first;
    bool region_short;          /* regions are printed by their short form */
    bool once;                  /* town and region of one name are printed once */
    uint8_t required, capitals; /* SV_PART_ bits */
    sv_side side;               /* where the postcode stands by the town */
    const char *prefix;         /* printed before the code on mail from abroad and no part of it: "LT-"; "" */
    const char *signs;          /* old prefixes that come off, apart by blanks: "D" */
    const char *placeholders;   /* apart by blanks */
    const char *example;        /* a postcode, "" where there is none */
    const char *expects;        /* words: phone email, what the destination expects beside the address */
    const sv_postcode_form *form;
    size_t forms;            /* 0: the place has no postcodes */
    const uint8_t *groups;   /* set of permitted letter groups, NULL for all */
    const sv_region *region; /* in the order of the table */
    size_t regions;
    const sv_layout *latin,
        *local; /* local is never NULL: the same order in local script where none is given */
    const char *format_source, *format_as_of;
    const char *postcode_source, *postcode_as_of;
    const struct sv_territory_row **territory; /* rows that may apply to an address with this code */
    size_t territories;
    const sv_atlas *atlas;
};

static inline const sv_atlas_place *sv_atlas_place_of(const sv_place *place)
{
    return (const sv_atlas_place *)(const void *)place;
}

/* ---- names by which buyers call a place ---- */

/* The key of a name: folded (sv_fold), dots and apostrophes dropped, other punctuation a blank, blanks
 * single. Returns the length, or SIZE_MAX when it does not fit. "U.S.A." gives "usa", "Côte d'Ivoire" "cote
 * divoire". */
size_t sv_alias_key(char *out, size_t room, const char *text, size_t bytes);

typedef struct sv_alias {
    const sv_place *place;
    const char *part; /* what it names when not the whole place: "scotland", "hawaii"; "" */
    bool weak;   /* is also a town, a state, a given name or a word (Georgia, Jersey, Luxembourg, Panama, CA,
                    DE): take it only with other evidence or alone on the last line */
    bool shared; /* two places are called so (Kongo): place is NULL */
} sv_alias;
/* By key; alpha-2 and alpha-3 codes are among them (weak). NULL: no place is called so. */
bool sv_alias_find(const sv_atlas *atlas, const char *key, size_t bytes, sv_alias *out);
/* The most blank-separated words a key in the table has, so that a search for names can stop. */
size_t sv_alias_most_words(const sv_atlas *atlas);

/* ---- territories ---- */

typedef struct sv_territory_row {
    sv_territory territory;
    const char *within;     /* code of the country under whose name it hides, "" */
    const char *postcodes;  /* first characters of the normal form, or ranges of them */
    const char *places;     /* names, apart by ; */
    const char *const *key; /* their alias keys, ends with NULL */
    bool whole;             /* the code of `country` alone tells it */
    const char *severity;   /* of the finding: none note caution stop */
} sv_territory_row;
static inline const sv_territory_row *sv_territory_row_of(const sv_territory *t)
{
    return (const sv_territory_row *)(const void *)t;
}
size_t sv_territory_count(const sv_world *world);
const sv_territory *sv_territory_at(const sv_world *world, size_t index);
/* A place with a code of its own that hides behind its mother country's name: FR 97400 gives RE, FI 22100 AX,
 * NO 9170 SJ, US with PR, GU, VI or 009xx gives PR, GU, VI, GB JE2 3AB gives JE. `place` itself when it is
 * none. */
const sv_place *sv_place_by_postcode(const sv_world *world, const sv_place *place, const char *postcode,
                                     const char *region, const char *city);
/* The length of the item of `list` ("35 38", "970-974", "BT") that holds for a postcode's normal form; 0 for
 * none. */
size_t sv_postcode_in(const char *list, const char *postcode);

#endif
