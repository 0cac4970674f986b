/* text.h - what the rooms need of ICU: folding for comparison, scripts, capitals, transliteration. */
#ifndef SV_TEXT_H
#define SV_TEXT_H

#include "base/utf8.h"
#include "selvedge/base.h"

/* Folds for comparison: NFKD, case folded, marks dropped, Latin letters without decomposition spelt out
 * (ß ss, ø o, ł l, æ ae, đ d, ı i), full-width to half, all decimal digits to ASCII, runs of blanks to one,
 * ends trimmed. Punctuation stays. ASCII input takes a fast path. Never NULL. */
const char *sv_fold(sv_arena *arena, const char *text, size_t bytes);
/* The same into a caller's buffer; returns the length, or SIZE_MAX when it does not fit (nothing is written).
 */
size_t sv_fold_into(char *out, size_t room, const char *text, size_t bytes);

/* The script most letters are written in, as ISO 15924 ("Latn", "Cyrl", "Hani", "Jpan" when kana stand among
 * Han, "Kore"); "Zyyy" when there are no letters. */
const char *sv_script_of(const char *text, size_t bytes);
/* Upper case by the rules of a language ("tr", "el", "de", "" for none); text without case is unchanged. */
const char *sv_upper(sv_arena *arena, const char *text, const char *language);
/* NFC, control characters and invisible marks dropped; *clean false when anything was dropped. */
const char *sv_nfc(sv_arena *arena, const char *text, bool *clean);
/* By an ICU transliterator id, cached in the press; NULL when ICU has none of that id. */
const char *sv_transliterate(sv_press *press, sv_arena *arena, const char *id, const char *text);

#endif
