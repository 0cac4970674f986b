/* judge_numbers.c - item number, scheme number, the sender's customs number. */
#include <string.h>

#include "parcel/judges.h"

static sv_status check(sv_dossier *d, const char *kind, const char *value, const char *place, sv_number *out)
{
    sv_status s = sv_number_check(d->world, d->arena, kind, value, out);
    if (!s && !out->valid) sv_find(&d->findings, SV_F_NUMBER_FORM, place, SV_ARGS(kind, value, out->reason));
    return s;
}

/* The number of a scheme in the profile's list `IOSS IM...; VOEC ...`. */
static const char *profile_number(sv_dossier *d, const char *scheme)
{
    size_t n = strlen(scheme);
    for (const char *p = d->parcel->profile.schemes; p && *p;) {
        size_t length = strcspn(p, ";");
        const char *pair = sv_trim(d->arena, p, length);
        if (n && strncmp(pair, scheme, n) == 0 && pair[n] == ' ')
            return sv_trim(d->arena, pair + n, strlen(pair + n));
        p += length;
        if (*p) p++;
    }
    return "";
}

static sv_status judge_scheme(sv_dossier *d)
{
    const char *scheme = sv_upper_ascii(d->arena, d->parcel->scheme);
    const char *number = d->parcel->scheme_number;
    d->scheme = scheme;
    d->scheme_number = *number ? number : profile_number(d, scheme);
    if (!*scheme) return SV_OK;
    if (!*d->scheme_number) {
        sv_find(&d->findings, SV_F_SCHEME_NUMBER_MISSING, "scheme_number", SV_ARGS(scheme));
        return SV_OK;
    }
    sv_number checked;
    sv_status s = check(d, scheme, d->scheme_number, "scheme_number", &checked);
    if (!s && checked.valid) d->scheme_number = checked.normal;
    return s;
}

/* One parcel, one scheme; and the number that the destination asks of the addressee. */
static sv_status judge_schemes_of_parcel(sv_dossier *d)
{
    const sv_parcel *p = d->parcel;
    sv_scheme_use use = {.to = d->to,
                         .scheme = d->scheme,
                         .scheme_number = d->scheme_number,
                         .own = p->profile.schemes,
                         .orders = p->order};
    sv_status s = sv_border_schemes(d->world, d->arena, &use, &d->findings);
    if (!s) s = sv_border_addressee_number(d->world, d->arena, d->to, p->addressee_number, &d->findings);
    if (p->another_that_day) sv_border_same_day(d->world, d->to, "addressee", &d->findings);
    return s;
}

sv_status sv_judge_numbers(sv_dossier *d, sv_error *err)
{
    const sv_parcel *p = d->parcel;
    d->item_number = (sv_number){.valid = false, .normal = "", .printed = "", .reason = "", .use = ""};
    sv_status s = *p->item_number ? check(d, "S10", p->item_number, "item_number", &d->item_number) : SV_OK;
    sv_number eori;
    if (!s && *p->profile.eori) s = check(d, "EORI", p->profile.eori, "sender.eori", &eori);
    if (!s) s = judge_scheme(d);
    if (!s && d->declaration.needed) s = judge_schemes_of_parcel(d);
    return s ? sv_fail(err, s, "%s: the numbers cannot be judged", d->reference) : SV_OK;
}
