/* parcels.h - walks the parcels of the files on a command line, each prepared into its dossier. */
#ifndef SV_PARCELS_H
#define SV_PARCELS_H

#include "cli/cli.h"

/* The options that go with it; a command puts them into its own list. */
#define SV_PARCEL_OPTIONS                                                                                    \
    {"profiles", "DIR",                                                                                      \
     "folder of sender profiles, NAME.tsv each (default: the folder profiles beside the file)"},             \
        {"date", "DAY", "the day of posting where a parcel names none (default: today)"},                    \
    {                                                                                                        \
        "override", "REASON", "set stops aside; the reason is recorded in the dossier"                       \
    }

/* Called for each parcel. The dossier and its memory are gone after the call. */
typedef sv_status (*sv_parcel_fn)(void *state, sv_dossier *dossier, sv_error *err);

/* Called for a file that is not parcels but a UBL document (papers/ubl.h); *stopped counts as a stopped
 * parcel. */
typedef sv_status (*sv_document_fn)(void *state, const sv_world *world, sv_arena *arena, const char *path,
                                    bool *stopped, sv_error *err);

typedef struct sv_parcel_walk {
    sv_parcel_fn each;
    sv_document_fn document; /* NULL: such a file is refused */
    sv_status (*last)(void *state,
                      sv_error *err); /* once after them all, while the world is still open; or NULL */
    void *state;
} sv_parcel_walk;

/* Walks the files of a command line; two parcels of one reference are noticed across all of them. Gives the
 * exit status: 1 when any parcel is stopped, 3 or 4 when a file could not be read or the system refused. */
int sv_each_parcel(const sv_words *words, const sv_parcel_walk *calls);

#endif
