/* checks.c - what there is to say about an address: missing parts, postcode and region, territory, delivery.
 */
#include <string.h>

#include "address/lay_out.h"
#include "base/utf8.h"

static bool filled(const char *text)
{
    return text && text[strspn(text, " \t\r\n")];
}

static sv_finding *say(const sv_job *j, sv_code code, const char *place, const char *const args[])
{
    return sv_find(j->findings, code, place, args);
}

static void say_by_format(const sv_job *j, sv_finding *f)
{
    sv_finding_source(f, j->place->format_source, j->place->format_as_of);
}

/* ---- parts ---- */

static void check_country(const sv_job *j)
{
    const char *given = sv_text_of(j->given->country);
    size_t n = strcspn(given, " ");
    if (n > 3) say(j, SV_F_COUNTRY_BY_NAME, "country", SV_ARGS(given, j->written->place.code));
    if (!*j->place->format_source) say(j, SV_F_FORMAT_GENERAL, "country", SV_ARGS(j->place->place.common_en));
}

static bool is_name_letter(unsigned char c)
{
    return c >= 0x80 || (c >= 'A' && c <= 'Z');
}

/* One word with digits, underscores or an at sign in it, or all in small letters, is how people are called on
 * marketplaces, not in the street. */
static bool like_user_name(const char *name)
{
    size_t letters = 0, odd = 0, capitals = 0;
    name += strspn(name, " ");
    for (; *name; name++) {
        unsigned char c = (unsigned char)*name;
        if (c == ' ' && name[strspn(name, " ")]) return false;
        if (c == '_' || c == '@' || (c >= '0' && c <= '9'))
            odd++;
        else if (is_name_letter(c))
            capitals++;
        letters += (c >= 'a' && c <= 'z') || is_name_letter(c);
    }
    return odd > 0 || (letters > 2 && capitals == 0);
}

static void check_recipient(const sv_job *j)
{
    const char *name = sv_text_of(j->given->recipient);
    if (!filled(name)) {
        if (!filled(j->given->organisation)) say(j, SV_F_RECIPIENT_MISSING, "recipient", SV_NO_ARGS);
        return;
    }
    if (like_user_name(name)) say(j, SV_F_RECIPIENT_USER_NAME, "recipient", SV_ARGS(name));
}

static void check_required(const sv_job *j)
{
    const sv_address *g = j->given;
    const sv_atlas_place *p = j->place;
    const char *country = p->place.common_en;
    if (p->required & SV_PART_STREET && !filled(g->street_lines))
        say(j, SV_F_STREET_MISSING, "street_lines", SV_NO_ARGS);
    if (p->required & SV_PART_TOWN && !*p->town && !filled(g->city) && !filled(g->region))
        say_by_format(j, say(j, SV_F_TOWN_MISSING, "city", SV_ARGS(country)));
    if (p->required & SV_PART_CODE && !j->code_given)
        say_by_format(j, say(j, SV_F_POSTCODE_MISSING, "postcode", SV_ARGS(country, p->example)));
    if (!(p->required & SV_PART_REGION) || filled(g->region)) return;
    const char *city = sv_text_of(g->city); /* a town that is itself a region: Moskva, Beijing, Seoul */
    if (sv_region_find(p, city, strlen(city))) return;
    const sv_region *r = j->code.fit ? sv_region_by_postcode(p, j->code.text) : NULL;
    const char *hint = r ? sv_format(j->arena, "; by its postcode it is %s", r->name) : "";
    say_by_format(j, say(j, SV_F_REGION_MISSING, "region", SV_ARGS(country, hint)));
}

/* ---- postcode, region, territory ---- */

static void say_by_postcode(const sv_job *j, sv_finding *f)
{
    sv_finding_source(f, j->place->postcode_source, j->place->postcode_as_of);
}

/* The text with a zero or two before it, or with letters and digits that look alike exchanged: the first that
 * is a postcode, "" when none is. A suggestion only; nothing is printed of it. */
static const char *likely_postcode(const sv_job *j, const char *given)
{
    static const char *const zeros[] = {"0", "00"};
    static const char *const alike[][2] = {{"OoIl", "0011"}, {"01", "OI"}};
    sv_postcode code;
    for (size_t i = 0; i < 2 && strlen(given) < 20; i++) {
        const char *longer = sv_format(j->arena, "%s%s", zeros[i], given);
        if (sv_postcode_read(j->place, longer, strlen(longer), &code)) return sv_copy(j->arena, code.text);
    }
    for (size_t i = 0; i < 2 && strlen(given) < 20; i++) {
        char other[24];
        size_t n = 0;
        for (const char *p = given; *p; p++) {
            const char *at = strchr(alike[i][0], *p);
            other[n++] = at ? alike[i][1][at - alike[i][0]] : *p;
        }
        if (sv_postcode_read(j->place, other, n, &code)) return sv_copy(j->arena, code.text);
    }
    return "";
}

static void say_misfit(const sv_job *j, const char *given, const char *country)
{
    const char *likely = likely_postcode(j, given);
    sv_code code = *likely ? SV_F_POSTCODE_MISTYPED : SV_F_POSTCODE_FORM;
    say_by_postcode(j,
                    say(j, code, "postcode", SV_ARGS(given, country, *likely ? likely : j->place->example)));
}

static void check_unfit_postcode(const sv_job *j, const char *given)
{
    const char *country = j->place->place.common_en;
    if (j->code_placeholder)
        say(j, SV_F_POSTCODE_PLACEHOLDER, "postcode", SV_ARGS(given, country));
    else if (!j->place->forms)
        say_by_format(j, say(j, SV_F_POSTCODE_NONE, "postcode", SV_ARGS(country, given)));
    else
        say_misfit(j, given, country);
}

/* The prefix that is printed anyway needs no word. */
static bool only_printed_prefix(const sv_job *j, const char *given)
{
    size_t n = strlen(j->place->prefix);
    return n && strncmp(given, j->place->prefix, n) == 0 && strcmp(given + n, j->code.text) == 0;
}

static void check_postcode(const sv_job *j)
{
    const char *given = sv_text_of(j->given->postcode);
    if (!j->code_given) return;
    if (j->code.fit == SV_POST_NONE) {
        check_unfit_postcode(j, given);
        return;
    }
    if (j->code.fit == SV_POST_OLD)
        say_by_postcode(j, say(j, SV_F_POSTCODE_OLD, "postcode",
                               SV_ARGS(j->code.text, j->code.form->note, j->place->example)));
    bool as_printed = j->code.fit == SV_POST_NORMAL || strcmp(given, j->code.text) == 0;
    if (!as_printed && !only_printed_prefix(j, given))
        say(j, SV_F_POSTCODE_NORMAL, "postcode", SV_ARGS(given, j->code.text));
}

static void check_region(const sv_job *j)
{
    const char *given = sv_text_of(j->given->region);
    if (!filled(given)) return;
    if (!j->region) {
        bool wanted = j->place->regions && j->place->region_short && j->place == j->written;
        if (wanted) say(j, SV_F_REGION_UNKNOWN, "region", SV_ARGS(given, j->place->place.common_en));
        return;
    }
    if (!j->code.fit || sv_region_has_postcode(j->region, j->code.text)) return;
    const sv_region *r = sv_region_by_postcode(j->place, j->code.text);
    if (!r) return;
    sv_finding_source(
        say(j, SV_F_POSTCODE_REGION, "postcode", SV_ARGS(j->code.text, r->name, j->region->name)), r->source,
        r->as_of);
}

static void check_territory(const sv_job *j)
{
    const sv_territory *t = j->territory;
    if (!t) return;
    if (j->place != j->written) {
        const sv_place *from = &j->written->place, *to = &j->place->place;
        sv_finding_source(
            say(j, SV_F_PLACE_OF_ITS_OWN, "country", SV_ARGS(from->common_en, to->common_en, to->code)),
            t->source, t->as_of);
    }
    const char *word = sv_territory_row_of(t)->severity;
    if (strcmp(word, "none") == 0 || !*word) return;
    sv_finding *f = say(j, SV_F_TERRITORY_RULES, "country", SV_ARGS(t->name, t->note));
    sv_finding_source(f, t->source, t->as_of);
    sv_severity severity = strcmp(word, "stop") == 0      ? SV_STOP
                           : strcmp(word, "caution") == 0 ? SV_CAUTION
                                                          : SV_NOTE;
    sv_finding_severity(j->findings, f, severity);
    if (f && severity == SV_STOP) f->blocks = SV_BLOCKS_EVERYTHING;
}

/* ---- delivery ---- */

/* The box words of the tables, at the beginning of a line. */
static bool opens_with_box(const sv_table *t, const char *key, size_t n)
{
    for (size_t i = 0; i < t->rows; i++) {
        char word[64];
        const char *cell = sv_cell(t, i, 0);
        size_t m = sv_alias_key(word, sizeof word, cell, strlen(cell));
        if (m == SIZE_MAX || m > n || memcmp(key, word, m) != 0) continue;
        if (m == n || key[m] == ' ' || (key[m] >= '0' && key[m] <= '9')) return true;
    }
    return false;
}

static bool to_the_door(const char *service)
{
    return strcmp(service, "ems") == 0 || strstr(service, "courier") || strstr(service, "express");
}

static void check_box(const sv_job *j)
{
    const sv_table *t = to_the_door(j->service) ? sv_world_table(j->world, "atlas/boxes") : NULL;
    for (const char *line = t ? sv_text_of(j->given->street_lines) : ""; *line;) {
        char key[160];
        size_t n = strcspn(line, "\n"), k = sv_alias_key(key, sizeof key, line, n);
        if (k != SIZE_MAX && opens_with_box(t, key, k)) {
            say(j, SV_F_BOX_SERVICE, "street_lines", SV_ARGS(sv_copy_n(j->arena, line, n), j->service));
            return;
        }
        line += n + (line[n] == '\n');
    }
}

/* NULL: nobody asked for it; "": it was asked for and is not there. */
static void check_contact(const sv_job *j)
{
    const sv_address *g = j->given;
    const char *country = j->place->place.common_en;
    if (g->phone && !filled(g->phone) && strstr(j->place->expects, "phone"))
        say(j, SV_F_PHONE_MISSING, "phone", SV_ARGS(country));
    if (g->email && !filled(g->email) && strstr(j->place->expects, "email"))
        say(j, SV_F_EMAIL_MISSING, "email", SV_ARGS(country));
}

/* ---- lines ---- */

#define LONGEST_LINE 40
#define BEST_LINE    35
#define MOST_LINES   7

static size_t letters_in(const char *text, size_t n)
{
    size_t letters = 0;
    for (size_t i = 0; i < n; i++)
        letters += ((unsigned char)text[i] & 0xC0) != 0x80;
    return letters;
}

/* Where a line is best divided: behind the last comma that leaves at most 35 letters before it, else at the
 * last blank; 0 for nowhere. */
static size_t place_to_divide(const char *line, size_t n)
{
    size_t comma = 0, blank = 0, letters = 0;
    for (size_t i = 0; i < n && letters < BEST_LINE; i++) {
        letters += ((unsigned char)line[i] & 0xC0) != 0x80;
        if (line[i] == ' ') blank = i;
        if (line[i] == ' ' && i && (line[i - 1] == ',' || line[i - 1] == ';')) comma = i;
    }
    return comma > n / 4 ? comma : blank;
}

static void check_line(const sv_job *j, const char *line, size_t n)
{
    size_t letters = letters_in(line, n), at = letters > LONGEST_LINE ? place_to_divide(line, n) : 0;
    if (letters <= LONGEST_LINE) return;
    size_t first = at && (line[at - 1] == ',') ? at - 1 : at;
    const char *head = at ? sv_copy_n(j->arena, line, first) : sv_copy_n(j->arena, line, n);
    const char *tail = at ? sv_copy_n(j->arena, line + at + 1, n - at - 1) : "";
    say(j, SV_F_LINE_LONG, "block",
        SV_ARGS(sv_copy_n(j->arena, line, n), sv_format(j->arena, "%zu", letters), head, tail));
}

static void check_lines(const sv_job *j)
{
    size_t lines = 0;
    for (const char *line = j->out->block; *line; lines++) {
        const char *end = strchr(line, '\n');
        size_t n = end ? (size_t)(end - line) : strlen(line);
        if (n > LONGEST_LINE) check_line(j, line, n);
        line += n + (end != NULL);
    }
    if (lines > MOST_LINES) say(j, SV_F_LINES_MANY, "block", SV_ARGS(sv_format(j->arena, "%zu", lines)));
}

void sv_check_address(const sv_job *j)
{
    if (j->dropped) say(j, SV_F_TEXT_CLEANED, "", SV_NO_ARGS);
    check_country(j);
    check_recipient(j);
    check_required(j);
    check_postcode(j);
    check_region(j);
    check_territory(j);
    check_box(j);
    check_contact(j);
    check_lines(j);
}
