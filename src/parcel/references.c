/* references.c - the references of a run, so that a second parcel of the same name is noticed.
 *
 * Of each reference only a digest of 80 bits and its place are kept, 16 bytes, so that a run of a hundred
 * thousand parcels stays small. Two different references with one digest are not to be expected in any run
 * that fits a disk.
 */
#include <stdlib.h>
#include <string.h>

#include "base/banned.h"
#include "parcel/read.h"

#define MOST_FILES 65535

typedef struct entry {
    uint64_t digest;
    uint16_t more; /* of the digest */
    uint16_t file; /* from 1; 0: a free place */
    uint32_t line;
} entry;

struct sv_references {
    entry *entry; /* open addressing; `room` is a power of two */
    size_t room, used;
    char **file;
    size_t files;
};

/* FNV-1a with the mixing of splitmix64 behind it. */
static uint64_t digest_of(const char *text, uint64_t h)
{
    for (; *text; text++)
        h = (h ^ (unsigned char)*text) * UINT64_C(0x100000001b3);
    h ^= h >> 30;
    h *= UINT64_C(0xbf58476d1ce4e5b9);
    h ^= h >> 27;
    h *= UINT64_C(0x94d049bb133111eb);
    return h ^ (h >> 31);
}

sv_references *sv_references_new(void)
{
    return calloc(1, sizeof(sv_references));
}

void sv_references_free(sv_references *r)
{
    if (!r) return;
    for (size_t i = 0; i < r->files; i++)
        free(r->file[i]);
    free(r->file);
    free(r->entry);
    free(r);
}

static entry *place_of(entry *entries, size_t room, uint64_t digest, uint16_t more)
{
    size_t i = (size_t)digest & (room - 1);
    while (entries[i].file && !(entries[i].digest == digest && entries[i].more == more))
        i = (i + 1) & (room - 1);
    return &entries[i];
}

static bool grow(sv_references *r)
{
    if (r->used * 4 < r->room * 3) return true;
    size_t room = r->room ? r->room * 2 : 256;
    entry *wider = calloc(room, sizeof *wider);
    if (!wider) return false;
    for (size_t i = 0; i < r->room; i++) {
        const entry *e = &r->entry[i];
        if (e->file) *place_of(wider, room, e->digest, e->more) = *e;
    }
    free(r->entry);
    r->entry = wider;
    r->room = room;
    return true;
}

bool sv_references_file(sv_references *r, const char *file)
{
    if (r->files == MOST_FILES) return false;
    char **more = realloc(r->file, (r->files + 1) * sizeof *more);
    if (!more) return false;
    r->file = more;
    r->file[r->files] = strdup(file);
    if (!r->file[r->files]) return false;
    r->files++;
    return true;
}

bool sv_references_add(sv_references *r, const char *reference, size_t line, const char **file, size_t *first)
{
    *file = NULL;
    if (!grow(r)) return false;
    uint64_t digest = digest_of(reference, UINT64_C(0xcbf29ce484222325));
    uint16_t more = (uint16_t)digest_of(reference, UINT64_C(0x9ae16a3b2f90404f));
    entry *e = place_of(r->entry, r->room, digest, more);
    if (e->file) {
        *file = r->file[e->file - 1];
        *first = e->line;
        return true;
    }
    *e = (entry){digest, more, (uint16_t)r->files, (uint32_t)line};
    r->used++;
    return true;
}
