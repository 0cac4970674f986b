/* read.c - opens what comes in, in whichever form, and gives one parcel after the other. */
#include "parcel/read.h"
#include "text/text.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>

#include "base/banned.h"

struct sv_parcels {
    char *name;
    sv_orders *orders; /* one of these two */
    sv_parcel_xml *xml;
    sv_profiles *profiles;
    sv_references *references; /* of the run, or our own */
    bool own_references;
};

/* Markup begins with `<`, after a byte order mark or blanks; no column of the orders table does. A bare `<`
 * in UTF-16 counts too, so that the reader of XML can say what is wrong. */
static bool is_markup(const char *head, size_t n)
{
    const char *p = strncmp(head, "\xEF\xBB\xBF", 3) == 0 ? head + 3 : head;
    bool utf16 = memchr(head, 0, n) && memchr(head, '<', n);
    return utf16 || p[strspn(p, " \t\r\n")] == '<';
}

static bool named_xml(const char *path)
{
    size_t n = strlen(path);
    return n > 4 && strcasecmp(path + n - 4, ".xml") == 0;
}

/* Standard input gives its first character back; a pipe with a name could not, so its name must tell. */
static bool looks_like_xml(const char *path)
{
    struct stat st;
    if (strcmp(path, "-") == 0) {
        int c = getc(stdin);
        if (c != EOF) ungetc(c, stdin);
        return c == '<';
    }
    if (stat(path, &st) != 0 || !S_ISREG(st.st_mode)) return named_xml(path);
    FILE *f = fopen(path, "re");
    if (!f) return false;
    char head[64] = "";
    size_t n = fread(head, 1, sizeof head - 1, f);
    fclose(f);
    return is_markup(head, n);
}

static sv_status open_form(sv_parcels *p, const char *path, int format, sv_error *err)
{
    bool xml = format == 'x' || (format == 0 && looks_like_xml(path));
    return xml ? sv_parcel_xml_open(path, &p->xml, err) : sv_orders_open(path, format, &p->orders, err);
}

static sv_status open_all(sv_parcels *p, const char *path, const sv_reading *how, sv_error *err)
{
    const char *file = strcmp(path, "-") == 0 ? "standard input" : path;
    p->own_references = !how->references;
    p->references = how->references ? how->references : sv_references_new();
    p->name = strdup(file);
    p->profiles = sv_profiles_new(how->profiles);
    bool memory = p->references && p->name && p->profiles && sv_references_file(p->references, file);
    if (!memory) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", file);
    return open_form(p, path, how->format, err);
}

sv_status sv_parcels_open(const sv_world *world, const char *path, const sv_reading *how, sv_parcels **out,
                          sv_error *err)
{
    static const sv_reading plain = {0};
    (void)world;
    *out = NULL;
    sv_parcels *p = calloc(1, sizeof *p);
    if (!p) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", path);
    sv_status s = open_all(p, path, how ? how : &plain, err);
    if (s) {
        sv_parcels_close(p);
        return s;
    }
    *out = p;
    return SV_OK;
}

/* A second parcel of the same name would be written over the first one's papers. */
static sv_status judge_again(sv_parcels *p, sv_parcel *parcel, sv_error *err)
{
    const char *file;
    size_t line = 0;
    if (!*parcel->reference) return SV_OK;
    if (!sv_references_add(p->references, parcel->reference, parcel->row, &file, &line))
        return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", p->name);
    if (!file) return SV_OK;
    sv_arena *arena = parcel->findings.arena;
    const char *here = sv_format(arena, "%s, line %zu", p->name, parcel->row);
    const char *there = sv_format(arena, "%s, line %zu", file, line);
    sv_find(&parcel->findings, SV_F_REFERENCE_TWICE, "parcel", SV_ARGS(parcel->reference, there, here));
    return SV_OK;
}

/* Customs may value together what goes to one buyer on one day: an earlier parcel of this run to the same
 * addressee is noticed by the words of the address, folded. */
static sv_status judge_same_buyer(sv_parcels *p, sv_parcel *parcel, sv_error *err)
{
    const sv_address *a = &parcel->addressee;
    sv_arena *arena = parcel->findings.arena;
    const char *words =
        sv_format(arena, "%s %s %s %s %s", parcel->block, sv_or_empty(a->recipient),
                  sv_or_empty(a->street_lines), sv_or_empty(a->postcode), sv_or_empty(a->country));
    const char *buyer = sv_fold(arena, words, strlen(words));
    if (!*buyer) return SV_OK;
    const char *file;
    size_t line = 0;
    /* The line feed keeps these keys apart from references, which hold none. */
    if (!sv_references_add(p->references, sv_format(arena, "buyer\n%s\n%s", parcel->date, buyer), parcel->row,
                           &file, &line))
        return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", p->name);
    parcel->another_that_day = file != NULL;
    return SV_OK;
}

sv_status sv_parcels_next(sv_parcels *p, sv_arena *arena, const sv_parcel **out, sv_error *err)
{
    sv_status s =
        p->xml ? sv_parcel_xml_next(p->xml, arena, out, err) : sv_orders_next(p->orders, arena, out, err);
    if (s || !*out) return s;
    sv_parcel *parcel = SV_NEW(arena, sv_parcel);
    if (!parcel) return sv_fail(err, SV_NO_MEMORY, "%s: out of memory", p->name);
    *parcel = **out;
    s = judge_again(p, parcel, err);
    if (!s) s = judge_same_buyer(p, parcel, err);
    if (!s) s = sv_profiles_find(p->profiles, parcel->sender, &parcel->profile, &parcel->findings, err);
    *out = parcel;
    if (!s && sv_arena_failed(arena)) s = sv_fail(err, SV_NO_MEMORY, "%s: out of memory", p->name);
    return s;
}

void sv_parcels_close(sv_parcels *p)
{
    if (!p) return;
    sv_orders_close(p->orders);
    sv_parcel_xml_close(p->xml);
    sv_profiles_free(p->profiles);
    if (p->own_references) sv_references_free(p->references);
    free(p->name);
    free(p);
}
