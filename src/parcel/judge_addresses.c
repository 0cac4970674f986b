/* judge_addresses.c - sender and addressee: a block is split, then both are laid out and checked. */
#include <string.h>

#include "parcel/judges.h"
#include "text/text.h"

static bool any_field(const sv_address *a)
{
    return *sv_or_empty(a->recipient) || *sv_or_empty(a->organisation) || *sv_or_empty(a->street_lines) ||
           *sv_or_empty(a->city) || *sv_or_empty(a->postcode);
}

/* What the block did not say, the fields may. */
static const char *either(const char *first, const char *second)
{
    return first && *first ? first : sv_or_empty(second);
}

static sv_status lay_out(sv_dossier *d, const sv_address *a, const char *service, const char *who,
                         sv_laid_address *out)
{
    sv_findings said = sv_findings_in(d->arena);
    sv_status s = sv_address_lay_out(d->world, d->press, d->arena, a, service, out, &said);
    sv_findings_move(&d->findings, &said, who);
    return s;
}

static sv_status split_block(sv_dossier *d, sv_address *out)
{
    const sv_parcel *p = d->parcel;
    sv_findings said = sv_findings_in(d->arena);
    sv_status s = sv_address_split(d->world, d->press, d->arena, p->block, strlen(p->block),
                                   p->addressee.country, out, &said);
    sv_findings_move(&d->findings, &said, "addressee");
    out->phone = either(p->addressee.phone, out->phone);
    out->email = either(p->addressee.email, out->email);
    return s;
}

/* A block in local script beside fields in Latin: both are known, both are printed. */
static sv_status add_local_block(sv_dossier *d)
{
    const char *block = d->parcel->block;
    if (strcmp(sv_script_of(block, strlen(block)), "Latn") == 0) return SV_OK;
    sv_address local;
    sv_laid_address laid = {.block = "", .block_local = ""};
    sv_status s = split_block(d, &local);
    if (!s) {
        sv_findings unsaid = sv_findings_in(d->arena); /* the same faults were said of the fields */
        s = sv_address_lay_out(d->world, NULL, d->arena, &local, NULL, &laid, &unsaid);
    }
    if (!s) d->addressee_laid.block_local = *laid.block_local ? laid.block_local : laid.block;
    return s;
}

/* Both scripts are printed when both are known: a block that could not be put into Latin letters is not
 * printed twice. */
static void drop_twin(sv_laid_address *laid)
{
    const char *last = laid->block ? strrchr(laid->block, '\n') : NULL;
    size_t bytes = last ? (size_t)(last - laid->block) : 0;
    const char *script = sv_script_of(laid->block, bytes);
    if (bytes && strcmp(script, "Latn") != 0 && strcmp(script, "Zyyy") != 0) laid->block_local = "";
}

static sv_status judge_addressee(sv_dossier *d)
{
    const sv_parcel *p = d->parcel;
    bool fields = any_field(&p->addressee);
    d->addressee = p->addressee;
    if (!fields && !*p->block) {
        sv_find(&d->findings, SV_F_ADDRESSEE_MISSING, "addressee", SV_NO_ARGS);
        return SV_OK;
    }
    sv_status s = fields ? SV_OK : split_block(d, &d->addressee);
    if (!s) s = lay_out(d, &d->addressee, d->service, "addressee", &d->addressee_laid);
    if (!s) drop_twin(&d->addressee_laid);
    if (!s && fields && *p->block) s = add_local_block(d);
    return s;
}

static sv_status judge_sender(sv_dossier *d)
{
    const sv_profile *who = &d->parcel->profile;
    if (!any_field(&who->address)) {
        sv_find(&d->findings, SV_F_SENDER_MISSING, "sender", SV_NO_ARGS);
        return SV_OK;
    }
    return lay_out(d, &who->address, NULL, "sender", &d->sender_laid);
}

sv_status sv_judge_addresses(sv_dossier *d, sv_error *err)
{
    sv_status s = judge_sender(d);
    if (!s) s = judge_addressee(d);
    if (s) return sv_fail(err, s, "%s: the addresses cannot be judged", d->reference);
    bool home = d->sender_laid.place && d->sender_laid.place == d->from.place;
    d->from.territory = home ? d->sender_laid.territory : NULL;
    if (!d->addressee_laid.place) return SV_OK;
    const sv_address *a = &d->addressee;
    d->to =
        sv_end_of_address(d->world, d->addressee_laid.place->code, sv_or_empty(d->addressee_laid.postcode),
                          sv_or_empty(a->region), sv_or_empty(a->city));
    return SV_OK;
}
