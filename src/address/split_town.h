/* split_town.h - what the search for town and region share: split_region.c and split_town.c. */
#ifndef SV_SPLIT_TOWN_H
#define SV_SPLIT_TOWN_H

#include "address/split.h"

#define SP_MOST_RUNS 96

typedef struct sp_run {
    size_t from, to;
    size_t region_from, region_to; /* a region at its end, apart from the town */
    int street;
    bool whole_region; /* nothing but a region's name */
    bool code_region;  /* ... in its short form */
    bool known;        /* a known town of the place */
    bool head;         /* the first run of the block */
} sp_run;

typedef struct sp_runs {
    sp_run r[SP_MOST_RUNS];
    size_t n;
    int code; /* number of the first run behind the postcode; -1 no postcode */
} sp_runs;

/* How far a run is looked at. */
typedef enum sp_look { SP_LOOK_STREET, SP_LOOK_WHOLE, SP_LOOK_TAIL } sp_look;

const sv_region *sp_region_of(const sp_job *j, size_t from, size_t to);
bool sp_is_area(const sp_job *j, size_t from, size_t to);
bool sp_is_town(const sp_job *j, size_t from, size_t to);
/* One word of at most three letters. */
bool sp_short_form(const sp_job *j, size_t from, size_t to);
/* Does word i begin with a capital that no small letter follows? */
bool sp_upper_case(const sp_job *j, size_t i);
/* Runs of open words, cut at gaps and at words already given. */
void sp_find_runs(const sp_job *j, sp_runs *s, sp_look how);
/* No run stands between this one and the town or the code. */
bool sp_near_town(const sp_job *j, const sp_run *r);
void sp_part_regions(sp_job *j);
void sp_give_regions(sp_job *j);

#endif
