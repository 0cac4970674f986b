/* address.h - the address room: its tables and what it keeps of them. */
#ifndef SV_ADDRESS_ROOM_H
#define SV_ADDRESS_ROOM_H

#include "base/world.h"
#include "selvedge/address.h"

typedef struct sv_address_room {
    struct sp_data *split; /* split.h */
} sv_address_room;

/* Loads address/ tables, builds the index and puts it into world->room[SV_ROOM_ADDRESS]. Needs the atlas. */
SV_MUST_USE sv_status sv_address_open(sv_world *world, sv_error *err);

#endif
