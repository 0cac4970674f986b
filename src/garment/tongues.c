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

static void give(const sv_wordbook *lex, sv_tongues *t, uint64_t languages, int weight)
{
    int n = bits_in(languages);
    if (n == 0) return;
    for (int l = 0; l < lex->languages; l++) {
        if (languages >> l & 1) t->score[l] += weight / n;
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

int sv_tongue_best(const sv_wordbook *lex, const sv_tongues *t)
{
    int best = lex->english;
    for (int l = 0; l < lex->languages; l++) {
        if (l != lex->by_capitals &&
            t->score[l] > t->score[best] + (best == lex->english ? ENGLISH_FIRST : 0))
            best = l;
    }
    return best;
}

static int score_of(const sv_wordbook *lex, const sv_tongues *t, uint64_t languages)
{
    int best = -1;
    for (int l = 0; l < lex->languages; l++) {
        if (!(languages >> l & 1)) continue;
        /* Between equals the one that stands first in the table, where more people write it. */
        int score = t->score[l] + (l == lex->english ? ENGLISH_FIRST : 0) + (lex->languages - l) / 4;
        if (score > best) best = score;
    }
    return best;
}

static uint64_t likely_languages(const sv_wordbook *lex, const sv_tongues *t, int least)
{
    uint64_t likely = 0;
    for (int l = 0; l < lex->languages; l++) {
        if (t->score[l] + (l == lex->english ? ENGLISH_FIRST : 0) >= least) likely |= (uint64_t)1 << l;
    }
    return likely;
}

/* Is a short word one of other languages than the text, of which nothing else in it is? What so few letters
 * spell in one language or another is an accident then: "dam" in an English text is no Swedish lady. */
static bool is_stranger(const sv_wordbook *lex, const sv_item *item, const sv_tongues *t, uint64_t languages)
{
    int tongue = sv_tongue_best(lex, t), best = t->score[tongue], n = bits_in(languages);
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
static void choose(const sv_wordbook *lex, sv_item *item, const sv_tongues *t, bool on_label)
{
    /* What is not a word as it stands counts only in a language that the text may well be in. */
    if (item->how != SV_HOW_EXACT)
        item->languages &= likely_languages(lex, t, t->score[sv_tongue_best(lex, t)] / 2);
    bool stays = on_label && names_fibre(lex, item);
    if (!item->languages || (!stays && is_stranger(lex, item, t, languages_of(lex, item)))) {
        item->kind = SV_ITEM_UNKNOWN;
        return;
    }
    int score[SV_WORD_KINDS], best = 0;
    for (int k = 0; k < SV_WORD_KINDS; k++)
        score[k] = -1;
    if (lex->by_capitals >= 0 && !item->capitals) item->languages &= ~((uint64_t)1 << lex->by_capitals);
    for (uint32_t s = item->entry->sense; s; s = lex->index.sense[s].next) {
        const sv_sense *sense = &lex->index.sense[s];
        int found = score_of(lex, t, sense->languages & item->languages);
        if (found <= score[sense->kind]) continue;
        score[sense->kind] = found;
        item->pick[sense->kind] = (uint16_t)(s + 1);
        if (found > best) best = found;
    }
    for (int k = 0; k < SV_WORD_KINDS; k++) {
        if (score[k] < best / 2) item->pick[k] = 0;
    }
    item->languages &= likely_languages(lex, t, best / 2);
    forget_plain(lex, item);
    if (item->inner) item->pick[SV_WORD_ARTICLE] = item->pick[SV_WORD_PART] = item->pick[SV_WORD_MARK] = 0;
}

void sv_items_choose(const sv_wordbook *lex, sv_items *items, const sv_tongues *t)
{
    bool percent = false;
    for (size_t i = 0; i < items->count; i++)
        percent = percent || items->item[i].percent;
    /* Labels in many languages name their fibres in all of them. */
    for (size_t i = 0; i < items->count; i++) {
        if (items->item[i].kind == SV_ITEM_KNOWN) choose(lex, &items->item[i], t, percent);
    }
}
