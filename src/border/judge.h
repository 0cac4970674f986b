/* judge.h - a case before the border: goods between two ends, and what the rows say of them. */
#ifndef SV_BORDER_JUDGE_H
#define SV_BORDER_JUDGE_H

#include "border/border.h"
#include "border/things.h"

typedef enum sv_state { SV_STATE_UNKNOWN, SV_STATE_NEW, SV_STATE_USED } sv_state;

typedef struct sv_case {
    const sv_border *b;
    sv_arena *arena;
    sv_end from, to;
    const sv_goods *goods;
    const char *place;
    const char *situation; /* sale where none was given */
    sv_state state;
    bool bulk, in_one_union;
    sv_things things;
    sv_border_answer *out;
    sv_findings *findings;
    int closest; /* closeness of the row that stands in `out` */
} sv_case;

/* What one row has to say. */
typedef struct sv_voice {
    sv_verdict verdict;
    const char *why, *remedy, *lifted_by, *source, *as_of, *which;
    int closeness;
    bool no_mail;      /* no mail may carry it: no reason overrides */
    const char *users; /* key of the row when it is the user's own; NULL */
} sv_voice;

/* Hears a row: the papers that lift it, the finding, and whether it becomes the answer. */
void sv_speak(sv_case *c, const sv_voice *voice);
/* Does a paper that the seller holds lift the row? Fills the fields of the form it belongs to. */
bool sv_papers_lift(sv_arena *arena, const char *lifted_by, const char *documents, sv_border_answer *out);
void sv_judge_used(sv_case *c);
void sv_judge_trader(sv_case *c);

/* Key of a row for a note, when it is the user's own; else NULL. */
const char *sv_users_key(sv_arena *arena, const sv_table *t, size_t row);
/* Is a day more than twelve months before another? */
bool sv_older_than_a_year(const char *day, const char *today);

/* An amount in another currency by the table of SDR rates; unknown where one of them is not in it. */
sv_dec sv_convert(const sv_border *b, sv_dec amount, const char *from, const char *to);

#endif
