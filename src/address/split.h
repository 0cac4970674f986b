/* split.h - how a pasted address is taken apart: clean, words, what each word may be, assignment, columns.
 *
 * The text is cut into words; every word is given to exactly one column, and the columns are written from the
 * words, so that nothing is lost and nothing invented. Tables (data/address/) say what words mean; the code
 * weighs. All work is bounded: an address has at most SP_MOST_WORDS words, what follows goes to `unplaced`.
 */
#ifndef SV_SPLIT_H
#define SV_SPLIT_H

#include "atlas/atlas.h"
#include "atlas/index.h"
#include "selvedge/address.h"

#define SP_MOST_WORDS 640
#define SP_NUMBERS    676 /* two capitals: (first - 'A') * 26 + second - 'A' */

/* Where a word goes. */
typedef enum sp_column {
    SP_OPEN, /* not yet given */
    SP_DROPPED,
    SP_COUNTRY,
    SP_RECIPIENT,
    SP_FIRM,
    SP_STREET,
    SP_DEPENDENT,
    SP_TOWN,
    SP_REGION,
    SP_CODE,
    SP_PHONE,
    SP_EMAIL,
    SP_UNPLACED
} sp_column;

/* What a word or phrase may be; the classes of data/address/words.tsv in their order there, then the towns
 * and areas. */
typedef enum sp_class {
    SP_IS_ATTN,
    SP_IS_BOX,
    SP_IS_BOX_EAST,
    SP_IS_CARE,
    SP_IS_CARE_EAST,
    SP_IS_CODE_WORD,    /* stands before the postcode and belongs to it: "Block 317" in Bahrain */
    SP_IS_COUNTRY_TAIL, /* may follow a country: "W.I.", "Europe" */
    SP_IS_CUSTOMER,
    SP_IS_DEPT,
    SP_IS_FIRM,
    SP_IS_FIRM_EAST,
    SP_IS_FROM,
    SP_IS_HINT, /* evidence for a country, nothing else */
    SP_IS_KIN,
    SP_IS_LABEL_ADDRESS,
    SP_IS_LABEL_CODE,
    SP_IS_LABEL_COUNTRY,
    SP_IS_LABEL_DEPENDENT,
    SP_IS_LABEL_DROP,
    SP_IS_LABEL_EMAIL,
    SP_IS_LABEL_FIRM,
    SP_IS_LABEL_NAME,
    SP_IS_LABEL_NOTE,
    SP_IS_LABEL_PHONE,
    SP_IS_LABEL_REGION,
    SP_IS_LABEL_STREET,
    SP_IS_LABEL_TAX,
    SP_IS_LABEL_TOWN,
    SP_IS_LOCKER,
    SP_IS_MILITARY,
    SP_IS_FORCE,
    SP_IS_MILITARY_GB,
    SP_IS_NEAR,
    SP_IS_NOTE,
    SP_IS_PARTICLE,
    SP_IS_RESTANTE,
    SP_IS_RURAL,
    SP_IS_BACK,
    SP_IS_END,
    SP_IS_FRONT,
    SP_IS_WEAK,
    SP_IS_TITLE,
    SP_IS_TITLE_AFTER,
    SP_IS_TITLE_GLUED, /* one character behind a name, written on to it */
    SP_IS_UNIT,
    SP_WORD_CLASSES, /* so many in words.tsv */
    SP_IS_TOWN = SP_WORD_CLASSES,
    SP_IS_AREA,
    SP_IS_REGION, /* a region's name, as evidence for its country */
    SP_CLASSES
} sp_class;
#define SP_BIT(c)  ((uint64_t)1 << (c))
#define SP_LABELS  (SP_BIT(SP_IS_LABEL_TOWN + 1) - SP_BIT(SP_IS_LABEL_ADDRESS))
#define SP_STREETS (SP_BIT(SP_IS_FRONT) | SP_BIT(SP_IS_BACK) | SP_BIT(SP_IS_END))

/* A set of places. */
typedef struct sp_places {
    uint64_t bit[(SP_NUMBERS + 63) / 64];
    uint16_t number[48];
    uint8_t n;
} sp_places;

typedef struct sp_sense {
    uint8_t class;
    const sp_places *in;    /* NULL: everywhere */
    const sp_places *hints; /* NULL: none */
    const struct sp_sense *next;
} sp_sense;

typedef enum sp_part {
    SP_PART_DEPENDENT,
    SP_PART_CITY,
    SP_PART_REGION,
    SP_PART_TOWN,
    SP_PART_STREET,
    SP_PART_DROP
} sp_part;

typedef struct sp_letters {
    int32_t script; /* as ICU numbers it */
    uint16_t country;
    int16_t weight;
    const char *letters; /* "": the script itself */
} sp_letters;

typedef struct sp_dial {
    const char *prefix;
    const sp_places *places;
} sp_dial;

/* A form of postcode that few places use: data/address/shapes.tsv. */
typedef struct sp_shape {
    const sv_atlas_place *place;
    int16_t weight;
    bool region, loose;
    unsigned opening; /* sp_opening */
} sp_shape;

/* How a place's addresses are read beyond the atlas: data/address/habits.tsv. */
typedef struct sp_habit {
    bool dependent;    /* a bare line between street and town is a dependent locality */
    bool region_above; /* the town is the part below the region: a region's name alone is no town */
    bool numbered;     /* districts and wards bear numbers: "Quận 1" */
    bool phone_zero;   /* telephone numbers begin with 0 within the country */
    bool town_above;   /* the town stands above the street */
    bool name_last;    /* large to small: who it is for stands last */
} sp_habit;

/* A word of the East that is written on to others. */
typedef struct sp_east_word {
    const char *text;
    uint8_t bytes, class;
} sp_east_word;

#define SP_ENDS 8192 /* bytes of a set of two bytes */

typedef struct sp_data {
    const sp_east_word *east;
    size_t easts;
    sv_name_index words;   /* phrase -> the first of its senses; owner 1: ends of words */
    sv_name_index first;   /* first word of a phrase -> the most words */
    sv_name_index parts;   /* owner: country number * 2 + (after) -> sp_part + 1 */
    const sp_sense *sense; /* of all phrases */
    const uint8_t *ends;   /* set (SP_ENDS) of the last two bytes of words that end street names */
    sp_letters *letters;
    size_t letter_rows;
    sp_shape *shape;
    size_t shapes;
    sp_dial *dial;
    size_t dials;
    sp_habit habit[SP_NUMBERS];
    const sv_atlas_place *place[SP_NUMBERS];
    uint16_t number[SP_NUMBERS]; /* of the places there are */
    size_t places;
} sp_data;

/* What stands between a word and the one before it. */
typedef enum sp_gap {
    SP_GAP_GLUED,
    SP_GAP_BLANK,
    SP_GAP_COLON,
    SP_GAP_DASH,
    SP_GAP_SLASH,
    SP_GAP_PAREN,
    SP_GAP_COMMA,
    SP_GAP_LINE
} sp_gap;

typedef struct sp_word {
    uint32_t at, end;      /* bytes in the clean text */
    uint32_t key, key_end; /* bytes in the keys */
    uint16_t line, piece;
    uint8_t gap, column;
    uint8_t digits, letters; /* how many, at most 255 */
    bool east;               /* Han, kana or Hangul */
    bool colon;              /* a colon or equals sign follows */
    bool no_name;            /* behind a label of the address: no name */
    bool fixed;              /* the column is sure (a label said so) */
    uint64_t mask;           /* classes of the phrases it is in */
    uint64_t first;          /* classes of the phrases it opens */
    uint8_t length[3];       /* words of the phrases it opens, longest first; 0 none */
    const sp_sense *sense[3];
    uint64_t classes[3]; /* of these phrases, as far as they count in the place */
} sp_word;

/* A run of words between commas, line ends and the like. */
typedef struct sp_piece {
    uint16_t from, to; /* words from .. to - 1 */
    uint16_t line;
    int16_t street; /* how much it looks like a street line */
} sp_piece;

typedef struct sp_job {
    const sv_world *world;
    const sp_data *data;
    const sv_atlas *atlas;
    sv_arena *arena;
    sv_press *press;
    sv_findings *findings;
    const char *text; /* clean */
    size_t bytes;
    char *keys;
    size_t keys_used, keys_room;
    sp_word *word;
    bool split;               /* a word was split since the phrases were looked up */
    size_t words, most, room; /* most: where cutting stops; room: with what splitting adds */
    size_t lines;
    const char *rest; /* text beyond the most words */
    const sv_atlas_place *place;
    bool inferred;   /* the country is not named but told from evidence */
    bool unsure;     /* ... and not clearly: it is used for reading, and asked for */
    const char *why; /* the evidence */
    char postcode[SV_POSTCODE_ROOM + 8];
    uint16_t candidate[48]; /* words that a postcode may begin with, while the country is sought */
    size_t candidates;
    int code_from, code_to; /* words of the postcode, -1 none */
    int town_from, town_to;
} sp_job;

static inline unsigned sp_number(const char *code)
{
    return (unsigned)(code[0] - 'A') * 26 + (unsigned)(code[1] - 'A');
}
static inline bool sp_has(const sp_places *set, unsigned number)
{
    return set->bit[number / 64] >> number % 64 & 1;
}
static inline const char *sp_key(const sp_job *j, const sp_word *w)
{
    return j->keys + w->key;
}
static inline size_t sp_key_length(const sp_word *w)
{
    return w->key_end - w->key;
}
static inline bool sp_open(const sp_job *j, size_t i)
{
    return j->word[i].column == SP_OPEN;
}
/* Does a new piece begin before this word? */
static inline bool sp_breaks(const sp_word *w)
{
    return w->gap >= SP_GAP_DASH;
}

/* What a phrase may be; NULL when no table knows it. */
static inline const sp_sense *sp_senses(const sp_data *d, uint16_t owner, const char *key, size_t length)
{
    uint32_t at;
    return sv_name_find(&d->words, owner, key, length, &at) ? &d->sense[at] : NULL;
}

const sp_data *sp_data_in(const sv_world *world);
sv_status sp_data_open(sv_world *world, sp_data **out, sv_error *err);

/* split_clean.c: full width to ASCII, one kind of dash, line breaks, no invisible marks. */
const char *sp_clean(sv_arena *arena, const char *block, size_t bytes, size_t *clean_bytes);
/* split_words.c */
void sp_cut(sp_job *j);
void sp_make_key(sp_job *j, sp_word *w);
/* Cuts the word that holds byte `at`, so that a word begins there; gives the number of that word. */
size_t sp_split_at(sp_job *j, uint32_t at);
/* Phrases of the tables: fills sense and length. */
void sp_look_up(sp_job *j);
/* Phrases and masks again, where words were split since. */
void sp_refresh(sp_job *j);
void sp_mask(sp_job *j); /* mask and first, by what counts in the place (all where it is unknown) */
void sp_give(sp_job *j, size_t from, size_t to, sp_column column);
/* Words from .. to - 1 as one text in the clean text. */
static inline const char *sp_text(const sp_job *j, size_t from)
{
    return j->text + j->word[from].at;
}
static inline size_t sp_span(const sp_job *j, size_t from, size_t to)
{
    return j->word[to - 1].end - j->word[from].at;
}
/* The key of words from .. to - 1: they must stand in one piece. */
static inline size_t sp_span_key(const sp_job *j, size_t from, size_t to, const char **key)
{
    *key = j->keys + j->word[from].key;
    return j->word[to - 1].key_end - j->word[from].key;
}
/* Was a word given to the column? */
bool sp_given(const sp_job *j, sp_column column);
/* In a block of several lines, street stands before word `from` on its line: what follows there is of the
 * street too. */
bool sp_street_before(const sp_job *j, size_t from);
/* The longest phrase of the class that opens at the word, 0 for none. */
size_t sp_phrase(const sp_job *j, size_t i, uint64_t classes);
/* The piece that begins at word i: its end. */
size_t sp_piece_end(const sp_job *j, size_t i);
/* The run of open words that begins at word i: its end. */
size_t sp_run_end(const sp_job *j, size_t i);
size_t sp_line_end(const sp_job *j, size_t i);
bool sp_whole_line(const sp_job *j, size_t i);

/* The territory with a code of its own that hides behind the name of its mother country (AX, RE, GU); else
 * the place. */
const sv_place *sp_own_code(const sv_world *world, const sv_place *place, const char *postcode,
                            const char *region, const char *city);

void sp_labels(sp_job *j); /* split_labels.c: what a label says */
size_t sp_number_end(const sp_job *j,
                     size_t i); /* split_contact.c: the end of a telephone number that begins at word i */
void sp_contacts(sp_job *j);    /* split_contact.c: e-mail, labelled telephone and tax numbers */
void sp_late_phones(sp_job *j); /* what is a telephone number once the postcode is known */
void sp_country(sp_job *j, const char *hint);                                           /* split_country.c */
const sv_atlas_place *sp_infer(sp_job *j, const int16_t named[SP_NUMBERS], bool *sure); /* split_infer.c */
/* With what a place's codes begin (bits), as printed or in any way; may a code of such begin at word i? */
unsigned sp_opening(const sv_atlas_place *p, bool printed);
bool sp_may_open(const sp_job *j, size_t i, unsigned bits);
/* No number that looks like a postcode stands against the place. */
bool sp_code_fits(sp_job *j, const sv_atlas_place *place);
void sp_code(sp_job *j);        /* split_code.c */
void sp_fixed_lines(sp_job *j); /* split_street.c: boxes, care-of, lockers and the like */
int sp_street(const sp_job *j, size_t from, size_t to); /* how much it looks like a street line */
bool sp_has_digit(const sp_job *j, size_t from, size_t to);
void sp_town(sp_job *j);  /* split_town.c: town, region, dependent locality */
void sp_parts(sp_job *j); /* split_parts.c: designated parts */
void sp_rest(sp_job *j);  /* split_rest.c: names, firms, street lines, what is left */
bool sp_east(sp_job *j);  /* split_east.c: addresses in Han, kana and Hangul; false when it is none */
void sp_titles(sp_job *j);
void sp_write(sp_job *j, sv_address *out); /* split_write.c */

#endif
