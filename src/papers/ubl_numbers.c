/* ubl_numbers.c - identifiers whose own digits tell whether they were copied right. */
#include "papers/ubl_judge.h"

#include <string.h>
#include <strings.h>

#include "base/banned.h"
#include "selvedge/border.h"

/* ---- item numbers and tax numbers --------------------------------------------------------------- */

/* Two letters, nine digits, two letters: so written only an item identifier of UPU S10 is. */
static bool looks_like_s10(const char *t)
{
    for (size_t i = 0; i < 13; i++) {
        bool letter = t[i] >= 'A' && t[i] <= 'Z', digit = t[i] >= '0' && t[i] <= '9';
        if (i < 2 || i > 10 ? !letter : !digit) return false;
    }
    return !t[13];
}

/* The scheme's name without what stands around it: UPU-S10 and "S10" are S10. */
static const char *kind_of(const char *scheme)
{
    static const char *const kinds[] = {"S10",   "IOSS", "XIEORI", "EORI",  "GBVAT",  "ABN",
                                        "AUARN", "VOEC", "CHUID",  "BRCPF", "BRCNPJ", "KRPCCC"};
    static const struct {
        const char *scheme, *kind;
    } others[] = {{"UPU-S10", "S10"}, {"CPF", "BRCPF"}, {"CNPJ", "BRCNPJ"}, {"PCCC", "KRPCCC"}};
    for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
        if (strcasecmp(kinds[i], scheme) == 0) return kinds[i];
    }
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        if (strcasecmp(others[i].scheme, scheme) == 0) return others[i].kind;
    }
    return NULL;
}

static void judge_identifier(sv_ubl_judge *j, xmlNodePtr node)
{
    const char *text = sv_ubl_text(j, node), *kind = kind_of(sv_ubl_attribute(j, node, "schemeID"));
    bool carriers = sv_ubl_is(node, "cbc:CarrierAssignedID") || sv_ubl_is(node, "cbc:TrackingID");
    if (!kind && carriers && looks_like_s10(text)) kind = "S10";
    sv_number number;
    if (!kind || !*text || !j->world->room[SV_ROOM_BORDER]) return;
    if (sv_number_check(j->world, j->arena, kind, text, &number) != SV_OK || number.valid) return;
    sv_ubl_say(j, SV_F_UBL_DIGIT, node, text, kind, number.reason);
}

/* ---- numbers of GS1 ----------------------------------------------------------------------------- */

/* The last digit makes the sum, weighted 3 and 1 by turns from the right, a multiple of ten (GS1 General
 * Specifications). */
static bool gs1_fits(const char *t)
{
    size_t n = strlen(t);
    if ((n != 8 && n < 12) || n > 18 || t[strspn(t, "0123456789")]) return false;
    int sum = 0;
    for (size_t i = 0; i < n; i++)
        sum += (t[n - 1 - i] - '0') * (i % 2 ? 3 : 1);
    return sum % 10 == 0;
}

static void judge_gs1(sv_ubl_judge *j, xmlNodePtr node)
{
    static const char *const schemes[] = {"GTIN", "GLN", "EAN", "SSCC"};
    const char *scheme = sv_ubl_attribute(j, node, "schemeID"), *text = sv_ubl_text(j, node);
    for (size_t i = 0; i < sizeof schemes / sizeof *schemes; i++) {
        if (strcasecmp(scheme, schemes[i]) != 0 || !*text || gs1_fits(text)) continue;
        sv_finding *f = sv_ubl_say(j, SV_F_UBL_DIGIT_DOUBT, node, text, schemes[i], NULL);
        sv_finding_source(f, "GS1 General Specifications, check digit; memory", "2026-11-25");
        return;
    }
}

void sv_ubl_judge_numbers(sv_ubl_judge *j)
{
    static const char *const elements[] = {"cbc:ID", "cbc:CompanyID", "cbc:CarrierAssignedID",
                                           "cbc:TrackingID", "cbc:EndpointID"};
    for (size_t i = 0; i < sizeof elements / sizeof *elements; i++) {
        for (xmlNodePtr n = sv_ubl_walk(j->root, NULL, elements[i]); n;
             n = sv_ubl_walk(j->root, n, elements[i])) {
            judge_identifier(j, n);
            judge_gs1(j, n);
        }
    }
}
