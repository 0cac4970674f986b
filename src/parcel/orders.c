/* orders.c - the orders table, CSV or TSV: one row a piece, the rows of a parcel one below the other. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "base/banned.h"
#include "base/rows.h"
#include "parcel/read.h"

/* What a column is to us: a field of the parcel or of the piece by its index, or one of these. */
enum { UNKNOWN_COLUMN = -1, REFERENCE_COLUMN = -2 };
#define PIECE_COLUMN 1000 /* added to the index of a piece's field */

struct sv_orders {
    sv_rows *rows;
    sv_arena *row_memory; /* of the row in hand */
    int *column;
    size_t columns, reference_column;
    const char *const *cell; /* the row in hand, NULL at the end */
    size_t line;
    bool begun;
    sv_building building;
};

/* ---- the first line ----------------------------------------------------------------------------- */

static const char *plain_name(sv_arena *arena, const char *name)
{
    const char *trimmed = sv_trim(arena, name, strlen(name));
    char *copy = sv_alloc(arena, strlen(trimmed) + 1);
    if (!copy) return "";
    for (size_t i = 0; trimmed[i]; i++)
        copy[i] = trimmed[i] >= 'A' && trimmed[i] <= 'Z' ? (char)(trimmed[i] + 32) : trimmed[i];
    return copy;
}

static int meaning_of(const char *name)
{
    if (strcmp(name, "parcel") == 0) return REFERENCE_COLUMN;
    int field = sv_parcel_field(name);
    if (field >= 0) return field;
    field = sv_piece_field(name);
    return field >= 0 ? PIECE_COLUMN + field : UNKNOWN_COLUMN;
}

static bool has(const sv_orders *o, const char *name)
{
    for (size_t i = 0; i < o->columns; i++) {
        if (o->column[i] == meaning_of(name)) return true;
    }
    return false;
}

/* A table cannot be read without these; any other column may be missing, and is then an unknown fact. */
static sv_status judge_columns(const sv_orders *o, sv_error *err)
{
    const char *file = sv_rows_name(o->rows), *missing = NULL;
    if (!has(o, "parcel")) {
        missing = "parcel";
    } else if (!has(o, "block") && !has(o, "country")) {
        missing = "block (or country, with the parts of the address)";
    } else if (!has(o, "text") && !has(o, "garment")) {
        missing = "text (or garment)";
    }
    if (!missing) return SV_OK;
    bool semicolons = o->columns == 1 && strchr(sv_rows_column(o->rows, 0), ';');
    return sv_fail(err, SV_BAD_FORMAT, "%s:1: the column %s is missing%s", file, missing,
                   semicolons ? "; the cells stand apart by semicolons: save the table with commas or tabs"
                              : "; docs/orders-table.md lists the columns");
}

static sv_status read_columns(sv_orders *o, sv_error *err)
{
    o->columns = sv_rows_columns(o->rows);
    o->column = calloc(o->columns + 1, sizeof *o->column);
    if (!o->column) return sv_fail(err, SV_NO_MEMORY, "out of memory");
    for (size_t i = 0; i < o->columns; i++) {
        const char *name = plain_name(o->row_memory, sv_rows_column(o->rows, i));
        o->column[i] = meaning_of(name);
        if (o->column[i] == REFERENCE_COLUMN) o->reference_column = i;
        for (size_t k = 0; o->column[i] != UNKNOWN_COLUMN && k < i; k++) {
            if (o->column[k] == o->column[i])
                return sv_fail(err, SV_BAD_FORMAT, "%s:1:%zu: the column %s stands twice",
                               sv_rows_name(o->rows), i + 1, name);
        }
    }
    return judge_columns(o, err);
}

/* ---- columns that are not ours ------------------------------------------------------------------ */

/* One letter too many, too few, other, or two neighbours swapped? */
static bool nearly(const char *a, const char *b)
{
    while (*a && *a == *b) {
        a++;
        b++;
    }
    if (!*a && !*b) return false;
    bool swapped = a[0] && a[1] && b[0] && b[1] && a[0] == b[1] && a[1] == b[0] && strcmp(a + 2, b + 2) == 0;
    bool other = *a && *b && strcmp(a + 1, b + 1) == 0;
    bool more = *a && strcmp(a + 1, b) == 0;
    bool fewer = *b && strcmp(a, b + 1) == 0;
    return swapped || other || more || fewer;
}

static const char *meant(const char *name)
{
    if (nearly(name, "parcel")) return "parcel";
    for (size_t i = 0; i < SV_PARCEL_FIELDS; i++) {
        if (nearly(name, sv_parcel_fields[i].name)) return sv_parcel_fields[i].name;
    }
    for (size_t i = 0; i < SV_PIECE_FIELDS; i++) {
        if (nearly(name, sv_piece_fields[i].name)) return sv_piece_fields[i].name;
    }
    return NULL;
}

/* Said once, on the first parcel. */
static void tell_unknown_columns(sv_orders *o)
{
    sv_building *b = &o->building;
    for (size_t i = 0; i < o->columns; i++) {
        if (o->column[i] != UNKNOWN_COLUMN) continue;
        const char *name = plain_name(b->arena, sv_rows_column(o->rows, i)), *ours = meant(name);
        if (ours && !has(o, ours)) {
            sv_find(&b->parcel->findings, SV_F_COLUMN_MISSPELT, "", SV_ARGS(b->file, name, ours));
        } else if (*name) {
            sv_find(&b->parcel->findings, SV_F_COLUMN_UNKNOWN, "", SV_ARGS(b->file, name));
        }
    }
}

/* ---- rows to parcels ---------------------------------------------------------------------------- */

static sv_status read_row(sv_orders *o, sv_error *err)
{
    sv_arena_reset(o->row_memory);
    return sv_rows_next(o->rows, o->row_memory, &o->cell, &o->line, err);
}

static const char *reference_of(const sv_orders *o)
{
    const char *cell = o->cell[o->reference_column];
    return sv_trim(o->row_memory, cell, strlen(cell));
}

static void take_row(sv_orders *o)
{
    sv_piece *piece = NULL;
    for (size_t i = 0; i < o->columns; i++) {
        int what = o->column[i];
        if (what < 0 || sv_is_blank(o->cell[i])) continue;
        if (what < PIECE_COLUMN) {
            sv_building_parcel(&o->building, what, o->cell[i], o->line);
            continue;
        }
        if (!piece) piece = sv_building_piece(&o->building, o->line);
        sv_building_piece_value(&o->building, piece, what - PIECE_COLUMN, o->cell[i], o->line);
    }
}

sv_status sv_orders_next(sv_orders *o, sv_arena *arena, const sv_parcel **out, sv_error *err)
{
    *out = NULL;
    if (!o->cell) return SV_OK;
    sv_building *b = &o->building;
    sv_status s = sv_building_begin(b, arena, reference_of(o), o->line, err);
    if (s) return s;
    if (!o->begun) tell_unknown_columns(o);
    o->begun = true;
    do {
        take_row(o);
        s = read_row(o, err);
        if (s) return s;
    } while (o->cell && strcmp(reference_of(o), b->parcel->reference) == 0);
    return sv_building_end(b, out, err);
}

/* ---- opening ------------------------------------------------------------------------------------ */

/* Reads all rows once, so that a stray quote on line 9,000 is known before anything is written. */
static sv_status look_through(const char *path, int format, sv_arena *memory, sv_error *err)
{
    struct stat st;
    if (stat(path, &st) != 0 || !S_ISREG(st.st_mode)) return SV_OK;
    sv_rows *rows;
    sv_status s = sv_rows_open(path, format, &rows, err);
    if (s) return s;
    const char *const *cell;
    size_t line;
    do {
        sv_arena_reset(memory);
        s = sv_rows_next(rows, memory, &cell, &line, err);
    } while (!s && cell);
    sv_rows_close(rows);
    return s;
}

sv_status sv_orders_open(const char *path, int format, sv_orders **out, sv_error *err)
{
    *out = NULL;
    sv_orders *o = calloc(1, sizeof *o);
    if (!o) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", path);
    o->row_memory = sv_arena_new();
    sv_status s = o->row_memory ? SV_OK : sv_fail(err, SV_NO_MEMORY, "%s: out of memory", path);
    if (!s) s = sv_rows_open(path, format, &o->rows, err);
    if (!s) s = read_columns(o, err);
    if (!s && strcmp(path, "-") != 0) s = look_through(path, format, o->row_memory, err);
    if (!s) {
        o->building.file = sv_rows_name(o->rows);
        o->building.holder = "column";
        s = read_row(o, err);
    }
    if (s) {
        sv_orders_close(o);
        return s;
    }
    *out = o;
    return SV_OK;
}

void sv_orders_close(sv_orders *o)
{
    if (!o) return;
    sv_building_free(&o->building);
    sv_rows_close(o->rows);
    sv_arena_free(o->row_memory);
    free(o->column);
    free(o);
}
