/* press.h - the caches of one thread. Each module that caches keeps one slot with its own destructor. */
#ifndef SV_PRESS_H
#define SV_PRESS_H

#include "base/world.h"

typedef enum sv_press_slot {
    SV_PRESS_TEXT,
    SV_PRESS_FONTS,
    SV_PRESS_FORMS,
    SV_PRESS_XML,
    SV_PRESS_SLOTS
} sv_press_slot;

struct sv_press {
    const sv_world *world;
    void *slot[SV_PRESS_SLOTS];
    void (*drop[SV_PRESS_SLOTS])(void *);
};

#endif
