/* split_write.c - the columns, written from the words: as they stood, with what stood between them. */
#include <string.h>
#include <unicode/uchar.h>

#include "address/split.h"
#include "base/buf.h"
#include "base/utf8.h"

static bool is_edge(char c)
{
    return strchr("-/,;:*= ", c) != NULL;
}

/* Bytes at the edges of a run that are no part of it. */
static void trim(const sp_job *j, uint32_t *at, uint32_t *end)
{
    while (*at < *end && is_edge(j->text[*at]))
        (*at)++;
    while (*end > *at && is_edge(j->text[*end - 1]))
        (*end)--;
}

/* A bracket that opens inside the run and closes right behind it belongs to it. */
static uint32_t with_bracket(const sp_job *j, uint32_t at, uint32_t end)
{
    int depth = 0;
    for (uint32_t k = at; k < end; k++)
        depth += (j->text[k] == '(') - (j->text[k] == ')');
    return depth > 0 && j->text[end] == ')' ? end + 1 : end;
}

/* ... and one that closes inside and opened right before it: "(718) 555-0123". */
static uint32_t from_bracket(const sp_job *j, uint32_t at, uint32_t end)
{
    uint32_t k = at;
    while (k < end && j->text[k] != '(' && j->text[k] != ')')
        k++;
    return k < end && j->text[k] == ')' && at > 0 && j->text[at - 1] == '(' ? at - 1 : at;
}

static const char *joint(sp_column column, const sp_word *before, const sp_word *w)
{
    if (column == SP_STREET) return "\n";
    if (column == SP_UNPLACED || column == SP_PHONE || column == SP_EMAIL) return ", ";
    bool parted = before->line != w->line || sp_breaks(w);
    return parted && (column == SP_DEPENDENT || column == SP_REGION) ? ", " : " ";
}

static void put_digits(sv_buf *b, const char *text, size_t n)
{
    const char *end = text + n;
    while (text < end) {
        const char *at = text;
        uint32_t c = sv_utf8_next(&text, end);
        int32_t digit = u_charDigitValue((UChar32)c);
        if (digit >= 0)
            sv_put_char(b, (char)('0' + digit));
        else
            sv_put_n(b, at, (size_t)(text - at));
    }
}

/* Every run of words of the column, in the order of the block. */
static const char *column_text(const sp_job *j, sp_column column)
{
    size_t first = 0;
    while (first < j->words && j->word[first].column != (uint8_t)column)
        first++;
    if (first == j->words) return "";
    sv_buf b;
    sv_buf_init(&b, 0);
    const sp_word *before = NULL;
    for (size_t i = first; i < j->words;) {
        if (j->word[i].column != (uint8_t)column) {
            i++;
            continue;
        }
        size_t to = i + 1;
        while (to < j->words && j->word[to].column == (uint8_t)column && j->word[to].line == j->word[i].line)
            to++;
        uint32_t at = j->word[i].at, end = j->word[to - 1].end;
        trim(j, &at, &end);
        if (end > at && before) sv_put(&b, joint(column, before, &j->word[i]));
        end = with_bracket(j, at, end);
        at = from_bracket(j, at, end);
        if (column == SP_PHONE)
            put_digits(&b, j->text + at, end - at);
        else
            sv_put_n(&b, j->text + at, end - at);
        before = &j->word[to - 1];
        i = to;
    }
    const char *text = sv_buf_copy(&b, j->arena);
    sv_buf_free(&b);
    return text;
}

static const char *with_rest(const sp_job *j, const char *unplaced)
{
    if (!j->rest) return unplaced;
    return *unplaced ? sv_format(j->arena, "%s, %s", unplaced, j->rest) : sv_copy(j->arena, j->rest);
}

void sp_write(sp_job *j, sv_address *out)
{
    out->recipient = column_text(j, SP_RECIPIENT);
    out->organisation = column_text(j, SP_FIRM);
    out->street_lines = column_text(j, SP_STREET);
    out->dependent_locality = column_text(j, SP_DEPENDENT);
    out->city = column_text(j, SP_TOWN);
    out->region = column_text(j, SP_REGION);
    out->postcode = sv_copy(j->arena, j->postcode);
    out->phone = column_text(j, SP_PHONE);
    out->email = column_text(j, SP_EMAIL);
    out->unplaced = with_rest(j, column_text(j, SP_UNPLACED));
}
