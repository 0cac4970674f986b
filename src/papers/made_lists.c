/* made_lists.c - lists that are no part of the dossier and are made for the forms that repeat over them. */
#include <string.h>

#include "papers/layout.h"
#include "papers/ubl.h"
#include "selvedge/border.h"

/* Does a form have a repeat over this list? */
static bool asks_for(const sv_item *first, const char *path)
{
    for (const sv_item *i = first; i != NULL; i = i->next)
        if (strcmp(i->path, path) == 0 || asks_for(i->first, path)) return true;
    return false;
}

static bool form_asks_for(const sv_form *form, const char *path)
{
    for (const sv_sheet *s = form->sheets; s != NULL; s = s->next)
        if (asks_for(s->first, path)) return true;
    return false;
}

static void split_lines(sv_layout *l, sv_node *list, const char *text)
{
    while (*text != '\0') {
        size_t field = strcspn(text, "\t\n"), line = strcspn(text, "\n");
        sv_node *n = sv_node_record(l->arena, list, "");
        sv_node_text(l->arena, n, "field", sv_copy_n(l->arena, text, field));
        if (field < line)
            sv_node_text(l->arena, n, "value", sv_copy_n(l->arena, text + field + 1, line - field - 1));
        text += line + (text[line] == '\n');
    }
}

/* The paper holds exactly what data-sheet.txt holds. */
static const sv_node *data_sheet(sv_layout *l)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_node *list = sv_node_list(l->arena, sv_node_root(l->arena), "data_sheet");
    if (sv_data_sheet_write(l->root, &b, NULL) == SV_OK && b.length > 0) split_lines(l, list, b.data);
    sv_buf_free(&b);
    return list;
}

static void add_card_line(sv_layout *l, sv_node *list, const sv_card_line *line)
{
    sv_node *n = sv_node_record(l->arena, list, "");
    sv_node_text(l->arena, n, "section", line->section);
    sv_node_text(l->arena, n, "text", line->text);
    sv_node_text(l->arena, n, "source", line->source);
    sv_node_text(l->arena, n, "as_of", line->as_of);
}

/* All that the tables say of the destination. */
static const sv_node *border_card(sv_layout *l)
{
    sv_card card = {0};
    sv_end from = sv_end_of_address(l->world, sv_layout_value(l, "sender.country"),
                                    sv_layout_value(l, "sender.postcode"),
                                    sv_layout_value(l, "sender.region"), sv_layout_value(l, "sender.city"));
    sv_end to = sv_end_of_address(
        l->world, sv_layout_value(l, "addressee.country"), sv_layout_value(l, "addressee.postcode"),
        sv_layout_value(l, "addressee.region"), sv_layout_value(l, "addressee.city"));
    sv_node *list = sv_node_list(l->arena, sv_node_root(l->arena), "border_card");
    if (l->world->room[SV_ROOM_BORDER] == NULL || to.place == NULL) return list;
    if (sv_border_card(l->world, l->arena, from, to, &card) != SV_OK) return list;
    for (size_t i = 0; i < card.lines; i++)
        add_card_line(l, list, &card.line[i]);
    return list;
}

void sv_layout_make_lists(sv_layout *l)
{
    l->statements = sv_layout_statements(l);
    if (form_asks_for(l->form, "data_sheet")) l->data_sheet = data_sheet(l);
    if (form_asks_for(l->form, "border_card")) l->border_card = border_card(l);
}
