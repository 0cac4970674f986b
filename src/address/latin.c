/* latin.c - Latin letters for an address in another script, where a national romanisation serves (BGN tables
 * of ICU). Chinese characters in Japanese are never read as Chinese, Arabic and Hebrew never without their
 * vowels: there the buyer's own Latin version is asked for. */
#include <string.h>

#include "address/lay_out.h"
#include "base/utf8.h"
#include "text/text.h"

/* The signs for soft and hard go before the rest is made ASCII, else they would be quotation marks. */
#define TAIL "; [\\u2019\\u02BA] Remove; Latin-ASCII; [[:Lm:][:Mn:]\\u0027] Remove"

typedef struct roman {
    const char *script, *country; /* "" any */
    const char *needs;            /* one of these letters must stand in the text, "" for none */
    const char *id;
} roman;

/* The first row that fits. A Cyrillic text in a country of two languages is told by its letters. */
static const roman romans[] = {
    {"Cyrl", "UA", "ыэъё", "Russian-Latin/BGN" TAIL},
    {"Cyrl", "UA", "", "Ukrainian-Latin/BGN" TAIL},
    {"Cyrl", "BY", "іў", "Belarusian-Latin/BGN" TAIL},
    {"Cyrl", "BG", "", "Bulgarian-Latin/BGN" TAIL},
    {"Cyrl", "MK", "", "Macedonian-Latin/BGN" TAIL},
    {"Cyrl", "RS", "", "Serbian-Latin/BGN"},
    {"Cyrl", "ME", "", "Serbian-Latin/BGN"},
    {"Cyrl", "BA", "", "Serbian-Latin/BGN"},
    {"Cyrl", "XK", "", "Serbian-Latin/BGN"},
    {"Cyrl", "MN", "", "Mongolian-Latin/BGN" TAIL},
    {"Cyrl", "KZ", "әғқңөұүһі", "Kazakh-Latin/BGN" TAIL},
    {"Cyrl", "KG", "ңөү", "Kirghiz-Latin/BGN" TAIL},
    {"Cyrl", "UZ", "ўқғҳ", "Uzbek-Latin/BGN" TAIL},
    {"Cyrl", "", "", "Russian-Latin/BGN" TAIL},
    {"Grek", "", "", "Greek-Latin/UNGEGN; Latin-ASCII"},
    {"Geor", "", "", "Georgian-Latin/BGN" TAIL "; Any-Title"},
    {"Armn", "", "", "Armenian-Latin/BGN" TAIL},
    {"Ethi", "ET", "", "Amharic-Latin/BGN" TAIL "; Any-Title"},
    {"Hira", "", "", "Hiragana-Latin; Latin-ASCII; Any-Title"},
    {"Kana", "", "", "Katakana-Latin; Latin-ASCII; Any-Title"},
};

static bool has_one_of(const char *text, const char *letters)
{
    const char *end = letters + strlen(letters);
    while (letters < end) {
        const char *at = letters;
        sv_utf8_next(&letters, end);
        char letter[5] = "";
        memcpy(letter, at, (size_t)(letters - at));
        if (strstr(text, letter)) return true;
    }
    return false;
}

static const char *id_for(const sv_atlas_place *p, const char *script, const char *folded)
{
    for (size_t i = 0; i < sizeof romans / sizeof *romans; i++) {
        const roman *r = &romans[i];
        if (strcmp(r->script, script) != 0 || (*r->country && strcmp(r->country, p->place.code) != 0))
            continue;
        if (!*r->needs || has_one_of(folded, r->needs)) return r->id;
    }
    return NULL;
}

const char *sv_latin_of(const sv_job *j, const char *text)
{
    if (!j->press) return NULL;
    size_t n = strlen(text);
    const char *id = id_for(j->place, sv_script_of(text, n), text);
    const char *latin = id ? sv_transliterate(j->press, j->arena, id, text) : NULL;
    if (!latin || !*latin || sv_is_foreign(latin, strlen(latin))) return NULL;
    return latin;
}

static bool same_key(const char *key, size_t n, const char *name)
{
    char other[96];
    return sv_alias_key(other, sizeof other, name, strlen(name)) == n && memcmp(key, other, n) == 0;
}

const char *sv_latin_town(const sv_job *j, const char *town)
{
    char key[96];
    const sv_table *t = sv_world_table(j->world, "atlas/towns");
    size_t n = t ? sv_alias_key(key, sizeof key, town, strlen(town)) : SIZE_MAX;
    size_t first, rows = n == SIZE_MAX ? 0 : sv_table_run(t, j->place->place.code, &first);
    for (size_t i = 0; i < rows; i++) {
        size_t row = t->by_key[first + i];
        if (same_key(key, n, sv_cell(t, row, sv_table_column(t, "local"))))
            return sv_cell(t, row, sv_table_column(t, "latin"));
    }
    const sv_region *r = sv_region_find(j->place, town, strlen(town));
    return r && *r->local ? r->name : NULL;
}
