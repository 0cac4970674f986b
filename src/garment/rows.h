/* rows.h - reading the rows of data/lexicon into the lexicon's lists. */
#ifndef SV_GARMENT_ROWS_H
#define SV_GARMENT_ROWS_H

#include "garment/lexicon.h"

/* Lists of facts with their set facts, growing. */
typedef struct sv_list_room {
    sv_fact_list *list;
    sv_set_fact *set;
    uint32_t lists, lists_room, sets, sets_room;
} sv_list_room;

typedef struct sv_word_columns {
    int what, value, lang, words;
} sv_word_columns;
sv_word_columns sv_word_columns_of(const sv_table *t);
/* The sense that a row of words.tsv gives its words. */
sv_status sv_word_row(sv_wordbook *lex, sv_arena *arena, sv_list_room *lists, const sv_table *t, size_t row,
                      const sv_word_columns *at, sv_sense *out, sv_error *err);
/* The sense of a row of names.tsv; false where its key is none of ours. */
bool sv_name_row(const sv_wordbook *lex, const sv_table *names, size_t row, sv_sense *out);

sv_status sv_languages_read(sv_wordbook *lex, sv_world *world, sv_error *err);
sv_status sv_fibres_read(sv_wordbook *lex, sv_world *world, sv_error *err);
sv_status sv_articles_read(sv_wordbook *lex, sv_world *world, sv_error *err);

#endif
