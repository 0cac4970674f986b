/* forms.c - inflection by the endings of each language, joined words from their end, misspellings by one
 * letter. */
#include "garment/forms.h"

#include <string.h>

/* ---- letters ---- */

static bool is_start(char c)
{
    return ((unsigned char)c & 0xC0) != 0x80;
}

static size_t letters_in(const char *text, size_t bytes)
{
    size_t n = 0;
    for (size_t i = 0; i < bytes; i++)
        n += is_start(text[i]);
    return n;
}

/* ---- inflection ---- */

/* Is this an ending of the list (apart by blanks)? Nothing at all is one in every language. */
static bool is_ending(const char *endings, const char *text, size_t bytes)
{
    if (bytes == 0) return true;
    for (const char *p = endings; *p;) {
        size_t n = strcspn(p, " ");
        if (n == bytes && memcmp(p, text, n) == 0) return true;
        p += n;
        if (*p) p++;
    }
    return false;
}

/* Languages in which `word` and the entry's word are one stem with two endings, cut after `stem` bytes. */
static uint64_t same_stem(const sv_wordbook *lex, uint64_t languages, const char *word, size_t bytes,
                          const sv_entry *e, size_t stem)
{
    uint64_t both = 0;
    for (int l = 0; l < lex->languages; l++) {
        uint64_t bit = (uint64_t)1 << l;
        const char *endings = lex->language[l].endings;
        if (languages & bit && *endings && is_ending(endings, word + stem, bytes - stem) &&
            is_ending(endings, sv_entry_key(lex, e) + stem, e->bytes - stem))
            both |= bit;
    }
    return both;
}

#define LONGEST_ENDING 12

/* The same, with the stem as long as the two agree, or up to two letters shorter. */
static uint64_t inflected(const sv_wordbook *lex, const char *word, size_t bytes, const sv_entry *e,
                          size_t *stem)
{
    const char *key = sv_entry_key(lex, e);
    size_t most = bytes < e->bytes ? bytes : e->bytes, common = 0;
    while (common < most && word[common] == key[common])
        common++;
    while (common && common < most && !is_start(word[common]))
        common--;
    if (bytes - common > LONGEST_ENDING || e->bytes - common > LONGEST_ENDING) return 0;
    uint64_t languages = sv_entry_languages(lex, e);
    for (int shorter = 0; shorter < 3; shorter++) {
        if (letters_in(word, common) < 3) return 0;
        uint64_t found = same_stem(lex, languages, word, bytes, e, common);
        *stem = common;
        if (found) return found;
        do {
            common--;
        } while (common && !is_start(word[common]));
    }
    return 0;
}

static bool find_inflected(const sv_wordbook *lex, const char *word, size_t bytes, sv_form *out)
{
    size_t best = 0;
    for (const sv_entry *e = sv_wordbook_near(lex, word, bytes); e; e = sv_entry_near(lex, e)) {
        size_t stem = 0;
        if (!e->sense) continue;
        uint64_t languages = inflected(lex, word, bytes, e, &stem);
        if (!languages || stem <= best) continue;
        best = stem;
        *out = (sv_form){e, languages, SV_HOW_INFLECTED};
    }
    return best > 0;
}

/* ---- joined words ---- */

static bool says(const sv_wordbook *lex, const sv_entry *e, sv_word_kind kind)
{
    for (uint32_t s = e->sense; s; s = lex->index.sense[s].next) {
        if (lex->index.sense[s].kind == kind) return true;
    }
    return false;
}

static const sv_entry *in_compounds(const sv_wordbook *lex, const char *word, size_t bytes)
{
    const sv_entry *e = sv_wordbook_find(lex, word, bytes);
    return e && e->sense && sv_entry_languages(lex, e) & lex->compounding ? e : NULL;
}

/* First part of a joined word: as it stands, or without the letters that join (Hochzeit-s-kleid). */
static const sv_entry *first_part(const sv_wordbook *lex, const char *word, size_t bytes)
{
    static const char *const joints[] = {"", "s", "n", "en", "e", "es", "er", "u", "a", "o"};
    for (size_t i = 0; i < sizeof joints / sizeof *joints; i++) {
        size_t n = strlen(joints[i]);
        if (bytes < n + 3 || memcmp(word + bytes - n, joints[i], n) != 0) continue;
        const sv_entry *e = in_compounds(lex, word, bytes - n);
        if (e) return e;
    }
    return NULL;
}

static void push(sv_forms *out, const sv_entry *e, uint64_t languages, sv_item_how how)
{
    if (out->count < SV_FORMS_MAX) out->form[out->count++] = (sv_form){e, languages, (uint8_t)how};
}

static bool split(const sv_wordbook *lex, const char *word, size_t bytes, sv_forms *out, int depth);

/* The part before the last one; unknown is fine when the last part is long enough to be no accident. */
static bool split_first(const sv_wordbook *lex, const char *word, size_t bytes, size_t last_letters,
                        sv_forms *out, int depth)
{
    const sv_entry *e = first_part(lex, word, bytes);
    if (e) {
        push(out, e, lex->compounding, SV_HOW_JOINED);
        return true;
    }
    if (depth < 2 && split(lex, word, bytes, out, depth + 1)) return true;
    if (last_letters < 4 || letters_in(word, bytes) < 3) return false;
    push(out, NULL, 0, SV_HOW_JOINED);
    return true;
}

/* Whole words of the lexicon that happen to end another word are no parts of it: only what names goods,
 * fibres and parts ends a joined word. */
static bool ends_words(const sv_wordbook *lex, const sv_entry *e)
{
    return says(lex, e, SV_WORD_ARTICLE) || says(lex, e, SV_WORD_FIBRE) || says(lex, e, SV_WORD_PART);
}

static bool split(const sv_wordbook *lex, const char *word, size_t bytes, sv_forms *out, int depth)
{
    if (letters_in(word, bytes) < 6) return false;
    for (size_t cut = 2; cut + 2 < bytes; cut++) {
        if (!is_start(word[cut])) continue;
        size_t letters = letters_in(word + cut, bytes - cut);
        if (letters < 3) break;
        const sv_entry *last = in_compounds(lex, word + cut, bytes - cut);
        sv_form form = {last, lex->compounding, SV_HOW_JOINED};
        if (!last && letters >= 5 && depth == 0 && find_inflected(lex, word + cut, bytes - cut, &form) &&
            form.languages & lex->compounding)
            last = form.entry;
        if (!last || !ends_words(lex, last)) continue;
        size_t before = out->count;
        if (split_first(lex, word, cut, letters, out, depth)) {
            push(out, last, form.languages & lex->compounding, SV_HOW_JOINED);
            return true;
        }
        out->count = before;
    }
    return false;
}

/* A known fibre or fact that begins an unknown word: Baumwollmischung, Damensachen. */
static bool begins_with_known(const sv_wordbook *lex, const char *word, size_t bytes, sv_forms *out)
{
    for (size_t cut = bytes - 2; cut >= 4; cut--) {
        if (!is_start(word[cut]) || letters_in(word, cut) < 5) continue;
        const sv_entry *e = in_compounds(lex, word, cut);
        if (!e || !(says(lex, e, SV_WORD_FIBRE) || says(lex, e, SV_WORD_FACT))) continue;
        push(out, e, lex->compounding, SV_HOW_JOINED);
        push(out, NULL, 0, SV_HOW_JOINED);
        return true;
    }
    return false;
}

/* ---- misspellings ---- */

/* One letter more, less, other, or two changed places; both words share their first three letters already. */
static bool one_letter_off(const char *a, size_t n, const char *b, size_t m)
{
    size_t i = 0;
    while (i < n && i < m && a[i] == b[i])
        i++;
    size_t x = n, y = m;
    while (x > i && y > i && a[x - 1] == b[y - 1]) {
        x--;
        y--;
    }
    size_t left = x - i, right = y - i;
    if (left <= 1 && right <= 1) return true;
    return left == 2 && right == 2 && a[i] == b[i + 1] && a[i + 1] == b[i];
}

static int count_bits(uint64_t x)
{
    int n = 0;
    for (; x; x &= x - 1)
        n++;
    return n;
}

/* Of several words the one that most languages share: which language the text is in is not known yet. */
static bool find_misspelt(const sv_wordbook *lex, const char *word, size_t bytes, sv_form *out)
{
    int most = 0;
    if (letters_in(word, bytes) < 6) return false;
    for (const sv_entry *e = sv_wordbook_near(lex, word, bytes); e; e = sv_entry_near(lex, e)) {
        size_t more = e->bytes > bytes ? e->bytes - bytes : bytes - e->bytes;
        if (!e->sense || more > 2 || e->bytes < 6) continue;
        if (!one_letter_off(word, bytes, sv_entry_key(lex, e), e->bytes)) continue;
        if (!says(lex, e, SV_WORD_FIBRE) && !says(lex, e, SV_WORD_ARTICLE)) continue;
        uint64_t languages = sv_entry_languages(lex, e);
        if (count_bits(languages) <= most) continue;
        most = count_bits(languages);
        *out = (sv_form){e, languages, SV_HOW_MISSPELT};
    }
    return most > 0;
}

/* ---- other spellings ---- */

/* ae, oe, ue for the German letters with two points: Guertel. */
static bool find_spelt_out(const sv_wordbook *lex, const char *word, size_t bytes, sv_forms *out)
{
    char other[96];
    size_t n = 0;
    bool changed = false;
    if (bytes > sizeof other) return false;
    for (size_t i = 0; i < bytes; i++) {
        other[n++] = word[i];
        bool pair =
            i + 1 < bytes && word[i + 1] == 'e' && (word[i] == 'a' || word[i] == 'o' || word[i] == 'u');
        if (!pair) continue;
        changed = true;
        i++;
    }
    if (!changed) return false;
    const sv_entry *e = sv_wordbook_find(lex, other, n);
    if (e && e->sense) {
        push(out, e, UINT64_MAX, SV_HOW_INFLECTED);
        return true;
    }
    return split(lex, other, n, out, 1);
}

/* The article and the little words that Arabic and Hebrew write on to the next word. */
static bool find_without_prefix(const sv_wordbook *lex, const char *word, size_t bytes, sv_form *out)
{
    static const char *const prefixes[] = {"وال", "بال", "لل", "ال", "و", "ب", "ل",
                                           "ה",   "ב",   "ל",  "ו",  "מ", "ש", "כ"};
    for (size_t i = 0; i < sizeof prefixes / sizeof *prefixes; i++) {
        size_t n = strlen(prefixes[i]);
        if (bytes < n + 4 || memcmp(word, prefixes[i], n) != 0) continue;
        const sv_entry *e = sv_wordbook_find(lex, word + n, bytes - n);
        if (!e || !e->sense) continue;
        *out = (sv_form){e, UINT64_MAX, SV_HOW_INFLECTED};
        return true;
    }
    return false;
}

void sv_forms_of(const sv_wordbook *lex, const char *folded, size_t bytes, sv_forms *out)
{
    *out = (sv_forms){.count = 0};
    sv_form form;
    if (bytes < 4) return;
    bool semitic = (unsigned char)folded[0] >= 0xD6 && (unsigned char)folded[0] <= 0xDB;
    if (find_inflected(lex, folded, bytes, &form) ||
        (semitic && find_without_prefix(lex, folded, bytes, &form))) {
        push(out, form.entry, form.languages, (sv_item_how)form.how);
        if (find_misspelt(lex, folded, bytes, &form)) out->other = form.entry;
        return;
    }
    if (split(lex, folded, bytes, out, 0)) return;
    out->count = 0;
    if (find_spelt_out(lex, folded, bytes, out)) return;
    out->count = 0;
    if (find_misspelt(lex, folded, bytes, &form)) {
        push(out, form.entry, form.languages, SV_HOW_MISSPELT);
        return;
    }
    begins_with_known(lex, folded, bytes, out);
}
