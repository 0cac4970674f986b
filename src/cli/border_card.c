/* border_card.c - the border card on one screen: address, form, goods, numbers, changes, ages. */
#include "cli/border_card.h"

#include <string.h>

#include "selvedge/address.h"
#include "selvedge/duty.h"

#define WIDTH  98
#define INDENT 14

static void put_entry(sv_buf *out, const char *label, const char *text)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put_wrapped(&b, text, INDENT, WIDTH);
    size_t n = strlen(label);
    if (b.data && n < INDENT) memcpy(b.data, label, n);
    sv_put(out, b.data ? b.data : "");
    sv_buf_free(&b);
}

/* The made-up example at the end of the address rules, its lines in one. */
static const char *address_example(const sv_world *world, sv_arena *arena, const sv_end *to)
{
    const char *rules = to->place ? sv_address_rules(world, arena, to->place->code) : NULL;
    const char *at = rules ? strstr(rules, "Example (made up):\n") : NULL;
    if (!at) return "";
    const char *text = "";
    for (at = strchr(at, '\n') + 1; at[0] == ' '; at = strchr(at, '\n') + 1)
        text = sv_format(arena, "%s%s%s", text, *text ? " / " : "", sv_trim(arena, at, strcspn(at, "\n")));
    return text;
}

const char *sv_form_words(const sv_world *world, sv_arena *arena, sv_end from, sv_end to)
{
    sv_declaration d;
    if (!from.place && !*sv_or_empty(from.region)) return "";
    if (sv_border_declaration(world, arena, from, to, "", &d)) return "";
    const char *form =
        d.needed ? "customs declaration needed: CN 22 to 300 SDR and 2 kg as letter post, else CN 23; "
                 : "no customs declaration; ";
    return sv_format(arena, "%s%s", form, d.why);
}

static void put_lines(sv_buf *out, const sv_card *card)
{
    const char *last = "";
    for (size_t i = 0; i < card->lines; i++) {
        const sv_card_line *l = &card->line[i];
        bool first = strcmp(l->section, last) != 0;
        last = l->section;
        sv_buf text;
        sv_buf_init(&text, 0);
        sv_put(&text, l->text);
        if (l->memory) sv_put(&text, " [memory]");
        put_entry(out, first ? l->section : "", text.data);
        sv_buf_free(&text);
    }
}

/* The sources of all rows, each once. */
static const char *sources(sv_arena *arena, const sv_card *card)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (size_t i = 0; i < card->lines; i++) {
        const char *source = card->line[i].source;
        if (card->line[i].memory || (b.length && strstr(b.data, source))) continue;
        sv_put_format(&b, "%s%s", b.length ? "; " : "", source);
    }
    const char *text = b.length ? sv_buf_copy(&b, arena) : "";
    sv_buf_free(&b);
    return text;
}

static void put_card(sv_buf *out, const sv_world *world, sv_arena *arena, const sv_end *from,
                     const sv_end *to, const char *code, const sv_card *card)
{
    const char *name = to->place ? to->place->common_en : to->region;
    const char *part = to->territory ? to->territory->name : "";
    sv_put_format(out, "%s%s%s (%s): border card\n", name, *part && strcmp(part, name) != 0 ? ", " : "",
                  strcmp(part, name) != 0 ? part : "", code);
    put_entry(out, "address", address_example(world, arena, to));
    put_entry(out, "form", sv_form_words(world, arena, *from, *to));
    put_lines(out, card);
    put_entry(
        out, "everywhere",
        "no mail carries perfume, nail polish, lighters, sprays, spare batteries, arms, ammunition, drugs, "
        "tobacco or copies of brands; skins, furs, shells and feathers of listed animals need CITES papers");
    put_entry(out, "post",
              "whether parcels go there at this time, ask your postal operator: post stops and starts by its "
              "notices");
    const char *ages = card->lines
                           ? sv_format(arena, "%zu rows, the oldest last read %s, %zu %% from memory",
                                       card->lines, card->oldest, card->from_memory * 100 / card->lines)
                           : "no row of the tables is about this place alone";
    put_entry(out, "rests on", ages);
    put_entry(out, "sources", sources(arena, card));
    sv_put(out, "What is not named here is not thereby allowed: no restriction known to these tables as of ");
    sv_put_format(out, "%s.\n", *card->oldest ? card->oldest : "today");
    sv_print_caution(out, "", "");
}

/* The same words of two rows stand once. */
static void append(sv_card *card, sv_card_line *line, const sv_card_line *add)
{
    for (size_t i = 0; i < card->lines; i++) {
        if (strcmp(line[i].section, add->section) == 0 && strcmp(line[i].text, add->text) == 0) return;
    }
    line[card->lines++] = *add;
    card->from_memory += add->memory;
    if (!*card->oldest || strcmp(add->as_of, card->oldest) < 0) card->oldest = add->as_of;
}

#define MOST_CHARGES 32
/* The border's lines, with what is charged there before the numbers asked for and what follows them. */
static bool join_charges(const sv_world *world, sv_arena *arena, sv_end from, sv_end to, sv_card *card)
{
    static const char *const after[] = {"numbers", "traders", "leaving", "changes"};
    char today[11];
    sv_duty_limit charge[MOST_CHARGES];
    size_t n = sv_duty_limits(world, arena, from, to, sv_today(today), charge, MOST_CHARGES), at = 0;
    sv_card_line *line = SV_NEW_ARRAY(arena, card->lines + n + 1, sv_card_line);
    if (!line) return false;
    sv_card all = {.line = line, .oldest = ""};
    for (bool later = false; at < card->lines && !later; at += !later) {
        for (size_t k = 0; k < sizeof after / sizeof *after; k++)
            later |= strcmp(card->line[at].section, after[k]) == 0;
        if (!later) append(&all, line, &card->line[at]);
    }
    for (size_t i = 0; i < n; i++) {
        sv_card_line one = {"charges", charge[i].text, charge[i].source, charge[i].as_of, charge[i].memory};
        append(&all, line, &one);
    }
    for (; at < card->lines; at++)
        append(&all, line, &card->line[at]);
    *card = all;
    return true;
}

static void put_pair(sv_buf *out, const char *name, const char *value, const char *end)
{
    sv_put_format(out, "\"%s\": ", name);
    sv_put_json(out, value);
    sv_put(out, end);
}

static void put_rows(sv_buf *out, const sv_card *card, char as)
{
    sv_put(out, as == 'j' ? "[" : "section\ttext\tsource\tas_of\n");
    for (size_t i = 0; i < card->lines; i++) {
        const sv_card_line *l = &card->line[i];
        if (as == 'j') {
            sv_put(out, i ? ",\n  {" : "\n  {");
            put_pair(out, "section", l->section, ", ");
            put_pair(out, "text", l->text, ", ");
            put_pair(out, "source", l->source, ", ");
            put_pair(out, "as_of", l->as_of, "}");
            continue;
        }
        const char *const cell[] = {l->section, l->text, l->source, l->as_of};
        for (size_t k = 0; k < 4; k++) {
            sv_put_tsv(out, cell[k]);
            sv_put_char(out, k == 3 ? '\n' : '\t');
        }
    }
    if (as == 'j') sv_put(out, "\n]\n");
}

int sv_print_border_card(const sv_words *line, const sv_world *world, sv_end from, sv_end to,
                         const char *code)
{
    sv_arena *arena = sv_arena_new();
    sv_error err = {SV_OK, ""};
    if (!arena) return sv_exit_of(SV_NO_MEMORY);
    sv_card card;
    sv_buf out;
    sv_buf_init(&out, 0);
    int status = SV_EXIT_DONE;
    if (sv_border_card(world, arena, from, to, &card) || !join_charges(world, arena, from, to, &card)) {
        sv_fail(&err, SV_NO_MEMORY, "out of memory");
        status = sv_line_fail(&err);
    } else if (sv_as(line) == 't') {
        put_card(&out, world, arena, &from, &to, code, &card);
    } else {
        put_rows(&out, &card, sv_as(line));
    }
    if (!sv_flush(&out)) status = SV_EXIT_SYSTEM;
    sv_buf_free(&out);
    sv_arena_free(arena);
    return status;
}
