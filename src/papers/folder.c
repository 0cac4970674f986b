/* folder.c - the papers of a parcel on disk. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/files.h"
#include "papers/papers.h"
#include "selvedge/papers.h"

const char *sv_folder_name(sv_arena *arena, const char *reference)
{
    return sv_reference_folder(arena, reference);
}

static bool among(const sv_paper *papers, const char *name)
{
    for (; papers; papers = papers->next) {
        if (strcmp(papers->name, name) == 0) return true;
    }
    return false;
}

/* What an earlier run left and this one does not make. */
static sv_status take_away_old(const sv_paper *papers, const char *path, sv_error *err)
{
    char file[4096];
    const char *name;
    for (size_t i = 0; (name = sv_paper_name(i)) != NULL; i++) {
        if (among(papers, name)) continue;
        snprintf(file, sizeof file, "%s/%s", path, name);
        if (unlink(file) != 0 && errno != ENOENT)
            return sv_fail(err, SV_SYSTEM, "%s: an old paper cannot be removed: %s", file, strerror(errno));
    }
    return SV_OK;
}

sv_status sv_papers_write(const sv_paper *papers, const char *folder, const char *reference, sv_error *err)
{
    sv_arena *arena = sv_arena_new();
    if (!arena) return sv_fail(err, SV_NO_MEMORY, "out of memory");
    const char *path = sv_format(arena, "%s/%s", folder, sv_folder_name(arena, reference));
    sv_status s = sv_folder_make(path, err);
    if (!s) s = take_away_old(papers, path, err);
    for (const sv_paper *p = papers; p && !s; p = p->next)
        s = sv_file_write(sv_format(arena, "%s/%s", path, p->name), p->bytes, p->length, err);
    sv_arena_free(arena);
    return s;
}

sv_status sv_papers_settle(const char *folder, sv_error *err)
{
    return sv_folder_sync(folder, err);
}
