/* selvedge/base.h - what every room shares: status, memory, exact numbers, findings.
 *
 * Nothing here prints, exits, or keeps state outside the objects it is handed. A function that can fail
 * returns a status (or marks the object it works on as failed); text about a failure goes into sv_error.
 * A fault in what the seller wrote is not an error: it is a finding.
 */
#ifndef SELVEDGE_BASE_H
#define SELVEDGE_BASE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "selvedge/codes.h" /* generated from data/findings.tsv: enum sv_code, SV_F_NAME for code `name` */

#ifdef __cplusplus
extern "C" {
#endif

#if defined(__GNUC__)
#define SV_MUST_USE     __attribute__((warn_unused_result))
#define SV_PRINTF(f, a) __attribute__((format(printf, f, a)))
#else
#define SV_MUST_USE
#define SV_PRINTF(f, a)
#endif

/* ---- status and errors ------------------------------------------------------------------------------- */

/* What a caller can do about it decides the kind; the words are in sv_error. */
typedef enum sv_status {
    SV_OK = 0,
    SV_NO_MEMORY,  /* an allocation failed; the arena concerned is marked failed */
    SV_USAGE,      /* the call or the command line is wrong */
    SV_BAD_FORMAT, /* a file cannot be read as its format, or lacks a column */
    SV_SYSTEM,     /* the system refused: file missing, disk full, no permission */
    SV_LIMIT       /* larger, deeper or more than the documented limit */
} sv_status;

/* A failure in words: what, where (file:line:column when there is one), and how to mend it. */
typedef struct sv_error {
    sv_status status;
    char text[512];
} sv_error;

/* Records the failure and returns `status`, so that a function can `return sv_fail(err, ...)`.
 * `err` may be NULL. */
sv_status sv_fail(sv_error *err, sv_status status, const char *format, ...) SV_PRINTF(3, 4);

/* ---- memory: one arena a job -------------------------------------------------------------------------- */

/* Everything that belongs to a job (a parcel, a request, a table row) is allocated from its arena and dies
 * with it. An arena belongs to one thread. When an allocation fails the arena is marked failed for good:
 * string functions then return "", sv_alloc returns NULL, and the entry point reports SV_NO_MEMORY. */
typedef struct sv_arena sv_arena;

sv_arena *sv_arena_new(void);                      /* NULL when out of memory; caller frees */
sv_arena *sv_arena_new_limited(size_t most_bytes); /* fails beyond most_bytes, for input from outside */
void sv_arena_free(sv_arena *arena);               /* frees all that was allocated from it; NULL is fine */
void sv_arena_reset(sv_arena *arena);              /* empties it, keeps its blocks for the next job */
bool sv_arena_failed(const sv_arena *arena);       /* true once any allocation failed */
size_t sv_arena_used(const sv_arena *arena);       /* bytes handed out since new or reset */

void *sv_alloc(sv_arena *arena, size_t bytes); /* zeroed, aligned for any type; NULL on failure */
void *sv_alloc_array(sv_arena *arena, size_t count, size_t size); /* the same, with the product checked */
const char *sv_copy(sv_arena *arena, const char *text);           /* NULL is copied as "" */
const char *sv_copy_n(sv_arena *arena, const char *text, size_t bytes);
const char *sv_format(sv_arena *arena, const char *format, ...) SV_PRINTF(2, 3);
const char *sv_trim(sv_arena *arena, const char *text, size_t bytes); /* copy without blanks at both ends */

const char *sv_upper_ascii(sv_arena *arena, const char *text); /* a copy; letters a to z only */
static inline const char *sv_or_empty(const char *text)        /* NULL as "" */
{
    return text ? text : "";
}

#define SV_NEW(arena, type)              ((type *)sv_alloc((arena), sizeof(type)))
#define SV_NEW_ARRAY(arena, count, type) ((type *)sv_alloc_array((arena), (count), sizeof(type)))

/* ---- exact numbers ------------------------------------------------------------------------------------ */

/* An exact decimal: value = units / 10^scale. No floating point takes part in any figure that is printed. */
typedef struct sv_dec {
    int64_t units;
    uint8_t scale; /* digits after the point, 0 to 18 */
    bool known;    /* false: no value (an empty cell); every operation on it gives an unknown */
} sv_dec;

#define SV_DEC_UNKNOWN ((sv_dec){0, 0, false})
#define SV_DEC(u, s)   ((sv_dec){(u), (s), true})

typedef enum sv_rounding {
    SV_HALF_UP,
    SV_DOWN,
    SV_UP,
    SV_HALF_EVEN
} sv_rounding; /* by magnitude, sign kept */

/* Reads a plain decimal ("12", "-3.50", ".5"); no exponent, no separators. False when it is not one, or has
 * more than 18 digits; `out` is then unknown. */
SV_MUST_USE bool sv_dec_read(const char *text, sv_dec *out);
sv_dec sv_dec_int(int64_t value);
/* Overflow gives an unknown, never a wrong figure. */
sv_dec sv_dec_add(sv_dec a, sv_dec b);
sv_dec sv_dec_sub(sv_dec a, sv_dec b);
sv_dec sv_dec_mul(sv_dec a, sv_dec b);
sv_dec sv_dec_div(sv_dec a, sv_dec b, int scale, sv_rounding how); /* b = 0 gives unknown */
sv_dec sv_dec_round(sv_dec a, int scale, sv_rounding how);
int sv_dec_cmp(sv_dec a, sv_dec b); /* -1, 0, 1; both must be known (unknown sorts first) */
int64_t sv_dec_to_int(sv_dec a, sv_rounding how);
/* Writes with exactly the digits it has (scale); "" when unknown. The buffer takes at least 24 bytes. */
const char *sv_dec_write(sv_dec a, char out[24]);
const char *sv_dec_text(sv_arena *arena, sv_dec a);
const char *sv_dec_text_short(sv_arena *arena, sv_dec a); /* without trailing zeros after the point */

/* Money is an integer of minor units beside an ISO 4217 code; the exponent comes from the atlas's currency
 * table (sv_currency_exponent). Mass is integer grams, length integer millimetres once a judge has rounded.
 */

/* ---- findings: the one way anything speaks up ---------------------------------------------------------- */

typedef enum sv_severity { SV_NOTE, SV_CAUTION, SV_STOP } sv_severity;
typedef enum sv_blocks {
    SV_BLOCKS_NOTHING,
    SV_BLOCKS_DATA,
    SV_BLOCKS_DECLARATION,
    SV_BLOCKS_EVERYTHING
} sv_blocks;

typedef struct sv_finding {
    sv_code code;
    sv_severity severity;
    sv_blocks blocks;
    bool final;          /* no reason overrides it: goods that no mail may carry */
    const char *place;   /* a path, such as piece[2].made_in; "" when it is the whole parcel */
    const char *message; /* what is so, in plain words */
    const char *remedy;  /* what to do about it */
    const char *source;  /* the rule it rests on; "" for a fault of the input */
    const char *as_of;   /* ISO date the source was last read; "" likewise */
    struct sv_finding *next;
} sv_finding;

typedef struct sv_findings {
    sv_arena *arena; /* where they are kept */
    sv_finding *first, *last;
    size_t stops, cautions, notes;
} sv_findings;

sv_findings sv_findings_in(sv_arena *arena);
/* Adds a finding with its row's severity, sentence and remedy; {1} to {4} in them are replaced by `args`, an
 * array that ends with NULL (SV_ARGS). Returns it so that source, as_of or severity can be set by the
 * functions below; NULL only when out of memory (the arena is then marked failed); those accept NULL. */
sv_finding *sv_find(sv_findings *list, sv_code code, const char *place, const char *const args[]);
#define SV_ARGS(...) ((const char *const[]){__VA_ARGS__, NULL})
#define SV_NO_ARGS   ((const char *const[]){NULL})
void sv_finding_source(sv_finding *f, const char *source, const char *as_of);
void sv_finding_severity(sv_findings *list, sv_finding *f, sv_severity severity);
void sv_findings_move(sv_findings *to, const sv_findings *from, const char *place_prefix); /* copies all */

const char *sv_severity_word(sv_severity severity); /* "note", "caution", "stop" */
const char *sv_blocks_word(sv_blocks blocks);
const char *sv_code_word(sv_code code); /* "postcode-form" */
bool sv_code_from_word(const char *word, sv_code *out);

/* ---- the world: what the tool rests on ---- */

/* All tables, built in and the user's own, loaded once by sv_world_open (selvedge/parcel.h names the rooms);
 * immutable afterwards, so that threads share it without locks. */
typedef struct sv_world sv_world;

/* Caches of one thread (font subsets, transliterators, conversion buffers). Never shared. */
typedef struct sv_press sv_press;
sv_press *sv_press_new(const sv_world *world); /* NULL when out of memory */
void sv_press_free(sv_press *press);

const char *sv_version(void);

#ifdef __cplusplus
}
#endif
#endif
