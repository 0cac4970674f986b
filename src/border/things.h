/* things.h - what a piece is or holds, for the rules of the border. */
#ifndef SV_BORDER_THINGS_H
#define SV_BORDER_THINGS_H

#include "border/border.h"
#include "border/words.h"

void sv_things_of(const sv_world *world, sv_arena *arena, const sv_goods *goods, sv_things *things);
/* One of the list is there (or the list says any); *which becomes the word that named it. */
bool sv_things_any(const sv_things *things, const char *list, const char **which);

#endif
