/* tariff.h - the room's own: the tariff as compiled from data/tariff, and the steps that judge a piece by it.
 *
 * A fact may be unknown. What it may still be is a set of values, one bit each; a condition is a set of
 * values too, so that matching is a few ands. Three strengths stand beside each other: what was said; what is
 * unsaid because it is not so (a seller would say that a shirt is padded); what the trade supposes. Only the
 * last makes an answer less than certain.
 */
#ifndef SV_TARIFF_H
#define SV_TARIFF_H

#include "base/world.h"
#include "selvedge/tariff.h"

/* The fibre group is judged like a fact: its values are the groups that lines tell apart. */
#define SV_GROUP    SV_FACT_COUNT
#define SV_KNOWABLE (SV_FACT_COUNT + 1)
enum {
    SV_G_SILK,
    SV_G_WOOL,
    SV_G_CASHMERE,
    SV_G_FINE_HAIR,
    SV_G_COARSE_HAIR,
    SV_G_COTTON,
    SV_G_VEGETABLE,
    SV_G_SYNTHETIC,
    SV_G_ARTIFICIAL,
    SV_G_OTHER,
    SV_GROUPS
};
#define SV_ALL_GROUPS ((sv_set)((1u << SV_GROUPS) - 1))

typedef uint16_t sv_set; /* bit v - 1 for value v */

typedef struct sv_condition {
    uint8_t fact;
    sv_set allowed;
} sv_condition;

typedef struct sv_when {
    const sv_condition *condition;
    size_t count;
} sv_when;

/* ---- the tables, compiled ---- */

typedef struct sv_tariff_code {
    const char *code, *from, *to, *title, *now, *source, *as_of;
} sv_tariff_code;

/* One part of a line: its condition and the code of each group. */
typedef struct sv_line_part {
    sv_when when;
    int16_t code[SV_GROUPS]; /* index of the code; by_fibre is false when all are the same */
    bool by_fibre;
    const char *from, *to; /* first and last day, "" open */
    const char *says, *note, *source, *as_of;
} sv_line_part;

typedef struct sv_tariff_line {
    const char *name;
    const sv_line_part *part;
    size_t parts;
} sv_tariff_line;

typedef struct sv_rule {
    const char *id, *classes;
    int64_t rank;
    sv_when when;
    const sv_tariff_line *line;
    const char *from, *to;
    const char *says, *unless, *note, *source, *as_of;
} sv_rule;

/* A second answer that some hold. */
typedef struct sv_second {
    const char *after; /* ids of rules, apart by blanks */
    const char *classes;
    sv_when when;
    const char *place;
    const sv_tariff_line *line;
    const char *says, *note, *source, *as_of;
} sv_second;

typedef struct sv_derived {
    sv_when when;
    uint8_t fact;
    sv_set set;
    bool sure, usual; /* as if said; else a default; else only possible */
    const char *says, *source, *as_of;
} sv_derived;

/* What is taken of each fact before anything is said. */
typedef struct sv_supposed {
    sv_set unsaid[SV_KNOWABLE];
    uint8_t usual[SV_KNOWABLE]; /* value, 0: the trade supposes nothing */
} sv_supposed;

typedef struct sv_class {
    const char *name, *groups;
    const sv_rule **rule; /* in the order of rank */
    size_t rules;
    const sv_second **second;
    size_t seconds;
    sv_supposed supposed;
} sv_class;

typedef struct sv_known_article {
    const char *key;
    const sv_class *class;
    sv_supposed supposed;
} sv_known_article;

typedef struct sv_fact_meta {
    sv_set all, rare;
    int values;
    const char *question;
    const char *phrase[16]; /* from 1 */
} sv_fact_meta;

typedef struct sv_digits {
    const char *place, *covers, *says, *look, *source, *as_of;
    int64_t digits;
} sv_digits;

typedef struct sv_edition {
    const char *name, *from, *to;
} sv_edition;

typedef struct sv_fibre_kind {
    const char *key;
    uint8_t chapter;     /* 0: not a textile that the sums count */
    sv_set groups;       /* one bit; two where the name leaves it open */
    const char *made_of; /* word of a construction that the material itself is: leather fur rubber plastic
                            straw, "" */
} sv_fibre_kind;

typedef struct sv_tariff {
    sv_fact_meta meta[SV_KNOWABLE];
    sv_tariff_code *code;
    size_t codes;
    sv_tariff_line *line;
    size_t lines;
    sv_rule *rule;
    size_t rules;
    sv_class *class;
    size_t classes;
    sv_known_article *article; /* sorted by key */
    size_t articles;
    const sv_known_article **by_row; /* for each row of lexicon/garments: that article or the wider one's */
    sv_second *second;
    size_t seconds;
    sv_derived *derived;
    size_t deriveds;
    sv_digits *digits;
    size_t digit_rows;
    sv_edition *edition;
    size_t editions;
    sv_fibre_kind *fibre; /* sorted by key */
    size_t fibres;
} sv_tariff;

sv_status sv_tariff_open(sv_world *world, sv_error *err);
static inline const sv_tariff *sv_tariff_of(const sv_world *world)
{
    return (const sv_tariff *)world->room[SV_ROOM_TARIFF];
}

/* Steps of opening, one file each. */
sv_status sv_tariff_meta(sv_tariff *t, sv_world *world, sv_error *err);
sv_status sv_tariff_codes(sv_tariff *t, sv_world *world, sv_error *err);
sv_status sv_tariff_lines(sv_tariff *t, sv_world *world, sv_error *err);
sv_status sv_tariff_rules(sv_tariff *t, sv_world *world, sv_error *err);
sv_status sv_tariff_articles(sv_tariff *t, sv_world *world, sv_error *err);

/* Reads "fact=a,b fact2=c"; `where` names the row in messages. `fact=*` is every value. */
sv_status sv_when_read(const sv_tariff *t, sv_arena *arena, const char *text, const char *where, sv_when *out,
                       sv_error *err);
bool sv_listed(const char *list, const char *word);     /* a word of a list apart by blanks */
int sv_code_find(const sv_tariff *t, const char *code); /* index, -1 */
const sv_tariff_line *sv_line_find(const sv_tariff *t, const char *name);
/* Is the day within from and to? "" is today's edition: rows without a last day. */
bool sv_in_force(const char *from, const char *to, const char *date);
static inline bool sv_dated_holds(const char *from, const char *to, const char *date)
{
    return (!*from && !*to) || sv_in_force(from, to, date);
}

/* ---- the sums of Section XI note 2 ---- */

#define SV_SUMS_MAX 8
typedef struct sv_sum {
    int chapter; /* 54 stands for 54 and 55 */
    sv_dec weight;
} sv_sum;

typedef struct sv_weighed {
    sv_set groups;       /* what it may be; 0 when no fibre was read */
    sv_set first_choice; /* one bit: what it is taken for */
    bool sure;           /* percentages decide */
    bool close;          /* first and second are 4 points or less apart */
    bool tie;            /* equal weights: the last heading */
    sv_set second;       /* the group that follows, 0: none */
    sv_set plurality;    /* the group that wins where chapters 54 and 55 are not added: disputed, 0: none */
    const char *sums;    /* in words */
    const char *note;    /* the notes used */
    sv_set material; /* bit of SV_FACT_CONSTRUCTION when the outer part is no textile but leather, fur ... */
} sv_weighed;

void sv_weigh(const sv_tariff *t, sv_arena *arena, const sv_facts *facts, sv_weighed *out);
/* Section XI note 2(A): the greatest weight, and of equal ones the last in the order of headings. */
size_t sv_note_2a_heaviest_or_last(const sv_sum *sum, size_t count, bool *tie);
/* Section XI note 2(B)(b) and (c): sums by chapter, chapters 54 and 55 as one. Gives how many. */
size_t sv_note_2b_by_chapter(const sv_sum *fibre, size_t count, sv_sum out[SV_SUMS_MAX]);

/* ---- judging a piece ---- */

#define SV_FOLLOWS_MAX 6
typedef struct sv_known {
    const char *date; /* ISO, "" for today's tables */
    const sv_fact_meta *meta;
    const sv_class *class;
    bool unfit;   /* the construction said fits no rule for the article */
    bool unnamed; /* the article itself is unknown: only the chapter can be told */
    sv_set may[SV_KNOWABLE];
    sv_set unsaid[SV_KNOWABLE];
    uint8_t usual[SV_KNOWABLE];
    uint8_t said[SV_KNOWABLE]; /* 1: said, or follows surely from what was said */
    const sv_derived *follows[SV_FOLLOWS_MAX];
    size_t follow;
    sv_weighed weighed;
} sv_known;

/* A fact taken for unsaid, and with it all that came from the same word (facts point to it) when `word` is
 * set. */
typedef struct sv_left_out {
    int fact;
    const char *word;
} sv_left_out;

/* False when the article is not one the tariff knows. `without`: what to leave out, NULL: nothing. */
bool sv_know(const sv_tariff *t, const sv_world *world, const sv_facts *facts, const sv_weighed *weighed,
             const sv_left_out *without, const char *date, sv_known *out);

#define SV_PATH_MAX 16
typedef struct sv_path {
    sv_condition step[SV_PATH_MAX];
    size_t steps;
} sv_path;

typedef struct sv_tally {
    int16_t code;
    double weight;
    double best;  /* of its likeliest leaf */
    sv_path path; /* to that leaf */
} sv_tally;

#define SV_TALLY_MAX 40
typedef struct sv_walked {
    sv_tally tally[SV_TALLY_MAX];
    size_t count;
    int usual;           /* index of the code the defaults of the trade lead to, -1: they do not decide */
    bool complete;       /* false when branches were left out or led nowhere */
    uint64_t touched[2]; /* facts that had to be branched on */
} sv_walked;

/* Every code still possible, with how likely it is. Leaves `known` as it was. */
void sv_walk(const sv_tariff *t, sv_known *known, sv_walked *out);
/* The single answer when each unknown fact has its usual, else its likeliest value; -1 when there is none. */
int sv_resolve(const sv_tariff *t, const sv_known *known);

#define SV_PASSED_MAX 6
typedef struct sv_decision {
    const sv_rule *rule;
    const sv_line_part *part;
    const sv_rule *passed[SV_PASSED_MAX]; /* rules passed over that have something to say */
    size_t passes;
} sv_decision;
/* The rule and the line that lead to the leaf at the end of `path`. */
bool sv_decide(const sv_known *known, const sv_path *path, sv_decision *out);
/* What would have to be so for a neighbouring rule to decide: one presumption turned, nearest first. `may`
 * are the facts as settled. Gives how many, at most `most`. */
size_t sv_nearly(const sv_known *known, const sv_set may[SV_KNOWABLE], const sv_decision *decided,
                 size_t most, sv_condition *out);
/* The first part of a line that holds for what may be on a day; NULL: none. */
const sv_line_part *sv_line_part_for(const sv_tariff_line *line, const sv_set may[SV_KNOWABLE],
                                     const char *date);

/* How likely a set of values is among those a fact may have. */
double sv_share(const sv_known *known, int fact, sv_set set);
static inline int sv_lowest(sv_set set) /* its first value, 0 for none */
{
    int v = 1;
    if (!set) return 0;
    for (; !(set & 1u); set = (sv_set)(set >> 1))
        v++;
    return v;
}
static inline sv_set sv_bit(int value)
{
    return (sv_set)(value > 0 ? 1u << (value - 1) : 0u);
}

/* The question that divides the candidates best, and its fact; "" when nothing is open. */
const char *sv_ask(const sv_tariff *t, sv_arena *arena, const sv_known *known, const sv_walked *walked,
                   const char **fact);

/* Compares the seller's code with ours and says how many digits the destination wants. */
void sv_judge_stated(const sv_tariff *t, sv_arena *arena, const char *stated, const char *destination,
                     const char *date, const sv_heading *ours, sv_findings *findings);
/* Does a destination hold with `place` of a practice ("EU GB")? */
bool sv_place_holds(const sv_tariff *t, const char *places, const char *destination);

#endif
