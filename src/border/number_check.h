/* number_check.h - the arithmetic of check digits, by name. */
#ifndef SV_NUMBER_CHECK_H
#define SV_NUMBER_CHECK_H

#include <stdbool.h>
#include <stddef.h>

/* What a row of border/number-forms gives to its arithmetic. */
typedef struct sv_check {
    const char *text; /* the part of the identifier that is checked: capital letters and digits */
    size_t length;
    const char *weights; /* numbers, or the words of a list, apart by blanks */
    int modulus;         /* 0 when the row names none */
    int rest;
} sv_check;

/* Does the check digit fit? False for a name that is not known. `none` is always true. */
bool sv_check_digit(const char *name, const sv_check *check);
bool sv_check_known(const char *name);

#endif
