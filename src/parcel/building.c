/* building.c - puts a parcel together from the values it is given. */
#include "parcel/building.h"

#include <stdlib.h>
#include <string.h>

#include "base/banned.h"
#include "base/utf8.h"

#define LONGEST_REFERENCE 60

bool sv_is_blank(const char *text)
{
    return text[strspn(text, " \t\r\n")] == 0;
}

static const char *line_text(sv_building *b, size_t line)
{
    return sv_format(b->arena, "%zu", line);
}

/* ---- the reference ------------------------------------------------------------------------------ */

static bool plain_in_folder(const char *reference)
{
    static const char plain[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789._-";
    return reference[0] != '.' && reference[strspn(reference, plain)] == 0;
}

static void judge_reference(sv_building *b, size_t line)
{
    const char *reference = b->parcel->reference, *at = line_text(b, line);
    sv_findings *findings = &b->parcel->findings;
    if (!*reference) {
        sv_find(findings, SV_F_REFERENCE_ABSENT, "parcel", SV_ARGS(b->file, at));
    } else if (sv_utf8_length(reference) > LONGEST_REFERENCE) {
        sv_find(findings, SV_F_REFERENCE_LONG, "parcel", SV_ARGS(b->file, at));
    } else if (!plain_in_folder(reference)) {
        const char *folder = sv_reference_folder(b->arena, reference);
        sv_find(findings, SV_F_REFERENCE_CODED, "parcel", SV_ARGS(reference, folder));
    }
}

#define LONGEST_FOLDER 200 /* bytes; file systems take 255 of a name */

/* A reference of sixty characters of another script makes a name that no file system takes: its start is
 * kept, and a digest of the whole tells two of them apart. */
static const char *shortened(sv_arena *arena, const char *folder, const char *reference)
{
    uint64_t digest = UINT64_C(0xcbf29ce484222325); /* FNV-1a */
    for (const char *p = reference; *p; p++)
        digest = (digest ^ (unsigned char)*p) * UINT64_C(0x100000001b3);
    int n = LONGEST_FOLDER - 17;
    while (folder[n - 1] == '%' || folder[n - 2] == '%')
        n--; /* not in the middle of %XX */
    return sv_format(arena, "%.*s-%016llx", n, folder, (unsigned long long)digest);
}

const char *sv_reference_folder(sv_arena *arena, const char *reference)
{
    static const char digits[] = "0123456789ABCDEF";
    size_t n = strlen(reference);
    char *folder = sv_alloc(arena, 3 * n + 1), *out = folder;
    if (!folder) return "";
    for (const char *p = reference; *p; p++) {
        char one[2] = {*p, 0};
        bool stays = *p == '.' ? p > reference : plain_in_folder(one);
        if (stays) {
            *out++ = *p;
            continue;
        }
        *out++ = '%';
        *out++ = digits[(unsigned char)*p >> 4];
        *out++ = digits[(unsigned char)*p & 15];
    }
    *out = 0;
    return out - folder <= LONGEST_FOLDER ? folder : shortened(arena, folder, reference);
}

/* ---- values ------------------------------------------------------------------------------------- */

sv_status sv_building_begin(sv_building *b, sv_arena *arena, const char *reference, size_t line,
                            sv_error *err)
{
    b->arena = arena;
    b->parcel = SV_NEW(arena, sv_parcel);
    b->pieces = 0;
    b->too_many = false;
    memset(b->said, 0, sizeof b->said);
    if (!b->parcel) return sv_fail(err, SV_NO_MEMORY, "%s:%zu: out of memory", b->file, line);
    sv_parcel_clear(b->parcel);
    b->parcel->findings = sv_findings_in(arena);
    b->parcel->reference = sv_trim(arena, reference, strlen(reference));
    b->parcel->row = line;
    judge_reference(b, line);
    return SV_OK;
}

static const char *where(sv_building *b, const sv_field *field, size_t line)
{
    return sv_format(b->arena, "%s, line %zu, %s %s", b->file, line, b->holder, field->name);
}

void sv_building_parcel(sv_building *b, int field, const char *text, size_t line)
{
    if (sv_is_blank(text)) return;
    const sv_field *f = &sv_parcel_fields[field];
    const char *value = sv_trim(b->arena, text, strlen(text));
    if (b->said[field] && strcmp(b->said[field], value) == 0) return;
    if (b->said[field]) {
        const char *lines = sv_format(b->arena, "%s, lines %zu and %zu", b->file, b->said_line[field], line);
        sv_find(&b->parcel->findings, SV_F_VALUES_DIFFER, f->name,
                SV_ARGS(lines, f->name, b->said[field], value));
        return;
    }
    b->said[field] = value;
    b->said_line[field] = line;
    sv_field_read(f, b->parcel, value, where(b, f, line), f->name, &b->parcel->findings);
}

static bool make_room(sv_building *b)
{
    if (b->pieces < b->room) return true;
    size_t wanted = b->room ? b->room * 2 : 8;
    sv_piece *more = realloc(b->piece, wanted * sizeof *more);
    if (!more) return false;
    b->piece = more;
    b->room = wanted;
    return true;
}

sv_piece *sv_building_piece(sv_building *b, size_t line)
{
    if (b->pieces == SV_MOST_PIECES && !b->too_many) {
        b->too_many = true;
        sv_find(&b->parcel->findings, SV_F_PIECES_MANY, "piece", SV_ARGS(b->file, line_text(b, line)));
    }
    if (b->too_many || !make_room(b)) return NULL;
    sv_piece *piece = &b->piece[b->pieces++];
    sv_piece_clear(piece);
    piece->row = line;
    return piece;
}

void sv_building_piece_value(sv_building *b, sv_piece *piece, int field, const char *text, size_t line)
{
    if (!piece || sv_is_blank(text)) return;
    const sv_field *f = &sv_piece_fields[field];
    const char *value = sv_trim(b->arena, text, strlen(text));
    const char *place = sv_format(b->arena, "piece[%zu].%s", (size_t)(piece - b->piece) + 1, f->name);
    sv_field_read(f, piece, value, where(b, f, line), place, &b->parcel->findings);
}

/* An address stated both whole and in parts: which one holds? */
static void judge_address(sv_building *b)
{
    const sv_address *a = &b->parcel->addressee;
    bool parts = *a->recipient || *a->street_lines || *a->city || *a->postcode;
    if (*b->parcel->block && parts)
        sv_find(&b->parcel->findings, SV_F_ADDRESS_TWICE, "block",
                SV_ARGS(b->file, line_text(b, b->parcel->row)));
}

sv_status sv_building_end(sv_building *b, const sv_parcel **out, sv_error *err)
{
    judge_address(b);
    sv_piece *pieces = SV_NEW_ARRAY(b->arena, b->pieces ? b->pieces : 1, sv_piece);
    if (!pieces || sv_arena_failed(b->arena)) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", b->file);
    if (b->pieces) memcpy(pieces, b->piece, b->pieces * sizeof *pieces);
    b->parcel->piece = pieces;
    b->parcel->pieces = b->pieces;
    *out = b->parcel;
    return SV_OK;
}

void sv_building_free(sv_building *b)
{
    free(b->piece);
    b->piece = NULL;
}
