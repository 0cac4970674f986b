/* forms.h - words that the lexicon does not have as they stand: joined, inflected, misspelt. */
#ifndef SV_GARMENT_FORMS_H
#define SV_GARMENT_FORMS_H

#include "garment/items.h"

typedef struct sv_form {
    const sv_entry *entry; /* NULL: an unknown part of a joined word */
    uint64_t languages;
    uint8_t how;
} sv_form;
#define SV_FORMS_MAX 4
typedef struct sv_forms {
    sv_form form[SV_FORMS_MAX]; /* in the order in which they stand in the word */
    size_t count;
    const sv_entry *other; /* of an inflected word: the word it may be a misspelling of */
} sv_forms;

/* The known words in a word; none: it is unknown. */
void sv_forms_of(const sv_wordbook *lex, const char *folded, size_t bytes, sv_forms *out);

#endif
