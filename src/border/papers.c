/* papers.c - permits and certificates that lift a restriction; amounts across currencies; ages of rows. */
#include <string.h>

#include "border/judge.h"
#include "text/text.h"

static bool letter(char c)
{
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (unsigned char)c > 127;
}

/* Whole words of `phrase` in a row, inside `text`; both folded. */
static bool has_phrase(const char *text, const char *phrase, size_t bytes)
{
    for (const char *p = text; *p; p++) {
        if (strncmp(p, phrase, bytes) == 0 && !letter(p[bytes]) && (p == text || !letter(p[-1]))) return true;
    }
    return false;
}

/* A paper that is only hoped for, or gone, lifts nothing. */
static bool is_held(const char *paper)
{
    static const char *const not_held[] = {"no",      "not",     "without", "none",    "applied", "pending",
                                           "expired", "missing", "lost",    "planned", "later"};
    for (size_t i = 0; i < sizeof not_held / sizeof *not_held; i++) {
        if (has_phrase(paper, not_held[i], strlen(not_held[i]))) return false;
    }
    return true;
}

static bool paper_lifts(sv_arena *arena, const char *paper, const char *lifted_by)
{
    for (const char *p = lifted_by; *p;) {
        size_t n = strcspn(p, ";");
        const char *phrase = sv_fold(arena, p, n);
        if (*phrase && has_phrase(paper, phrase, strlen(phrase))) return true;
        p += n + (p[n] == ';');
    }
    return false;
}

static const char *joined(sv_arena *arena, const char *list, const char *more)
{
    if (!*list) return more;
    return strstr(list, more) ? list : sv_format(arena, "%s; %s", list, more);
}

/* CN 23: licences and permits of import or export stand in field 12, certificates and CITES papers in
 * field 13. */
static bool is_certificate(const char *paper)
{
    static const char *const words[] = {"cites", "certificate", "attestation", "zertifikat", "certificat"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (has_phrase(paper, words[i], strlen(words[i]))) return true;
    }
    return false;
}

bool sv_papers_lift(sv_arena *arena, const char *lifted_by, const char *documents, sv_border_answer *out)
{
    bool lifted = false;
    for (const char *p = sv_or_empty(documents); *p;) {
        size_t n = strcspn(p, ";");
        const char *paper = sv_trim(arena, p, n), *folded = sv_fold(arena, p, n);
        if (is_held(folded) && paper_lifts(arena, folded, lifted_by)) {
            lifted = true;
            const char **field = is_certificate(folded) ? &out->document_certificate : &out->document_licence;
            *field = joined(arena, *field, paper);
        }
        p += n + (p[n] == ';');
    }
    return lifted;
}

sv_dec sv_convert(const sv_border *b, sv_dec amount, const char *from, const char *to)
{
    if (strcmp(from, to) == 0) return amount;
    const sv_table *t = b->sdr;
    size_t one = sv_table_find(t, from), two = sv_table_find(t, to);
    sv_dec per_one, per_two;
    if (one == SV_NO_ROW || two == SV_NO_ROW || !sv_dec_read(sv_by_name(t, one, "per_sdr"), &per_one) ||
        !sv_dec_read(sv_by_name(t, two, "per_sdr"), &per_two))
        return SV_DEC_UNKNOWN;
    return sv_dec_div(sv_dec_mul(amount, per_two), per_one, 2, SV_HALF_UP);
}

const char *sv_users_key(sv_arena *arena, const sv_table *t, size_t row)
{
    if (!t->users || !t->users[row]) return NULL;
    return sv_format(arena, "%s %s", t->name, sv_cell(t, row, 0));
}

bool sv_older_than_a_year(const char *day, const char *today)
{
    if (strlen(day) != strlen("2026-11-25") || strlen(today) != strlen("2026-11-25")) return false;
    char later[11];
    memcpy(later, day, sizeof later);
    /* The same day a year on; dates compare as text. */
    for (int i = 3; i >= 0; i--) {
        if (later[i] != '9') {
            later[i]++;
            break;
        }
        later[i] = '0';
    }
    return strcmp(today, later) > 0;
}
