/* table.c - reading data tables, and laying the user's rows over ours. */
#include "base/table.h"

#include <stdlib.h>
#include <string.h>

#include "base/banned.h"
#include "base/cells.h"

#define MOST_COLUMNS 64
#define LARGEST      ((size_t)1 << 30)

int sv_table_column(const sv_table *t, const char *name)
{
    for (int i = 0; i < t->columns; i++) {
        if (t->column[i][0] == name[0] && strcmp(t->column[i], name) == 0) return i;
    }
    return -1;
}

/* Turns \t \n \\ back, in place. */
static void unescape(char *cell)
{
    char *in = strchr(cell, '\\'), *out = in;
    if (!in) return;
    for (; *in; in++) {
        if (in[0] == '\\' && (in[1] == 't' || in[1] == 'n' || in[1] == '\\')) {
            in++;
            *out++ = *in == 't' ? '\t' : *in == 'n' ? '\n' : '\\';
        } else {
            *out++ = *in;
        }
    }
    *out = 0;
}

/* Splits a line at its tabs, in place; gives the number of cells, at most `most` of them kept. */
static int split(char *line, const char **cell, int most)
{
    int n = 0;
    for (char *p = line;; n++) {
        char *tab = strchr(p, '\t');
        if (tab) *tab = 0;
        if (n < most) {
            unescape(p);
            cell[n] = p;
        }
        if (!tab) return n + 1;
        p = tab + 1;
    }
}

/* Compares two rows by their key columns. */
static int compare(const sv_table *t, size_t a, size_t b)
{
    for (int k = 0; k < t->keys; k++) {
        int order = strcmp(sv_cell(t, a, k), sv_cell(t, b, k));
        if (order) return order;
    }
    return 0;
}

static void merge_sort(const sv_table *t, uint32_t *row, uint32_t *other, size_t n)
{
    if (n < 2) return;
    size_t half = n / 2;
    merge_sort(t, row, other, half);
    merge_sort(t, row + half, other, n - half);
    if (compare(t, row[half - 1], row[half]) <= 0) return;
    memcpy(other, row, half * sizeof *row);
    size_t i = 0, j = half, k = 0;
    while (i < half && j < n)
        row[k++] = compare(t, other[i], row[j]) <= 0 ? other[i++] : row[j++];
    while (i < half)
        row[k++] = other[i++];
}

static sv_status sort_by_key(sv_arena *arena, sv_table *t, sv_error *err)
{
    uint32_t *by_key = SV_NEW_ARRAY(arena, t->rows + 1, uint32_t);
    uint32_t *other = SV_NEW_ARRAY(arena, t->rows / 2 + 1, uint32_t);
    if (!by_key || !other) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", t->name);
    for (size_t i = 0; i < t->rows; i++)
        by_key[i] = (uint32_t)i;
    merge_sort(t, by_key, other, t->rows);
    t->by_key = by_key;
    return SV_OK;
}

/* First position in by_key whose first key column is not before `key`. */
static size_t lower(const sv_table *t, const char *key)
{
    size_t from = 0, to = t->rows;
    while (from < to) {
        size_t middle = from + (to - from) / 2;
        if (strcmp(sv_cell(t, t->by_key[middle], 0), key) < 0) {
            from = middle + 1;
        } else {
            to = middle;
        }
    }
    return from;
}

size_t sv_table_find(const sv_table *t, const char *key)
{
    size_t at = lower(t, key);
    return at < t->rows && strcmp(sv_cell(t, t->by_key[at], 0), key) == 0 ? t->by_key[at] : SV_NO_ROW;
}

size_t sv_table_run(const sv_table *t, const char *key, size_t *first)
{
    size_t at = lower(t, key), n = 0;
    *first = at;
    while (at + n < t->rows && strcmp(sv_cell(t, t->by_key[at + n], 0), key) == 0)
        n++;
    return n;
}

typedef struct reader {
    sv_arena *arena;
    const char *file;
    bool strict;
    size_t line, lines; /* this one, all */
    sv_table *t;
    uint32_t *cell; /* the table's, while it is filled */
    sv_error *err;
} reader;

static sv_status bad(const reader *r, int column, const char *what)
{
    return sv_fail(r->err, SV_BAD_FORMAT, "%s:%zu:%d: %s", r->file, r->line, column + 1, what);
}

static sv_status read_names(reader *r, char *line)
{
    const char **name = SV_NEW_ARRAY(r->arena, MOST_COLUMNS, const char *);
    const char **type = SV_NEW_ARRAY(r->arena, MOST_COLUMNS, const char *);
    if (!name || !type) return sv_fail(r->err, SV_NO_MEMORY, "%s: out of memory", r->file);
    int n = split(line, name, MOST_COLUMNS);
    if (n > MOST_COLUMNS) return bad(r, MOST_COLUMNS, "more than 64 columns");
    for (int i = 0; i < n; i++) {
        if (!*name[i]) return bad(r, i, "a column without a name");
        type[i] = "";
    }
    r->t->cell = r->cell = SV_NEW_ARRAY(r->arena, r->lines * (size_t)n, uint32_t);
    if (!r->cell) return sv_fail(r->err, SV_NO_MEMORY, "%s: out of memory", r->file);
    r->t->column = name;
    r->t->type = type;
    r->t->columns = n;
    r->t->keys = 1;
    return SV_OK;
}

/* The line `#key<TAB>text!...`: the mark goes, the types stay. */
static sv_status read_types(reader *r, char *line)
{
    const char *type[MOST_COLUMNS];
    int n = split(line + 1, type, MOST_COLUMNS);
    if (n != r->t->columns)
        return bad(r, n < r->t->columns ? n : r->t->columns, "as many types as columns are wanted");
    const char **types = SV_NEW_ARRAY(r->arena, (size_t)n, const char *);
    if (!types) return sv_fail(r->err, SV_NO_MEMORY, "%s: out of memory", r->file);
    r->t->keys = 0;
    for (int i = 0; i < n; i++) {
        types[i] = type[i];
        if (!sv_cell_type_known(type[i])) return bad(r, i, "unknown type");
        if (strcmp(type[i], "key") == 0 && r->t->keys == i) r->t->keys++;
    }
    if (r->t->keys == 0) return bad(r, 0, "the first column must be a key");
    r->t->type = types;
    return SV_OK;
}

static bool is_type_line(const char *line)
{
    return strncmp(line, "#key", 4) == 0 && (line[4] == '\t' || !line[4]);
}

static sv_status read_row(reader *r, char *line)
{
    sv_table *t = r->t;
    const char *cell[MOST_COLUMNS];
    if (!r->cell) return bad(r, 0, "a row before the names of the columns");
    for (int i = 0; i < t->columns; i++)
        cell[i] = t->text; /* empty */
    int n = split(line, cell, t->columns);
    if (n > t->columns) return bad(r, t->columns, "more cells than columns (a tab too many?)");
    for (int i = 0; i < t->columns; i++)
        r->cell[t->rows * (size_t)t->columns + (size_t)i] = (uint32_t)(cell[i] - t->text);
    for (int i = 0; r->strict && i < t->columns; i++) {
        bool later_key = i > 0 && i < t->keys; /* only the first part of a key must be filled */
        const char *wrong = later_key ? NULL : sv_cell_wrong(t->type[i], cell[i]);
        if (wrong)
            return bad(r, i, sv_format(r->arena, "%s: %s, here: \"%s\"", t->column[i], wrong, cell[i]));
    }
    t->rows++;
    return SV_OK;
}

static size_t count_lines(const char *text, size_t bytes)
{
    size_t n = 1;
    for (const char *p = text; (p = memchr(p, '\n', bytes - (size_t)(p - text))); p++)
        n++;
    return n;
}

static sv_status read_line(reader *r, char *line)
{
    size_t length = strlen(line);
    if (length && line[length - 1] == '\r') line[length - 1] = 0;
    if (!*line) return SV_OK;
    if (*line == '#')
        return r->t->columns && r->t->rows == 0 && is_type_line(line) ? read_types(r, line) : SV_OK;
    if (r->t->columns == 0) return read_names(r, line);
    return read_row(r, line);
}

static sv_status check_unique(const reader *r)
{
    const sv_table *t = r->t;
    for (size_t i = 1; r->strict && i < t->rows; i++) {
        if (compare(t, t->by_key[i - 1], t->by_key[i]) != 0) continue;
        return sv_fail(r->err, SV_BAD_FORMAT, "%s: two rows have the key \"%s\"", r->file,
                       sv_cell(t, t->by_key[i], 0));
    }
    return SV_OK;
}

sv_status sv_table_read(sv_arena *arena, const char *name, const char *file, const char *text, size_t bytes,
                        bool strict, sv_table *out, sv_error *err)
{
    if (bytes > LARGEST) return sv_fail(err, SV_LIMIT, "%s: a table of more than 1 GB", file);
    char *copy = sv_alloc(arena, bytes + 2);
    if (!copy) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", file);
    *out = (sv_table){.name = name, .text = copy, .bytes = bytes + 2};
    reader r = {.arena = arena, .file = file, .strict = strict, .t = out, .err = err};
    memcpy(++copy, text, bytes); /* behind the empty cell */
    if (strncmp(copy, "\xEF\xBB\xBF", 3) == 0) copy += 3;
    r.lines = count_lines(text, bytes);
    for (char *line = copy, *end; line; line = end) {
        end = strchr(line, '\n');
        if (end) *end++ = 0;
        r.line++;
        sv_status s = read_line(&r, line);
        if (s) return s;
    }
    if (out->columns == 0) return sv_fail(err, SV_BAD_FORMAT, "%s:1:1: no line with column names", file);
    sv_status s = sort_by_key(arena, out, err);
    return s ? s : check_unique(&r);
}

/* Where each of our columns stands in the user's file; -1 where it does not. */
static sv_status match_columns(const sv_table *ours, const sv_table *mine, const char *file, int *at,
                               sv_error *err)
{
    for (int i = 0; i < mine->columns; i++) {
        if (sv_table_column(ours, mine->column[i]) < 0)
            return sv_fail(err, SV_BAD_FORMAT, "%s:1:%d: the table %s has no column \"%s\"", file, i + 1,
                           ours->name, mine->column[i]);
    }
    for (int i = 0; i < ours->columns; i++) {
        at[i] = sv_table_column(mine, ours->column[i]);
        bool must =
            i < ours->keys || strcmp(ours->type[i], "source") == 0 || strcmp(ours->type[i], "as_of") == 0;
        if (must && at[i] < 0)
            return sv_fail(err, SV_BAD_FORMAT, "%s:1:1: the column \"%s\" is missing", file, ours->column[i]);
    }
    return SV_OK;
}

static bool same_key(const sv_table *ours, size_t row, const sv_table *mine, size_t mine_row, const int *at,
                     bool removes)
{
    for (int k = 0; k < ours->keys; k++) {
        const char *other = sv_cell(mine, mine_row, at[k]) + (k == 0 && removes);
        if (strcmp(sv_cell(ours, row, k), other) != 0) return false;
    }
    return true;
}

static size_t find_row(const sv_table *ours, size_t rows, const sv_table *mine, size_t mine_row,
                       const int *at, bool removes)
{
    for (size_t i = 0; i < rows; i++) {
        if (same_key(ours, i, mine, mine_row, at, removes)) return i;
    }
    return SV_NO_ROW;
}

/* The text of both tables in one, the user's behind ours. */
static char *join_texts(sv_arena *arena, const sv_table *ours, const sv_table *mine)
{
    char *text = sv_alloc(arena, ours->bytes + mine->bytes);
    if (!text) return NULL;
    memcpy(text, ours->text, ours->bytes);
    memcpy(text + ours->bytes, mine->text, mine->bytes);
    return text;
}

sv_status sv_table_override(sv_arena *arena, sv_table *ours, const sv_table *mine, const char *file,
                            sv_error *err)
{
    int at[MOST_COLUMNS] = {0};
    sv_status s = match_columns(ours, mine, file, at, err);
    if (s) return s;
    size_t most = ours->rows + mine->rows, columns = (size_t)ours->columns;
    uint32_t *cell = SV_NEW_ARRAY(arena, most * columns, uint32_t);
    uint8_t *users = SV_NEW_ARRAY(arena, most + 1, uint8_t);
    bool *gone = SV_NEW_ARRAY(arena, most + 1, bool);
    char *text = join_texts(arena, ours, mine);
    if (!cell || !users || !gone || !text) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", file);
    memcpy(cell, ours->cell, ours->rows * columns * sizeof *cell);
    const char *mine_text = text + ours->bytes;
    ours->text = text;
    ours->bytes += mine->bytes;
    ours->cell = cell;
    size_t rows = ours->rows;
    for (size_t r = 0; r < mine->rows; r++) {
        bool removes = sv_cell(mine, r, at[0])[0] == '-';
        size_t row = find_row(ours, rows, mine, r, at, removes);
        if (removes) {
            if (row != SV_NO_ROW) gone[row] = true;
            continue;
        }
        if (row == SV_NO_ROW) row = rows++;
        for (int i = 0; i < ours->columns; i++) {
            bool later_key = i > 0 && i < ours->keys;
            const char *value = sv_cell(mine, r, at[i]);
            const char *wrong = later_key ? NULL : sv_cell_wrong(ours->type[i], value);
            if (wrong)
                return sv_fail(err, SV_BAD_FORMAT, "%s: row with key \"%s\", column %s: %s, here: \"%s\"",
                               file, sv_cell(mine, r, at[0]), ours->column[i], wrong, value);
            cell[row * columns + (size_t)i] =
                at[i] < 0 ? 0 : (uint32_t)(value - mine->text + mine_text - text);
        }
        users[row] = 1;
        gone[row] = false;
    }
    size_t kept = 0;
    for (size_t i = 0; i < rows; i++) {
        if (gone[i]) continue;
        memmove(cell + kept * columns, cell + i * columns, columns * sizeof *cell);
        users[kept++] = users[i];
    }
    ours->rows = kept;
    ours->users = users;
    return sort_by_key(arena, ours, err);
}

void sv_table_date(sv_table *t)
{
    int as_of = sv_table_column(t, "as_of"), source = sv_table_column(t, "source");
    t->oldest = t->newest = "";
    t->from_memory = 0;
    for (size_t i = 0; i < t->rows; i++) {
        const char *day = sv_cell(t, i, as_of);
        if (*day && (!*t->oldest || strcmp(day, t->oldest) < 0)) t->oldest = day;
        if (strcmp(day, t->newest) > 0) t->newest = day;
        t->from_memory += strncmp(sv_cell(t, i, source), "memory", 6) == 0;
    }
}
