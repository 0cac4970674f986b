/* ubl_values.c - is each value what its data type says, with its attributes, and are its codes in their
 * lists? */
#include "papers/ubl_judge.h"

#include <string.h>
#include <strings.h>

#include "base/banned.h"
#include "base/cells.h"
#include "selvedge/atlas.h"

/* ---- forms -------------------------------------------------------------------------------------- */

/* xsd:decimal: digits and at most one point, without exponent. */
static bool is_decimal(const char *t)
{
    if (*t == '+' || *t == '-') t++;
    size_t before = strspn(t, "0123456789");
    t += before;
    if (!*t) return before > 0;
    if (*t != '.') return false;
    size_t after = strspn(t + 1, "0123456789");
    return before + after > 0 && !t[1 + after];
}

static bool digits(const char *t, const char *pattern)
{
    for (; *pattern; pattern++, t++) {
        bool fits = *pattern == '9' ? *t >= '0' && *t <= '9' : *t == *pattern;
        if (!fits) return false;
    }
    return true;
}

/* Nothing, Z, or +hh:mm. */
static bool is_zone(const char *t)
{
    if (!*t || strcmp(t, "Z") == 0) return true;
    return (*t == '+' || *t == '-') && digits(t + 1, "99:99") && !t[6];
}

static bool is_xml_date(const char *t)
{
    char day[11];
    if (strlen(t) < 10) return false;
    memcpy(day, t, 10);
    day[10] = 0;
    return sv_is_date(day) && is_zone(t + 10);
}

static bool is_xml_time(const char *t)
{
    if (!digits(t, "99:99:99")) return false;
    bool day = t[0] < '2' || (t[0] == '2' && t[1] < '4');
    if (!day || t[3] > '5' || t[6] > '5') return false;
    t += 8;
    if (*t == '.') t += 1 + strspn(t + 1, "0123456789");
    return is_zone(t);
}

static bool is_flag(const char *t)
{
    return strcmp(t, "true") == 0 || strcmp(t, "false") == 0 || strcmp(t, "1") == 0 || strcmp(t, "0") == 0;
}

static bool fits_form(const char *form, const char *text)
{
    switch (*form) {
    case 'f': return is_flag(text);
    case 't': return strcmp(form, "text") == 0 || is_xml_time(text);
    default: return strcmp(form, "date") == 0 ? is_xml_date(text) : is_decimal(text);
    }
}

/* ---- codes -------------------------------------------------------------------------------------- */

static bool among(const char *words, const char *word)
{
    size_t n = strlen(word);
    for (const char *w = words; *w;) {
        size_t length = strcspn(w, " ");
        if (length == n && memcmp(w, word, n) == 0) return true;
        w += length + (w[length] == ' ');
    }
    return false;
}

bool sv_ubl_in_list(const sv_ubl_judge *j, const char *list, const char *code)
{
    size_t first, n = sv_table_run(j->codes, list, &first);
    int codes = sv_table_column(j->codes, "codes");
    for (size_t i = 0; i < n; i++) {
        if (among(sv_cell(j->codes, j->codes->by_key[first + i], codes), code)) return true;
    }
    return false;
}

/* Two or three letters, further parts behind hyphens (IETF BCP 47). */
static bool is_language(const char *t)
{
    size_t n = 0;
    while ((t[n] >= 'a' && t[n] <= 'z') || (t[n] >= 'A' && t[n] <= 'Z'))
        n++;
    return n >= 2 && n <= 8 && (!t[n] || t[n] == '-');
}

/* Three capitals; the look-up itself is not particular about case. */
static bool is_currency(const sv_ubl_judge *j, const char *code)
{
    return strlen(code) == 3 && code[strspn(code, "ABCDEFGHIJKLMNOPQRSTUVWXYZ")] == 0 &&
           sv_currency_exponent(j->world, code) >= 0;
}

static bool is_place(const sv_ubl_judge *j, const char *code)
{
    const sv_place *place = strlen(code) == 2 ? sv_place_by_code(j->world, code) : NULL;
    return place && strcmp(place->code, code) == 0;
}

/* Is the code in the list? A list of a room that is not open admits everything. */
static bool code_fits(const sv_ubl_judge *j, const char *list, const char *code)
{
    bool atlas = j->world->room[SV_ROOM_ATLAS] != NULL;
    if (strcmp(list, "currency") == 0) return !atlas || is_currency(j, code);
    if (strcmp(list, "country") == 0) return !atlas || is_place(j, code);
    if (strcmp(list, "language") == 0) return is_language(code);
    return sv_ubl_in_list(j, list, code);
}

static const char *standard_of(const char *list)
{
    static const struct {
        const char *list, *standard;
    } names[] = {{"currency", "ISO 4217"},
                 {"country", "ISO 3166-1"},
                 {"language", "IETF BCP 47"},
                 {"unit", "UN/ECE Recommendation 20"},
                 {"package", "UN/ECE Recommendation 21"},
                 {"invoice-type", "UN/CEFACT data element 1001"},
                 {"upu-136", "UPU code list 136"}};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (strcmp(names[i].list, list) == 0) return names[i].standard;
    }
    return "UN/CEFACT";
}

static void judge_code(sv_ubl_judge *j, xmlNodePtr node, const char *list, const char *code)
{
    if (!*list || !*code || code_fits(j, list, code)) return;
    sv_finding *f = sv_ubl_say(j, SV_F_UBL_CODE, node, code, standard_of(list), NULL);
    sv_finding_source(f, standard_of(list), "2026-11-25");
}

/* Package codes stood among the units until Recommendation 20 gave them an X in front. */
static void judge_unit(sv_ubl_judge *j, xmlNodePtr node, const char *unit)
{
    if (!*unit || sv_ubl_in_list(j, "unit", unit)) return;
    bool package = sv_ubl_in_list(j, "package", *unit == 'X' ? unit + 1 : unit);
    if (package && *unit == 'X') return;
    if (package) {
        sv_ubl_say(j, SV_F_UBL_UNIT_OLD, node, unit, NULL, NULL);
    } else {
        judge_code(j, node, "unit", unit);
    }
}

/* Codes whose list the standard leaves open: an invoice's type, which in early documents was a word, and the
 * reason for an export where it says that it is the Universal Postal Union's. */
static void judge_open_code(sv_ubl_judge *j, xmlNodePtr node, const char *code)
{
    bool digits_only = code[strspn(code, "0123456789")] == 0;
    if (sv_ubl_is(node, "cbc:InvoiceTypeCode") && digits_only) judge_code(j, node, "invoice-type", code);
    bool upu = strcasecmp(sv_ubl_attribute(j, node, "listID"), "UPU-136") == 0;
    if (sv_ubl_is(node, "cbc:ExportReasonCode") && upu) judge_code(j, node, "upu-136", code);
}

/* ---- attributes --------------------------------------------------------------------------------- */

static void judge_attribute(sv_ubl_judge *j, xmlNodePtr node, const char *name, const char *value,
                            const char *must, const char *may)
{
    if (!among(must, name) && !among(may, name)) {
        sv_ubl_say(j, SV_F_UBL_ATTRIBUTE, node, name, sv_ubl_name(j, node), NULL);
        return;
    }
    if (sv_ubl_all_blank(value)) {
        sv_ubl_say(j, SV_F_UBL_EMPTY, node, sv_format(j->arena, "%s/@%s", sv_ubl_name(j, node), name), NULL,
                   NULL);
        return;
    }
    if (strcmp(name, "currencyID") == 0) judge_code(j, node, "currency", value);
    if (strcmp(name, "languageID") == 0) judge_code(j, node, "language", value);
    if (strcmp(name, "unitCode") == 0) judge_unit(j, node, value);
}

static void judge_attributes(sv_ubl_judge *j, xmlNodePtr node, const char *must, const char *may)
{
    for (xmlAttrPtr a = node->properties; a; a = a->next) {
        if (a->ns) continue;
        const char *name = (const char *)a->name;
        judge_attribute(j, node, name, sv_ubl_attribute(j, node, name), must, may);
    }
    if (*must && !xmlHasNsProp(node, BAD_CAST must, NULL))
        sv_ubl_say(j, SV_F_UBL_ATTRIBUTE_MISSING, node, must, sv_ubl_name(j, node), NULL);
}

void sv_ubl_judge_value(sv_ubl_judge *j, xmlNodePtr node, const char *type, const char *list)
{
    size_t row = sv_table_find(j->types, type);
    if (row == SV_NO_ROW) return;
    const char *form = sv_cell(j->types, row, sv_table_column(j->types, "form"));
    judge_attributes(j, node, sv_cell(j->types, row, sv_table_column(j->types, "must")),
                     sv_cell(j->types, row, sv_table_column(j->types, "may")));
    xmlNodePtr inside = xmlFirstElementChild(node);
    const char *text = sv_ubl_text(j, node), *name = sv_ubl_name(j, node);
    if (inside) {
        sv_ubl_say(j, SV_F_UBL_UNKNOWN, inside, sv_ubl_name(j, inside), name, NULL);
    } else if (!*text) {
        sv_ubl_say(j, SV_F_UBL_EMPTY, node, name, NULL, NULL);
    } else if (!fits_form(form, text)) {
        sv_ubl_say(j, SV_F_UBL_VALUE, node, name, text, form);
    } else {
        judge_code(j, node, list, text);
        if (strcmp(type, "code") == 0) judge_open_code(j, node, text);
    }
}
