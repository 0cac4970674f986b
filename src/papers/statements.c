/* statements.c - what an invoice must say, from the table papers/statements: each row with its condition and
 * place. */
#include <string.h>

#include "papers/layout.h"
#include "selvedge/atlas.h"

static bool among(const char *list, const char *word)
{
    return *word != '\0' && sv_word_in(list, word, strlen(word));
}

/* places: codes of the sender's country or unions it belongs to; "any". */
static bool place_fits(sv_layout *l, const char *places)
{
    if (among(places, "any")) return true;
    const char *code = sv_layout_value(l, "sender.country");
    const sv_place *place = *code == '\0' ? NULL : sv_place_by_code(l->world, code);
    if (place == NULL) return false;
    if (among(places, place->code)) return true;
    for (const char *u = place->unions; *u != '\0'; u += strspn(u, " ")) {
        size_t n = strcspn(u, " ");
        if (n > 0 && sv_word_in(places, u, n)) return true;
        u += n;
    }
    return false;
}

/* Conditions of a form, apart by " & "; one that begins with ! must not hold. */
static bool all_hold(sv_layout *l, const char *conditions)
{
    for (const char *c = conditions; *c != '\0';) {
        const char *end = strstr(c, " & ");
        size_t n = end == NULL ? strlen(c) : (size_t)(end - c);
        bool not = *c == '!';
        if (sv_layout_holds(l, sv_copy_n(l->arena, c + not, n - not )) == not ) return false;
        c += end == NULL ? n : n + 3;
    }
    return true;
}

const sv_node *sv_layout_statements(sv_layout *l)
{
    sv_node *root = sv_node_root(l->arena);
    sv_node *list = sv_node_list(l->arena, root, "statements");
    const sv_table *t = sv_world_table(l->world, "papers/statements");
    for (size_t i = 0; t != NULL && i < t->rows; i++) {
        if (strcmp(l->form->statements, sv_cell(t, i, sv_table_column(t, "paper"))) != 0) continue;
        if (!place_fits(l, sv_cell(t, i, sv_table_column(t, "places")))) continue;
        if (!all_hold(l, sv_cell(t, i, sv_table_column(t, "condition")))) continue;
        sv_node_text(l->arena, list, "", sv_layout_expand(l, sv_cell(t, i, sv_table_column(t, "text"))));
    }
    return list;
}
