/* made.h - what the programs that make parts of the library at build time share. */
#ifndef SV_MADE_H
#define SV_MADE_H

#include <stdio.h>

/* Says why nothing is made; the exit status. */
static inline int made_fail(const char *program, const char *why)
{
    fprintf(stderr, "%s: %s\n", program, why);
    return 1;
}

/* Writes the file; the exit status. */
static inline int made_write(const char *program, const char *path, const void *bytes, size_t n)
{
    FILE *f = fopen(path, "wb");
    if (!f || fwrite(bytes, 1, n, f) != n || fclose(f) != 0)
        return made_fail(program, "cannot write the file");
    return 0;
}

#endif
