/* judge_frame.c - date, category, currency, service and both ends of the way. */
#include <string.h>

#include "base/cells.h"
#include "parcel/judges.h"

#define SMALL_PACKET_G 2000 /* Universal Postal Convention, letter post: small packets up to 2 kg */

static const char *const categories[] = {"sale", "gift", "sample", "return", "documents", "other"};

static const char *category_of(sv_dossier *d)
{
    const char *said = d->parcel->category;
    if (!*said) return "sale";
    for (size_t i = 0; i < sizeof categories / sizeof *categories; i++) {
        if (strcmp(said, categories[i]) == 0) return said;
    }
    sv_find(&d->findings, SV_F_CATEGORY_UNKNOWN, "category", SV_ARGS(said));
    return "sale";
}

static void judge_date(sv_dossier *d)
{
    const char *said = d->parcel->date;
    if (!*said) return;
    if (sv_is_date(said)) {
        d->date = said;
        return;
    }
    sv_find(&d->findings, SV_F_DATE_FORM, "date", SV_ARGS(said, d->date));
}

static void judge_currency(sv_dossier *d)
{
    const char *said = *d->parcel->currency ? d->parcel->currency : d->parcel->profile.currency;
    d->currency = sv_upper_ascii(d->arena, said);
    d->exponent = *said ? sv_currency_exponent(d->world, d->currency) : -1;
    if (d->exponent >= 0) return;
    sv_find(&d->findings, SV_F_CURRENCY_UNKNOWN, "currency", SV_ARGS(said));
    d->exponent = 2;
}

/* Letter post carries goods to 2 kg; what is heavier, or was not weighed, goes as a parcel. */
static void judge_service(sv_dossier *d)
{
    d->service = d->parcel->service;
    if (*d->service) return;
    sv_dec gross = d->parcel->gross_weight;
    bool small = gross.known && sv_dec_cmp(gross, sv_dec_int(SMALL_PACKET_G)) <= 0;
    d->service = small ? "letter-post" : "parcel-post";
    sv_find(&d->findings, SV_F_SERVICE_ASSUMED, "service", SV_ARGS(d->service));
}

static void judge_from(sv_dossier *d)
{
    const sv_address *home = &d->parcel->profile.address;
    const char *from = *d->parcel->from ? d->parcel->from : sv_or_empty(home->country);
    if (!*from) {
        sv_find(&d->findings, SV_F_FROM_MISSING, "from", SV_NO_ARGS);
        return;
    }
    d->from.place = sv_place_by_code(d->world, from);
    if (!d->from.place) d->from.place = sv_place_by_name(d->world, from);
    if (!d->from.place) sv_find(&d->findings, SV_F_FROM_UNKNOWN, "from", SV_ARGS(from));
}

sv_status sv_judge_frame(sv_dossier *d, sv_error *err)
{
    (void)err;
    d->reference = d->parcel->reference;
    /* A parcel that came from a file has its finding already, with the line. */
    if (!*d->reference && !d->parcel->row)
        sv_find(&d->findings, SV_F_REFERENCE_MISSING, "parcel", SV_NO_ARGS);
    judge_date(d);
    d->category = category_of(d);
    judge_currency(d);
    judge_service(d);
    judge_from(d);
    return SV_OK;
}
