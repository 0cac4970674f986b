/* folder.c - the papers of a parcel on disk. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/files.h"
#include "selvedge/papers.h"

/* Every name that papers ever writes, so that what an earlier run left and this one does not make can be
 * taken away. */
static const char *const names[] = {
    "customs-declaration.pdf", "declaration.xml",  "invoice.pdf",       "invoice.xml",
    "content-list.pdf",        "content-list.xml", "address-label.pdf", "data-sheet.txt",
    "data-sheet.pdf",          "cover-sheet.pdf",  "packing-slip.pdf",  "check-sheet.pdf",
    "return-pack.pdf",         "border-card.pdf",  "buyers-note.txt",   "dossier.json"};

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

static sv_status take_away_old(const sv_paper *papers, const char *path, sv_error *err)
{
    char file[4096];
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (among(papers, names[i])) continue;
        snprintf(file, sizeof file, "%s/%s", path, names[i]);
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
