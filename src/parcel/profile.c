/* profile.c - the sender's profile: NAME.tsv in the profile folder, lines of field, tab, value. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/banned.h"
#include "base/files.h"
#include "base/rows.h"
#include "parcel/read.h"

#define LARGEST_PROFILE ((size_t)64 << 10)

/* What a line may state. `words`: apart by blanks, "" for any text. */
static const struct profile_field {
    const char *name;
    size_t offset;
    const char *words;
} fields[] = {
    {"name", offsetof(sv_profile, address.recipient), ""},
    {"organisation", offsetof(sv_profile, address.organisation), ""},
    {"street_lines", offsetof(sv_profile, address.street_lines), ""},
    {"dependent_locality", offsetof(sv_profile, address.dependent_locality), ""},
    {"city", offsetof(sv_profile, address.city), ""},
    {"region", offsetof(sv_profile, address.region), ""},
    {"postcode", offsetof(sv_profile, address.postcode), ""},
    {"country", offsetof(sv_profile, address.country), ""},
    {"phone", offsetof(sv_profile, address.phone), ""},
    {"email", offsetof(sv_profile, address.email), ""},
    {"status", offsetof(sv_profile, status), "private trader"},
    {"vat_registered", offsetof(sv_profile, vat_registered), "yes no"},
    {"margin_scheme", offsetof(sv_profile, margin_scheme), "yes no"},
    {"eori", offsetof(sv_profile, eori), ""},
    {"schemes", offsetof(sv_profile, schemes), ""},
    {"currency", offsetof(sv_profile, currency), ""},
    {"signature", offsetof(sv_profile, signature), ""},
    {"operator", offsetof(sv_profile, operator_name), ""},
};
#define FIELDS (sizeof fields / sizeof *fields)

static void set(sv_profile *p, const struct profile_field *f, const char *text)
{
    memcpy((char *)p + f->offset, &text, sizeof text);
}

void sv_profile_clear(sv_profile *p)
{
    *p = (sv_profile){.name = "", .address = {.unplaced = ""}};
    for (size_t i = 0; i < FIELDS; i++)
        set(p, &fields[i], "");
}

/* A name that stays inside the folder. */
static bool name_fits(const char *name)
{
    return *name && *name != '.' && strlen(name) <= 100 && !strpbrk(name, "/\\") &&
           strcspn(name, "\n\r\t") == strlen(name);
}

static const char *word_of(sv_arena *arena, const char *words, const char *text)
{
    for (const char *w = words; *w;) {
        size_t n = strcspn(w, " ");
        if (strlen(text) == n && strncasecmp(w, text, n) == 0) return sv_copy_n(arena, w, n);
        w += n + (w[n] == ' ');
    }
    return NULL;
}

static void read_line(sv_profile *p, const char *name, const char *value, const char *where,
                      sv_findings *findings)
{
    for (size_t i = 0; i < FIELDS; i++) {
        if (strcasecmp(fields[i].name, name) != 0) continue;
        bool any = !*fields[i].words || !*value;
        const char *word = any ? value : word_of(findings->arena, fields[i].words, value);
        if (word) {
            set(p, &fields[i], word);
        } else {
            sv_find(findings, SV_F_WORD_UNKNOWN, "sender", SV_ARGS(where, value, fields[i].words));
        }
        return;
    }
    sv_find(findings, SV_F_PROFILE_FIELD, "sender", SV_ARGS(where, name));
}

/* `cell` holds the field and its value. */
static void read_cells(sv_profile *p, const char *const *cell, const char *file, size_t line,
                       sv_findings *findings)
{
    sv_arena *arena = findings->arena;
    if (cell[0][0] == '#') return;
    const char *where = sv_format(arena, "%s, line %zu", file, line);
    read_line(p, sv_trim(arena, cell[0], strlen(cell[0])), sv_trim(arena, cell[1], strlen(cell[1])), where,
              findings);
}

static sv_status read_text(sv_profile *p, const char *file, const char *text, sv_findings *findings,
                           sv_error *err)
{
    sv_rows *rows;
    /* The first line is a line like the others; two names above it make two columns of each. */
    const char *headed = sv_format(findings->arena, "field\tvalue\n%s", text);
    sv_status s = sv_rows_over(file, headed, strlen(headed), 't', &rows, err);
    if (s) return s;
    const char *const *cell;
    size_t line;
    while (!(s = sv_rows_next(rows, findings->arena, &cell, &line, err)) && cell)
        read_cells(p, cell, file, line - 1, findings);
    sv_rows_close(rows);
    return s;
}

sv_status sv_profile_read(const char *folder, const char *name, const char *text, sv_profile *out,
                          sv_findings *findings, sv_error *err)
{
    sv_profile_clear(out);
    out->name = sv_copy(findings->arena, name);
    const char *file = sv_format(findings->arena, "%s/%s.tsv", folder, name);
    const char *start = strncmp(text, "\xEF\xBB\xBF", 3) == 0 ? text + 3 : text;
    return read_text(out, file, start, findings, err);
}

/* ---- the files, kept ---------------------------------------------------------------------------- */

#define KEPT 16

struct sv_profiles {
    const char *folder;
    struct {
        char *name, *text;
    } kept[KEPT];
};

sv_profiles *sv_profiles_new(const char *folder)
{
    sv_profiles *p = calloc(1, sizeof *p);
    if (p) p->folder = folder;
    return p;
}

void sv_profiles_free(sv_profiles *p)
{
    for (size_t i = 0; p && i < KEPT; i++) {
        free(p->kept[i].name);
        free(p->kept[i].text);
    }
    free(p);
}

/* The text of a profile's file, kept for the next parcel; NULL with a finding when it cannot be had. */
static const char *text_of(sv_profiles *p, const char *name, sv_findings *findings)
{
    size_t slot = 0;
    for (const char *c = name; *c; c++)
        slot = (slot * 31 + (unsigned char)*c) % KEPT;
    char **kept_name = &p->kept[slot].name, **kept = &p->kept[slot].text;
    if (*kept_name && strcmp(*kept_name, name) == 0) return *kept;
    const char *path = sv_format(findings->arena, "%s/%s.tsv", p->folder, name), *text;
    size_t bytes;
    sv_error refused = {0};
    if (sv_file_read(findings->arena, path, LARGEST_PROFILE, &text, &bytes, &refused)) {
        sv_find(findings, SV_F_PROFILE_MISSING, "sender", SV_ARGS(name, refused.text));
        return NULL;
    }
    free(*kept_name);
    free(*kept);
    *kept_name = strdup(name);
    *kept = strdup(text);
    return *kept_name && *kept ? *kept : text;
}

sv_status sv_profiles_find(sv_profiles *p, const char *name, sv_profile *out, sv_findings *findings,
                           sv_error *err)
{
    sv_profile_clear(out);
    if (!*name) return SV_OK;
    if (!p->folder) {
        sv_find(findings, SV_F_PROFILE_FOLDER, "sender", SV_ARGS(name));
        return SV_OK;
    }
    if (!name_fits(name)) {
        sv_find(findings, SV_F_PROFILE_NAME, "sender", SV_ARGS(name));
        return SV_OK;
    }
    const char *text = text_of(p, name, findings);
    if (!text) return SV_OK;
    sv_error bad = {0};
    sv_status s = sv_profile_read(p->folder, name, text, out, findings, &bad);
    if (s == SV_BAD_FORMAT || s == SV_LIMIT) {
        sv_find(findings, SV_F_PROFILE_MISSING, "sender", SV_ARGS(name, bad.text));
        return SV_OK;
    }
    return s ? sv_fail(err, s, "%s", bad.text) : SV_OK;
}
