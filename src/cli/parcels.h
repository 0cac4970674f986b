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

/* Gives the exit status: 1 when any parcel is stopped, 3 or 4 when a file could not be read or the system
 * refused. */
int sv_each_parcel(const sv_words *words, sv_parcel_fn each, void *state);
/* The same, and `last` once after them all, while the world is still open. */
int sv_each_parcel_then(const sv_words *words, sv_parcel_fn each,
                        sv_status (*last)(void *state, sv_error *err), void *state);

#endif
