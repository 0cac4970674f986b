/* rows.c - the record reader for CSV and TSV. */
#include "base/rows.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "base/utf8.h"

struct sv_rows {
    char *name;
    FILE *file;
    bool close;
    char format;
    size_t line; /* of the record being read */
    size_t next_line;
    size_t columns;
    sv_arena *arena; /* of the column names */
    const char **column;
    sv_buf cell;   /* the cell being read */
    sv_buf record; /* all cells of a record, each with its end mark */
    size_t cells;
    int ahead; /* one character put back, EOF - 1 when none */
};

#define NONE (EOF - 1)

static const char zero_byte[] = "a zero byte; this is not a text file (UTF-16? save it as UTF-8)";

static int get(sv_rows *r)
{
    int c = r->ahead;
    if (c != NONE) {
        r->ahead = NONE;
        return c;
    }
    return getc_unlocked(r->file);
}

static sv_status bad(sv_rows *r, sv_error *err, const char *what)
{
    return sv_fail(err, SV_BAD_FORMAT, "%s:%zu:%zu: %s", r->name, r->line, r->cells + 1, what);
}

static void end_cell(sv_rows *r)
{
    sv_put_n(&r->record, r->cell.data ? r->cell.data : "", r->cell.length);
    sv_put_n(&r->record, "", 1);
    sv_buf_reset(&r->cell);
    r->cells++;
}

/* A quoted cell, from after its first quote to after its last. */
static sv_status quoted(sv_rows *r, sv_error *err)
{
    size_t start = r->next_line;
    for (;;) {
        int c = get(r);
        if (c == EOF)
            return sv_fail(err, SV_BAD_FORMAT, "%s:%zu:%zu: a quote is opened here and never closed", r->name,
                           start, r->cells + 1);
        if (c == '\n') r->next_line++;
        if (c == 0) return bad(r, err, zero_byte);
        if (c == '"') {
            c = get(r);
            if (c != '"') {
                r->ahead = c;
                return SV_OK;
            }
        }
        if (r->cell.length > SV_LONGEST_RECORD)
            return bad(r, err, "a cell of more than 4 MB (an unclosed quote?)");
        sv_put_char(&r->cell, (char)c);
    }
}

static sv_status csv_record(sv_rows *r, sv_error *err)
{
    bool after_quote = false;
    for (;;) {
        int c = get(r);
        if (c == '"' && r->cell.length == 0 && !after_quote) {
            sv_status s = quoted(r, err);
            if (s) return s;
            after_quote = true;
            continue;
        }
        if (c == '\r') {
            int next = get(r);
            r->ahead = next;
            if (next == '\n' || next == EOF) continue;
        }
        if (c == EOF || c == '\n' || c == ',') {
            end_cell(r);
            after_quote = false;
            if (c == ',') continue;
            r->next_line++;
            return SV_OK;
        }
        if (after_quote)
            return bad(r, err, "text after a closing quote; a quote inside a cell is written twice");
        if (c == '"')
            return bad(r, err, "a stray quote; put the whole cell in quotes and write the quote twice");
        if (c == 0) return bad(r, err, zero_byte);
        if (r->cell.length + r->record.length > SV_LONGEST_RECORD)
            return bad(r, err, "a record of more than 4 MB");
        sv_put_char(&r->cell, (char)c);
    }
}

static void tsv_char(sv_rows *r, int c)
{
    if (c != '\\') {
        sv_put_char(&r->cell, (char)c);
        return;
    }
    int next = get(r);
    if (next == 't' || next == 'n' || next == '\\') {
        sv_put_char(&r->cell, next == 't' ? '\t' : next == 'n' ? '\n' : '\\');
        return;
    }
    r->ahead = next;
    sv_put_char(&r->cell, '\\');
}

static sv_status tsv_record(sv_rows *r, sv_error *err)
{
    for (;;) {
        int c = get(r);
        if (c == EOF || c == '\n' || c == '\t') {
            bool cr = c != '\t' && r->cell.length && r->cell.data[r->cell.length - 1] == '\r';
            if (cr) r->cell.data[--r->cell.length] = 0;
            end_cell(r);
            if (c == '\t') continue;
            r->next_line++;
            return SV_OK;
        }
        if (c == 0) return bad(r, err, zero_byte);
        if (r->cell.length + r->record.length > SV_LONGEST_RECORD)
            return bad(r, err, "a record of more than 4 MB");
        tsv_char(r, c);
    }
}

/* Reads one record into r->record; *end at the end of the file. Empty lines are passed over. */
static sv_status read_record(sv_rows *r, bool *end, sv_error *err)
{
    *end = false;
    for (;;) {
        int c = get(r);
        if (c == EOF) {
            *end = true;
            if (ferror(r->file))
                return sv_fail(err, SV_SYSTEM, "%s: cannot be read: %s", r->name, strerror(errno));
            return SV_OK;
        }
        r->line = r->next_line;
        r->ahead = c;
        r->cells = 0;
        sv_buf_reset(&r->record);
        sv_buf_reset(&r->cell);
        sv_status s = r->format == 'c' ? csv_record(r, err) : tsv_record(r, err);
        if (s) return s;
        if (r->record.failed || r->cell.failed)
            return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", r->name);
        if (r->cells > 1 || r->record.length > 1) break;
    }
    size_t at;
    if (!sv_utf8_valid(r->record.data, r->record.length, &at))
        return sv_fail(err, SV_BAD_FORMAT, "%s:%zu: this line is not UTF-8; save the file as UTF-8", r->name,
                       r->line);
    return SV_OK;
}

static const char **cells_of(sv_rows *r, sv_arena *arena, size_t most)
{
    const char **cell = (const char **)sv_alloc_array(arena, most + 1, sizeof(char *));
    char *copy = sv_alloc(arena, r->record.length + 1);
    if (!cell || !copy) return NULL;
    memcpy(copy, r->record.data, r->record.length);
    for (size_t i = 0; i < most; i++) {
        cell[i] = i < r->cells ? copy : "";
        if (i < r->cells) copy += strlen(copy) + 1;
    }
    return cell;
}

/* Which format: looks at the first line of the file, which must be able to be read again. */
static char told_by(const char *line, size_t n)
{
    if (memchr(line, '\t', n)) return 't';
    return memchr(line, ',', n) ? 'c' : 't';
}

static sv_status start(sv_rows *r, int format, sv_error *err)
{
    sv_buf first;
    sv_buf_init(&first, SV_LONGEST_RECORD);
    int c;
    while ((c = getc_unlocked(r->file)) != EOF && c != '\n' && !first.failed)
        sv_put_char(&first, (char)c);
    if (ferror(r->file)) {
        sv_buf_free(&first);
        return sv_fail(err, SV_SYSTEM, "%s: cannot be read: %s", r->name, strerror(errno));
    }
    const char *line = first.data ? first.data : "";
    size_t skip = strncmp(line, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    r->format = format ? (char)format : told_by(line, first.length);
    sv_rows head = *r;
    head.ahead = NONE;
    head.line = head.next_line = 1;
    head.file = first.length > skip ? fmemopen(first.data + skip, first.length - skip, "r") : NULL;
    bool end = true;
    sv_status s = head.file ? read_record(&head, &end, err) : SV_OK;
    if (!s && end)
        s = sv_fail(err, SV_BAD_FORMAT, "%s:1: the first line must give the names of the columns", r->name);
    if (head.file) fclose(head.file);
    r->cell = head.cell;
    r->record = head.record;
    r->next_line = 2;
    if (!s) {
        r->cells = r->columns = head.cells;
        r->column = cells_of(r, r->arena, r->columns);
        if (!r->column) s = sv_fail(err, SV_NO_MEMORY, "%s: out of memory", r->name);
    }
    sv_buf_free(&first);
    return s;
}

static sv_status begin(const char *name, FILE *file, bool close, int format, sv_rows **out, sv_error *err)
{
    sv_rows *r = calloc(1, sizeof *r);
    size_t n = strlen(name);
    if (r) {
        r->file = file;
        r->close = close;
        r->ahead = NONE;
        r->arena = sv_arena_new();
        r->name = malloc(n + 1);
        sv_buf_init(&r->cell, SV_LONGEST_RECORD * 2);
        sv_buf_init(&r->record, SV_LONGEST_RECORD * 2);
    }
    if (!r || !r->arena || !r->name) {
        if (!r && close) fclose(file);
        sv_rows_close(r);
        return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", name);
    }
    memcpy(r->name, name, n + 1);
    sv_status s = start(r, format, err);
    if (s) {
        sv_rows_close(r);
        return s;
    }
    *out = r;
    return SV_OK;
}

sv_status sv_rows_open(const char *path, int format, sv_rows **out, sv_error *err)
{
    if (strcmp(path, "-") == 0) return begin("standard input", stdin, false, format, out, err);
    FILE *file = fopen(path, "re");
    if (!file) return sv_fail(err, SV_SYSTEM, "%s: cannot be opened: %s", path, strerror(errno));
    return begin(path, file, true, format, out, err);
}

sv_status sv_rows_over(const char *name, const char *text, size_t bytes, int format, sv_rows **out,
                       sv_error *err)
{
    union {
        const char *in;
        void *out;
    } memory = {text}; /* opened for reading only */
    FILE *file = bytes ? fmemopen(memory.out, bytes, "r") : fopen("/dev/null", "re");
    if (!file) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", name);
    return begin(name, file, true, format, out, err);
}

void sv_rows_close(sv_rows *r)
{
    if (!r) return;
    if (r->close) fclose(r->file);
    sv_arena_free(r->arena);
    sv_buf_free(&r->cell);
    sv_buf_free(&r->record);
    free(r->name);
    free(r);
}

size_t sv_rows_columns(const sv_rows *r)
{
    return r->columns;
}

const char *sv_rows_column(const sv_rows *r, size_t index)
{
    return r->column[index];
}

int sv_rows_find(const sv_rows *r, const char *name)
{
    for (size_t i = 0; i < r->columns; i++) {
        if (strcmp(r->column[i], name) == 0) return (int)i;
    }
    return -1;
}

const char *sv_rows_name(const sv_rows *r)
{
    return r->name;
}

sv_status sv_rows_next(sv_rows *r, sv_arena *arena, const char *const **cells, size_t *line, sv_error *err)
{
    *cells = NULL;
    bool end;
    sv_status s = read_record(r, &end, err);
    if (s || end) return s;
    if (r->cells > r->columns)
        return sv_fail(err, SV_BAD_FORMAT, "%s:%zu:%zu: more cells than the first line names columns",
                       r->name, r->line, r->columns + 1);
    *line = r->line;
    *cells = cells_of(r, arena, r->columns);
    return *cells ? SV_OK : sv_fail(err, SV_NO_MEMORY, "%s: out of memory", r->name);
}
