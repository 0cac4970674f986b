/* garment.h - the room's opener. */
#ifndef SV_GARMENT_ROOM_H
#define SV_GARMENT_ROOM_H

#include "base/world.h"

/* Loads the tables of data/lexicon but that of the words, whose index is built in. */
sv_status sv_garment_open(sv_world *world, sv_error *err);

#endif
