/* words.c - the estimate in words for the seller, and the note to the buyer in the buyer's language. */
#include <string.h>

#include "base/buf.h"
#include "duty/duty.h"

/* ---- for the seller ---- */

#define LABEL 19 /* columns before the text of a row */
#define WIDTH 98

/* "  label      text", the text filled into lines. */
static void put_row(sv_buf *b, const char *label, const char *text)
{
    sv_put_format(b, "  %-*s", LABEL - 3, label);
    size_t at = LABEL - 1;
    for (const char *p = text + strspn(text, " "); *p; p += strspn(p, " ")) {
        size_t n = strcspn(p, " ");
        bool next = at + 1 + n > WIDTH && at >= LABEL;
        if (next) sv_put_format(b, "\n%*s", LABEL, "");
        if (!next) sv_put_char(b, ' ');
        at = (next ? LABEL : at + 1) + n;
        sv_put_n(b, p, n);
        p += n;
    }
    sv_put_char(b, '\n');
}

static void put_amount(sv_buf *b, sv_arena *arena, const char *label, const sv_duty *d, sv_dec amount)
{
    put_row(b, label,
            amount.known ? sv_format(arena, "%s %s", d->currency, sv_dec_text(arena, amount)) : "not known");
}

/* A part with rules of its own goes by its own name. */
static const char *place_name(const sv_end *to)
{
    bool part = to->territory && *to->territory->name && strcmp(to->territory->id, to->place->code) != 0;
    return part ? to->territory->name : to->place->common_en;
}

/* English puts an article before names that are plurals or kinds of state. */
static const char *named(sv_arena *arena, const char *name)
{
    static const char *const starts[] = {"United ", "Netherlands", "Philippines", "Bahamas",
                                         "Gambia",  "Maldives",    "Comoros",     "Isle of "};
    static const char *const ends[] = {" Islands", " Republic", " Territories"};
    bool article = false;
    size_t n = strlen(name);
    for (size_t i = 0; i < sizeof starts / sizeof *starts; i++)
        article |= strncmp(name, starts[i], strlen(starts[i])) == 0;
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        size_t k = strlen(ends[i]);
        article |= n > k && strcmp(name + n - k, ends[i]) == 0;
    }
    return article ? sv_format(arena, "the %s", name) : name;
}

static void put_range(sv_buf *b, sv_arena *arena, const sv_duty *d)
{
    bool one = d->low.known && d->high.known && sv_dec_cmp(d->low, d->high) == 0;
    if (one || !d->low.known) return;
    const char *low = sv_dec_text(arena, d->low);
    if (d->high.known) {
        put_row(b, "range", sv_format(arena, "%s %s to %s", d->currency, low, sv_dec_text(arena, d->high)));
    } else {
        put_row(b, "range", sv_format(arena, "at least %s %s", d->currency, low));
    }
}

static const char *collector_words(const char *by)
{
    static const char *const words[][2] = {
        {"nobody", "nobody: nothing is due"},
        {"seller", "the seller, with the price"},
        {"operator", "the postal operator or carrier"},
        {"customs", "the customs of destination"},
        {"seller operator",
         "the seller collects the tax with the price; the postal operator or carrier the rest"},
    };
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcmp(words[i][0], by) == 0) return words[i][1];
    }
    return by;
}

const char *sv_duty_words(sv_arena *arena, const sv_duty *d, const sv_end *to)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    const char *name = to && to->place ? named(arena, place_name(to)) : "the destination";
    const sv_duty_part *w = &d->whole;
    if (d->known && w->total.units == 0 && (!d->high.known || d->high.units == 0) && !d->lower_bound) {
        sv_put_format(&b, "No charges expected in %s.\n", name);
    } else if (d->known) {
        sv_put_format(&b, "Charges in %s: %s %s %s\n", name, d->lower_bound ? "at least" : "about",
                      d->currency, sv_dec_text(arena, w->total));
    } else if (d->low.known && d->high.known) {
        sv_put_format(&b, "Charges in %s: between %s %s and %s\n", name, d->currency,
                      sv_dec_text(arena, d->low), sv_dec_text(arena, d->high));
    } else {
        sv_put_format(&b, "Charges in %s: likely, amount unknown\n", name);
    }
    bool taxed = d->tax_name && strcmp(d->tax_name, "none") != 0;
    put_amount(&b, arena, "customs value", d, w->customs_value);
    put_amount(&b, arena, "duty", d, w->duty);
    bool brief = taxed && strlen(d->tax_name) < 10; /* room for the label */
    if (taxed)
        put_amount(&b, arena, sv_format(arena, "%s base", brief ? d->tax_name : "tax"), d, w->vat_base);
    if (taxed) put_amount(&b, arena, d->tax_name, d, w->vat);
    if (w->fees.known && w->fees.units) put_amount(&b, arena, "fees", d, w->fees);
    put_range(&b, arena, d);
    if (*d->collected_by) put_row(&b, "asked for by", collector_words(d->collected_by));
    if (*d->incoterm) put_row(&b, "delivery term", d->incoterm);
    if (*d->why) put_row(&b, "because", d->why);
    if (*d->fx_note) put_row(&b, "exchange", d->fx_note);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

/* ---- for the buyer ---- */

/* Rows stand by key and language in the order of their keys. */
static const char *word(const sv_table *t, const char *key, const char *language)
{
    size_t first, n = sv_table_run(t, key, &first);
    for (size_t i = first; i < first + n; i++) {
        if (strcmp(sv_cell(t, t->by_key[i], 1), language) == 0) return sv_cell(t, t->by_key[i], 2);
    }
    return NULL;
}

static const char *language_for(const sv_table *t, sv_arena *arena, const char *wanted, const sv_end *to)
{
    if (wanted && *wanted) return word(t, "hello", wanted) ? wanted : "en";
    for (const char *p = to && to->place ? to->place->languages : ""; *p;) {
        size_t n = strcspn(p, " ");
        const char *one = sv_copy_n(arena, p, n);
        if (word(t, "hello", one)) return one;
        p += n + strspn(p + n, " ");
    }
    return "en";
}

typedef struct note {
    sv_buf b;
    sv_arena *arena;
    const sv_table *words;
    const char *language;
} note;

/* A sentence with {1} and {2} put in; ends the line. */
static void say(note *n, const char *key, const char *one, const char *two)
{
    const char *text = word(n->words, key, n->language);
    if (!text) text = word(n->words, key, "en");
    for (const char *p = text ? text : ""; *p;) {
        if (p[0] == '{' && (p[1] == '1' || p[1] == '2') && p[2] == '}') {
            sv_put(&n->b, p[1] == '1' ? one : two);
            p += 3;
        } else {
            sv_put_char(&n->b, *p++);
        }
    }
    sv_put_char(&n->b, '\n');
}

static const char *money(note *n, const sv_duty *d, sv_dec amount)
{
    return sv_format(n->arena, "%s %s", d->currency, sv_dec_text(n->arena, amount));
}

static void say_charges(note *n, const sv_duty *d)
{
    const sv_duty_part *w = &d->whole;
    bool seller = strcmp(d->collected_by, "seller") == 0,
         both = strcmp(d->collected_by, "seller operator") == 0;
    bool range = d->low.known && d->high.known && sv_dec_cmp(d->low, d->high) != 0;
    if (strcmp(d->collected_by, "nobody") == 0) {
        say(n, range ? "nothing-likely" : "nothing", "", "");
        return;
    }
    if (seller || both) say(n, "paid", "", "");
    if (seller) return;
    if (strcmp(d->incoterm, "DDP") == 0) {
        say(n, "prepaid", "", "");
        return;
    }
    sv_dec asked = both ? sv_dec_add(w->duty, w->fees) : w->total;
    if (!asked.known) {
        say(n, "unknown", "", "");
    } else if (d->lower_bound) {
        say(n, "least", money(n, d, asked), "");
    } else if (range && !both) {
        say(n, "range", money(n, d, d->low), money(n, d, d->high));
    } else {
        say(n, "about", money(n, d, asked), "");
    }
    say(n, "operator", "", "");
}

sv_status sv_buyer_note(const sv_world *world, sv_arena *arena, const sv_duty *duty, const sv_end *to,
                        const char *const contents[], size_t lines, const char *item_number,
                        const char *language, const char **text, const char **used)
{
    note n = {.arena = arena, .words = duty_room_of(world)->words};
    sv_buf_init(&n.b, 0);
    n.language = language_for(n.words, arena, language, to);
    say(&n, "hello", "", "");
    if (item_number && *item_number) say(&n, "number", item_number, "");
    if (lines) say(&n, "contents", "", "");
    for (size_t i = 0; i < lines; i++)
        sv_put_format(&n.b, "- %s\n", contents[i]);
    say_charges(&n, duty);
    say(&n, "estimate", "", "");
    *text = sv_buf_copy(&n.b, arena);
    *used = n.language;
    sv_status s = n.b.failed;
    sv_buf_free(&n.b);
    return s ? s : sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
