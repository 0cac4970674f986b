/* tongues.c - which language a text is in, and which sense of each word that makes. */
#include <string.h>

#include "base/utf8.h"
#include "garment/items.h"

static int bits_in(uint64_t x)
{
    int n = 0;
    for (; x; x &= x - 1)
        n++;
    return n;
}

static int lowest_bit(uint64_t bits)
{
    int n = 0;
    for (; !(bits & 0xFF); bits >>= 8)
        n += 8;
    for (; !(bits & 1); bits >>= 1)
        n++;
    return n;
}

static void give(const sv_wordbook *lex, sv_tongues *t, uint64_t languages, int weight)
{
    int n = bits_in(languages);
    if (n == 0) return;
    for (; languages; languages &= languages - 1) {
        int l = lowest_bit(languages);
        if (l < lex->languages) t->score[l] += weight / n;
    }
}

/* Words say more than letters, and a word that few languages have says more than one that many have. */
enum { WORD_WEIGHT = 960, FORM_WEIGHT = 480, LETTER_WEIGHT = 480, ENGLISH_FIRST = 40 };
/* Bytes of a short word, and the score of a language that more than one word speaks for. */
enum { SHORT_WORD = 5, STRONG = 1200 };

static int weight_of(const sv_item *item)
{
    if (item->how == SV_HOW_MISSPELT) return 0;
    return item->how == SV_HOW_EXACT ? WORD_WEIGHT : FORM_WEIGHT;
}

static uint64_t languages_of(const sv_wordbook *lex, const sv_item *i)
{
    return sv_entry_languages(lex, i->entry) & i->languages;
}

static void count_letters(const sv_wordbook *lex, const sv_items *items, sv_tongues *t)
{
    const char *p = items->source, *end = p + strnlen(p, SV_TEXT_LONGEST);
    uint32_t seen[8];
    size_t n = 0;
    while (p < end && n < 8) {
        if ((unsigned char)*p < 0x80) {
            p++;
            continue;
        }
        uint32_t c = sv_utf8_next(&p, end);
        bool known = c >= SV_LETTERS || !lex->letter[c];
        for (size_t i = 0; i < n && !known; i++)
            known = seen[i] == c;
        if (known) continue;
        seen[n++] = c;
        give(lex, t, lex->letter[c], LETTER_WEIGHT);
    }
}

void sv_tongues_count(const sv_wordbook *lex, const sv_items *items, sv_tongues *t)
{
    for (size_t i = 0; i < items->count; i++) {
        const sv_item *item = &items->item[i];
        if (item->kind != SV_ITEM_KNOWN || item->how == SV_HOW_MISSPELT) continue;
        give(lex, t, languages_of(lex, item), weight_of(item));
    }
    count_letters(lex, items, t);
}

void sv_tongues_weigh(const sv_wordbook *lex, sv_tongues *t)
{
    /* A dialect (en-US) is about as likely as its language. */
    for (int l = 0; l < lex->languages; l++) {
        int base = lex->language[l].base;
        if (base >= 0 && t->score[l] < t->score[base] * 3 / 4) t->score[l] = t->score[base] * 3 / 4;
    }
    t->best = lex->english;
    for (int l = 0; l < lex->languages; l++) {
        /* Between equals the one that stands first in the table, where more people write it. */
        t->score[l] += (l == lex->english ? ENGLISH_FIRST : 0) + (lex->languages - l) / 4;
        if (l != lex->by_capitals && t->score[l] > t->score[t->best]) t->best = l;
    }
}

static int score_of(const sv_tongues *t, uint64_t languages)
{
    int best = -1;
    for (; languages; languages &= languages - 1) {
        int score = t->score[lowest_bit(languages)];
        if (score > best) best = score;
    }
    return best;
}

/* Those of `languages` with at least this score. */
static uint64_t likely(const sv_tongues *t, uint64_t languages, int least)
{
    uint64_t kept = 0;
    for (uint64_t left = languages; left; left &= left - 1) {
        int l = lowest_bit(left);
        if (t->score[l] >= least) kept |= (uint64_t)1 << l;
    }
    return kept;
}

/* Is a short word one of other languages than the text, of which nothing else in it is? What so few letters
 * spell in one language or another is an accident then: "dam" in an English text is no Swedish lady. */
static bool is_stranger(const sv_wordbook *lex, const sv_item *item, const sv_tongues *t, uint64_t languages)
{
    int tongue = t->best, best = t->score[tongue], n = bits_in(languages);
    if (item->entry->bytes > SHORT_WORD || best < STRONG || n == 0 || (languages >> tongue & 1)) return false;
    int own = weight_of(item) / n;
    for (int l = 0; l < lex->languages; l++) {
        if ((languages >> l & 1) && (t->score[l] - own) * 4 >= best) return false;
    }
    return true;
}

static bool names_fibre(const sv_wordbook *lex, const sv_item *item)
{
    for (uint32_t s = item->entry->sense; s; s = lex->index.sense[s].next) {
        if (lex->index.sense[s].kind == SV_WORD_FIBRE) return true;
    }
    return false;
}

/* A plain word has told its language; nothing else is known of it. */
static void forget_plain(const sv_wordbook *lex, sv_item *item)
{
    if (!sv_item_marks(lex, item, SV_MARK_PLAIN)) return;
    item->pick[SV_WORD_MARK] = 0;
    for (int k = 0; k < SV_WORD_KINDS; k++) {
        if (item->pick[k]) return;
    }
    item->kind = SV_ITEM_UNKNOWN;
}

/* The senses whose language is about as likely as that of the likeliest one stay: an Italian "top" in an
 * Italian text is no part of a label. For each kind the likeliest is picked. */
static void choose(const sv_wordbook *lex, sv_item *item, const sv_tongues *t, bool on_label, bool heads)
{
    item->languages &= sv_entry_languages(lex, item->entry);
    if (lex->by_capitals >= 0 && !item->capitals) item->languages &= ~((uint64_t)1 << lex->by_capitals);
    /* What is not a word as it stands counts only in a language that the text may well be in. */
    if (item->how != SV_HOW_EXACT) item->languages = likely(t, item->languages, t->score[t->best] / 2);
    if (!item->languages && item->other) {
        item->entry = item->other;
        item->how = SV_HOW_MISSPELT;
        item->languages = likely(t, sv_entry_languages(lex, item->entry), t->score[t->best] / 2);
    }
    bool stays = heads || (on_label && names_fibre(lex, item));
    if (!item->languages || (!stays && is_stranger(lex, item, t, languages_of(lex, item)))) {
        item->kind = SV_ITEM_UNKNOWN;
        return;
    }
    int score[SV_WORD_KINDS], best = 0;
    for (int k = 0; k < SV_WORD_KINDS; k++)
        score[k] = -1;
    for (uint32_t s = item->entry->sense; s; s = lex->index.sense[s].next) {
        const sv_sense *sense = &lex->index.sense[s];
        int found = score_of(t, sense->languages & item->languages);
        if (found <= score[sense->kind]) continue;
        score[sense->kind] = found;
        item->pick[sense->kind] = (uint16_t)(s + 1);
        if (found > best) best = found;
    }
    for (int k = 0; k < SV_WORD_KINDS; k++) {
        /* A part word turns the label around: where no colon says that it heads something it must be surer.
         */
        bool surer = (k == SV_WORD_PART && !heads) || (item->entry->bytes <= 3 && !on_label);
        if (score[k] < (surer ? best - best / 4 : best / 2)) item->pick[k] = 0;
    }
    item->languages = likely(t, item->languages, best / 2);
    forget_plain(lex, item);
    if (item->inner) item->pick[SV_WORD_ARTICLE] = item->pick[SV_WORD_PART] = item->pick[SV_WORD_MARK] = 0;
}

void sv_items_choose(const sv_wordbook *lex, sv_items *items, const sv_tongues *t)
{
    bool percent = false;
    items->tongue = t->best;
    for (size_t i = 0; i < items->count; i++)
        percent = percent || items->item[i].percent;
    /* Labels in many languages name their fibres in all of them. */
    for (size_t i = 0; i < items->count; i++) {
        bool heads = i + 1 < items->count && items->item[i + 1].gap & SV_GAP_COLON;
        if (items->item[i].kind == SV_ITEM_KNOWN) choose(lex, &items->item[i], t, percent, heads);
    }
}
