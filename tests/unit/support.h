/* support.h - what the test programs share. Tests run from the top of the project. */
#ifndef SV_SUPPORT_H
#define SV_SUPPORT_H

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/table.h"
#include "base/world.h"
#include "selvedge/parcel.h"

/* Opens the rooms (SV_OPEN_...; 0: all) with today = 2026-11-25; fails the test with the message on error. */
sv_world *open_world(unsigned rooms);
/* Reads tests/expected/NAME.tsv; fails the test when it cannot, when a row has no `source`, or when it has no
 * rows. */
const sv_table *expected(sv_arena *arena, const char *name);
/* Cell by column name; fails the test when the column is not there. */
const char *field(const sv_table *t, size_t row, const char *column);
/* Fails with file, id and the two texts when they differ. */
void same(const char *id, const char *what, const char *wanted, const char *got);
/* Whole file, or NULL. */
const char *slurp(sv_arena *arena, const char *path, size_t *bytes);
/* Writes a user's table ("atlas/aliases") into the folder, which is made. */
void write_table(const char *folder, const char *name, const char *text);
/* Runs a shell command; its output in the arena, its exit status in *status. */
const char *run(sv_arena *arena, const char *command, int *status);

#endif
