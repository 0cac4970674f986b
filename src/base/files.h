/* files.h - reading whole files with a limit, and writing them whole or not at all. */
#ifndef SV_FILES_H
#define SV_FILES_H

#include "selvedge/base.h"

/* Reads all of `path` ("-" is standard input) into the arena, with a zero byte after it. */
sv_status sv_file_read(sv_arena *arena, const char *path, size_t most_bytes, const char **text, size_t *bytes,
                       sv_error *err);
/* Writes to a temporary name in the same folder, mode 0600, and renames. Nothing is left behind on failure.
 */
sv_status sv_file_write(const char *path, const void *bytes, size_t n, sv_error *err);
sv_status sv_folder_make(const char *path,
                         sv_error *err); /* with its parents, mode 0700; an existing one is fine */
sv_status sv_folder_sync(const char *path,
                         sv_error *err); /* once at the end of a run: syncs that file system */

#endif
