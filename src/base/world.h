/* world.h - the tables and what the rooms built from them. Immutable once open. */
#ifndef SV_WORLD_H
#define SV_WORLD_H

#include "base/table.h"

/* A room keeps its index of the tables in its slot. ORDER ROOMS: sv_world_open opens them in this order. */
typedef enum sv_room {
    SV_ROOM_ATLAS,
    SV_ROOM_ADDRESS,
    SV_ROOM_LEXICON,
    SV_ROOM_TARIFF,
    SV_ROOM_BORDER,
    SV_ROOM_DUTY,
    SV_ROOM_PAPERS,
    SV_ROOM_COUNT
} sv_room;

struct sv_world {
    sv_arena *arena;
    const char *data_dir; /* the user's own tables, "" when there are none */
    const char *today;    /* ISO date given at opening */
    size_t tables;
    sv_table *table;           /* in the order of the names */
    void *room[SV_ROOM_COUNT]; /* what each room built; NULL where it was not opened */
};

/* Loads every built-in table whose name starts with `prefix` (such as "atlas/"), with the user's rows over
 * it. */
sv_status sv_world_load(sv_world *world, const char *prefix, sv_error *err);
const sv_table *sv_world_table(const sv_world *world, const char *name); /* NULL when not loaded */
/* Room code that cannot do without: the table, or SV_BAD_FORMAT naming it. */
sv_status sv_world_need(const sv_world *world, const char *name, const sv_table **out, sv_error *err);

/* What is built in, from the assembler file made of data/ and forms/: tables as sv_table_store puts them,
 * other files ("forms/cn22.xml") as they are, each with a zero byte after it. */
typedef struct sv_builtin {
    const char *name;
    const char *text;
    const char *end;
} sv_builtin;
extern const sv_builtin sv_builtins[];
extern const size_t sv_builtin_count;

#endif
