/* border.h - the private side of the border room: its index, made once when the world is opened. */
#ifndef SV_BORDER_PRIVATE_H
#define SV_BORDER_PRIVATE_H

#include "base/world.h"
#include "selvedge/border.h"

/* Loads the tables border/, builds the index and puts it into its slot. The atlas must be open. */
SV_MUST_USE sv_status sv_border_open(sv_world *world, sv_error *err);

typedef struct sv_lexicon sv_lexicon; /* recognition of things in free text, words.h */

typedef struct sv_border {
    const sv_table *goods, *used, *words, *signs, *combine, *declaration, *regions, *form, *limits, *sdr,
        *numbers, *number_forms, *s10, *trader, *asked, *schemes, *same_day, *leaving, *changes;
    sv_lexicon *lexicon;
} sv_border;

const sv_border *sv_border_in(const sv_world *world); /* NULL when the room was not opened */

/* Does an end fit a cell? The cell holds words apart by blanks, of which one must fit; a word is `any`, a
 * place's code, a territory's id, a region's ISO 3166-2 code, the name of a customs or tax union the end is
 * inside of (EU is eu-customs), or several of these joined by +, which must all fit; ! turns one round. */
bool sv_end_fits(const sv_end *end, const char *cell);
/* Both ends in one customs territory: no customs border between them. */
bool sv_ends_in_one_union(const sv_end *a, const sv_end *b);
bool sv_same_end(const sv_end *a, const sv_end *b);

/* Is `word` among the words of a list apart by blanks? */
bool sv_in_list(const char *list, const char *word, size_t bytes);
static inline const char *sv_by_name(const sv_table *t, size_t row, const char *column)
{
    return sv_cell(t, row, sv_table_column(t, column));
}

#endif
