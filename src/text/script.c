/* script.c - which script a text is written in. */
#include <string.h>
#include <unicode/uchar.h>
#include <unicode/uscript.h>

#include "text/text.h"

const char *sv_script_of(const char *text, size_t bytes)
{
    enum { MOST = USCRIPT_CODE_LIMIT };
    uint16_t count[MOST];
    memset(count, 0, sizeof count);
    const char *end = text + bytes;
    while (text < end) {
        UChar32 c = (UChar32)sv_utf8_next(&text, end);
        UErrorCode e = U_ZERO_ERROR;
        UScriptCode s = c < 0x80 ? (u_isalpha(c) ? USCRIPT_LATIN : USCRIPT_COMMON) : uscript_getScript(c, &e);
        if ((int)s > USCRIPT_INHERITED && (int)s < MOST && count[s] < UINT16_MAX) count[s]++;
    }
    if (count[USCRIPT_HIRAGANA] + count[USCRIPT_KATAKANA] > 0 && count[USCRIPT_HAN] > 0) return "Jpan";
    int best = USCRIPT_COMMON;
    for (int i = USCRIPT_INHERITED + 1; i < MOST; i++) {
        if (count[i] > count[best] || (best == USCRIPT_COMMON && count[i])) best = i;
    }
    if (best == USCRIPT_HANGUL) return "Kore";
    return uscript_getShortName((UScriptCode)best);
}
