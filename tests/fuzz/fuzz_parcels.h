/* fuzz_parcels.h - reads the input as a file of parcels, to the end. */
#ifndef SV_FUZZ_PARCELS_H
#define SV_FUZZ_PARCELS_H

#define _GNU_SOURCE /* memfd_create */
#include <stdio.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <unistd.h>

#include "selvedge/parcel.h"

static int read_parcels(const uint8_t *data, size_t bytes, int format)
{
    char path[64];
    int fd = memfd_create("parcels", 0);
    if (fd < 0 || write(fd, data, bytes) != (ssize_t)bytes) abort();
    snprintf(path, sizeof path, "/proc/self/fd/%d", fd);
    sv_parcels *parcels;
    sv_error err = {SV_OK, ""};
    sv_reading how = {.profiles = "data/demo/profiles", .format = format};
    if (sv_parcels_open(NULL, path, &how, &parcels, &err) == SV_OK) {
        sv_arena *arena = sv_arena_new();
        const sv_parcel *p;
        while (sv_parcels_next(parcels, arena, &p, &err) == SV_OK && p) {
            if (p->pieces && !p->piece) abort();
            sv_arena_reset(arena);
        }
        sv_arena_free(arena);
        sv_parcels_close(parcels);
    } else if (!err.text[0]) {
        abort(); /* a refusal says why */
    }
    close(fd);
    return 0;
}

#endif
