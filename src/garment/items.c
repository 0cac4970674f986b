/* items.c - finds the words of the lexicon in a text: longest phrase first, then joined and inflected forms.
 */
#include "garment/items.h"

#include <string.h>

#include "garment/forms.h"

typedef struct finder {
    const sv_wordbook *lex;
    const sv_text_tokens *t;
    sv_items *out;
    size_t room;
} finder;

static sv_item *add(finder *f, sv_item_kind kind, const sv_text_token *first, const sv_text_token *last)
{
    if (f->out->count == f->room) return NULL;
    sv_item *i = &f->out->item[f->out->count++];
    *i = (sv_item){.kind = (uint8_t)kind,
                   .gap = first->gap,
                   .capitals = first->capitals,
                   .whole = true,
                   .from = first->from,
                   .to = last->to};
    return i;
}

static void add_known(finder *f, const sv_text_token *first, const sv_text_token *last, const sv_entry *e,
                      uint64_t languages, sv_item_how how)
{
    sv_item *i = add(f, SV_ITEM_KNOWN, first, last);
    if (!i) return;
    i->entry = e;
    i->languages = languages;
    i->how = (uint8_t)how;
}

/* ---- words between blanks ---- */

static bool in_phrase(uint16_t gap)
{
    return (gap & ~SV_GAP_IN_PHRASE) == 0;
}

/* The text of tokens first to last as it stands folded, also without the "s" of an English or Romance plural.
 */
static const sv_entry *phrase(const finder *f, size_t first, size_t last)
{
    const sv_text_token *a = &f->t->token[first], *b = &f->t->token[last];
    size_t bytes = b->at + b->bytes - a->at;
    const char *text = f->t->folded + a->at;
    const sv_entry *e = sv_wordbook_find(f->lex, text, bytes);
    if (e && e->sense) return e;
    if (bytes < 4 || text[bytes - 1] != 's') return NULL;
    e = sv_wordbook_find(f->lex, text, bytes - 1);
    if (e && e->sense) return e;
    if (text[bytes - 2] != 'e') return NULL;
    e = sv_wordbook_find(f->lex, text, bytes - 2);
    return e && e->sense ? e : NULL;
}

/* Two words that the lexicon writes as one: sweat shirt, Strick-Jacke. */
static const sv_entry *glued(const finder *f, size_t i)
{
    if (i + 1 >= f->t->count) return NULL;
    const sv_text_token *a = &f->t->token[i], *b = a + 1;
    char word[96];
    size_t bytes = (size_t)a->bytes + b->bytes;
    if (!in_phrase(b->gap) || !b->gap || bytes > sizeof word || a->bytes < 2 || b->bytes < 3) return NULL;
    if (a->kind != SV_TOKEN_WORD || b->kind != SV_TOKEN_WORD) return NULL;
    memcpy(word, f->t->folded + a->at, a->bytes);
    memcpy(word + a->bytes, f->t->folded + b->at, b->bytes);
    const sv_entry *e = sv_wordbook_find(f->lex, word, bytes);
    return e && e->sense ? e : NULL;
}

/* Longest known phrase from token i; its last token in *last. */
static const sv_entry *longest(const finder *f, size_t i, size_t *last)
{
    const sv_text_token *first = &f->t->token[i];
    const sv_entry *begin = sv_wordbook_find(f->lex, f->t->folded + first->at, first->bytes);
    size_t most = begin ? begin->words : 0;
    if (most > 1) {
        size_t end = i;
        while (end + 1 < f->t->count && end + 1 < i + most && in_phrase(f->t->token[end + 1].gap))
            end++;
        for (; end > i; end--) {
            *last = end;
            const sv_entry *e = phrase(f, i, end);
            if (e) return e;
        }
    }
    *last = i + 1;
    const sv_entry *e = glued(f, i);
    if (e) return e;
    *last = i;
    return begin && begin->sense ? begin : NULL;
}

static void take_forms(finder *f, const sv_text_token *t, const sv_forms *forms)
{
    for (size_t n = 0; n < forms->count; n++) {
        size_t before = f->out->count;
        const sv_form *form = &forms->form[n];
        if (!form->entry) {
            add(f, SV_ITEM_UNKNOWN, t, t);
        } else {
            add_known(f, t, t, form->entry, form->languages, (sv_item_how)form->how);
            if (forms->count == 1 && f->out->count > before) f->out->item[before].other = forms->other;
        }
        if (n && f->out->count > before) f->out->item[before].gap = 0;
    }
}

/* Names of articles, and general words ("used clothing"), hold words that say something by themselves. */
static bool holds_words(const sv_wordbook *lex, const sv_entry *e)
{
    for (uint32_t s = e->sense; s; s = sv_sense_at(lex, s)->next) {
        const sv_sense *sense = sv_sense_at(lex, s);
        if (sense->kind == SV_WORD_ARTICLE || (sense->kind == SV_WORD_MARK && sense->value == SV_MARK_STOP))
            return true;
    }
    return false;
}

/* The words inside the name of an article say their own: cotton shirt, zip pullover. They stand before it. */
static void take_inner(finder *f, size_t first, size_t last)
{
    size_t before = f->out->count;
    for (size_t i = first; i <= last;) {
        size_t end = last;
        const sv_entry *e = NULL;
        for (; end >= i; end--) {
            if (i == first && end == last) continue;
            e = phrase(f, i, end);
            /* "canvas tote" in "canvas tote bag" would hide the canvas. */
            if (e && end > i && holds_words(f->lex, e)) e = NULL;
            if (e || end == i) break;
        }
        if (e) {
            add_known(f, &f->t->token[i], &f->t->token[end], e, UINT64_MAX, SV_HOW_EXACT);
            f->out->item[f->out->count - 1].inner = true;
        }
        i = e ? end + 1 : i + 1;
    }
    if (f->out->count > before) f->out->item[before].gap = f->t->token[first].gap;
}

static void take_phrase(finder *f, size_t first, size_t last, const sv_entry *e)
{
    size_t before = f->out->count;
    if (last > first && holds_words(f->lex, e)) take_inner(f, first, last);
    bool inner = f->out->count > before;
    for (size_t i = before; i < f->out->count; i++)
        f->out->item[i].languages = sv_entry_languages(f->lex, e);
    add_known(f, &f->t->token[first], &f->t->token[last], e, UINT64_MAX, SV_HOW_EXACT);
    if (inner) f->out->item[f->out->count - 1].gap = SV_GAP_BLANK;
}

static size_t take_word(finder *f, size_t i)
{
    const sv_text_token *t = &f->t->token[i];
    size_t last;
    const sv_entry *e = longest(f, i, &last);
    if (e) {
        take_phrase(f, i, last, e);
        return last + 1;
    }
    sv_forms forms;
    sv_forms_of(f->lex, f->t->folded + t->at, t->bytes, &forms);
    if (forms.count) {
        take_forms(f, t, &forms);
    } else {
        add(f, SV_ITEM_UNKNOWN, t, t);
    }
    return i + 1;
}

/* ---- runs of letters without blanks ---- */

#define LONGEST_RUN_WORD 48 /* bytes */

static bool is_ascii_letter(char c)
{
    return c >= 'a' && c <= 'z';
}

/* Longest known word that begins at p; its bytes in *bytes. Latin letters in a run are not cut apart. */
static const sv_entry *longest_in_run(const sv_wordbook *lex, const char *p, const char *end, size_t *bytes)
{
    const sv_entry *best = NULL;
    uint32_t hash = SV_HASH_START;
    for (const char *q = p; q < end && q - p < LONGEST_RUN_WORD;) {
        do {
            hash = sv_hash_byte(hash, *q++);
        } while (q < end && ((unsigned char)*q & 0xC0) == 0x80);
        if (q < end && is_ascii_letter(q[-1]) && is_ascii_letter(*q)) continue;
        const sv_entry *e = sv_wordbook_at(lex, p, (size_t)(q - p), hash);
        if (!e || !e->sense) continue;
        best = e;
        *bytes = (size_t)(q - p);
    }
    return best;
}

static const char *next_letter(const char *p, const char *end)
{
    bool latin = is_ascii_letter(*p);
    do {
        p++;
    } while (p < end && (((unsigned char)*p & 0xC0) == 0x80 || (latin && is_ascii_letter(*p))));
    return p;
}

/* A word of one letter inside a longer run counts only where the run is read without a rest: a character
 * alone is often only a part of another word. */
static void mark_partial(finder *f, size_t from, bool whole)
{
    for (size_t i = from; i < f->out->count; i++) {
        sv_item *item = &f->out->item[i];
        item->whole = whole;
        if (!whole && item->kind == SV_ITEM_KNOWN && item->entry->bytes <= 3) item->kind = SV_ITEM_UNKNOWN;
    }
}

static void take_run(finder *f, const sv_text_token *t)
{
    const char *p = f->t->folded + t->at, *end = p + t->bytes;
    size_t from = f->out->count;
    bool whole = true, first = true;
    while (p < end) {
        size_t bytes = 0;
        const sv_entry *e = longest_in_run(f->lex, p, end, &bytes);
        size_t at = f->out->count;
        if (e) {
            add_known(f, t, t, e, UINT64_MAX, SV_HOW_EXACT);
            p += bytes;
        } else {
            const char *next = next_letter(p, end);
            bool again = at > from && f->out->item[at - 1].kind == SV_ITEM_UNKNOWN;
            if (!again) add(f, SV_ITEM_UNKNOWN, t, t);
            whole = false;
            p = next;
        }
        if (!first && f->out->count > at) f->out->item[at].gap = 0;
        first = false;
    }
    mark_partial(f, from, whole);
    f->out->in_run_script = true;
}

/* A run that is a word of the lexicon with blanks in it, or stands in such a phrase, is found like other
 * words. */
static size_t take_run_token(finder *f, size_t i)
{
    size_t last;
    const sv_entry *e = longest(f, i, &last);
    if (e && last > i) {
        add_known(f, &f->t->token[i], &f->t->token[last], e, UINT64_MAX, SV_HOW_EXACT);
        return last + 1;
    }
    take_run(f, &f->t->token[i]);
    return i + 1;
}

/* ---- all ---- */

static size_t take_number(finder *f, size_t i)
{
    const sv_text_token *t = &f->t->token[i];
    size_t last;
    const sv_entry *e = t->percent ? NULL : longest(f, i, &last);
    if (e) {
        add_known(f, t, &f->t->token[last], e, UINT64_MAX, SV_HOW_EXACT);
        return last + 1;
    }
    sv_item *item = add(f, SV_ITEM_NUMBER, t, t);
    if (item) {
        item->milli = t->milli;
        item->percent = t->percent;
    }
    return i + 1;
}

sv_status sv_items_find(const sv_wordbook *lex, sv_arena *arena, const char *text, sv_items *out)
{
    *out = (sv_items){.source = text ? text : ""};
    sv_text_tokens tokens;
    sv_status s = sv_text_cut(lex->index.folds, arena, text, &tokens);
    if (s || !tokens.count) return s;
    /* A token gives at most one item for each three bytes (runs), or four parts of a joined word. */
    size_t room = 0;
    for (size_t i = 0; i < tokens.count; i++)
        room += tokens.token[i].kind == SV_TOKEN_RUN ? tokens.token[i].bytes + 1 : 4;
    out->item = SV_NEW_ARRAY(arena, room, sv_item);
    if (!out->item) return SV_NO_MEMORY;
    finder f = {lex, &tokens, out, room};
    for (size_t i = 0; i < tokens.count;) {
        switch (tokens.token[i].kind) {
        case SV_TOKEN_NUMBER: i = take_number(&f, i); break;
        case SV_TOKEN_RUN: i = take_run_token(&f, i); break;
        default: i = take_word(&f, i); break;
        }
    }
    return SV_OK;
}

bool sv_item_marks(const sv_wordbook *lex, const sv_item *i, sv_mark mark)
{
    const sv_sense *s = sv_item_sense(lex, i, SV_WORD_MARK);
    return s && s->value == mark;
}

const char *sv_item_text(sv_arena *arena, const sv_items *items, const sv_item *i)
{
    return sv_copy_n(arena, items->source + i->from, i->to - i->from);
}
