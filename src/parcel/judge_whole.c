/* judge_whole.c - what only the whole parcel shows: the causes for which posts and customs hold or return
 * items. */
#include <string.h>

#include "parcel/judges.h"

static void judge_category(sv_dossier *d)
{
    bool gift = strcmp(d->category, "gift") == 0;
    if (gift && (*d->parcel->order || d->goods_paid > 0)) {
        sv_finding *f = sv_find(&d->findings, SV_F_GIFT_THAT_WAS_SOLD, "category", SV_NO_ARGS);
        sv_finding_source(f, "UPU CN 22 (2018): a commercial item may not be declared as a gift",
                          "2026-11-25");
    }
    if (strcmp(d->category, "documents") == 0 && d->lines)
        sv_find(&d->findings, SV_F_DOCUMENTS_WITH_GOODS, "category", SV_NO_ARGS);
    if (strcmp(d->category, "other") == 0 && !*d->parcel->comment)
        sv_find(&d->findings, SV_F_OTHER_WITHOUT_WORDS, "comment", SV_NO_ARGS);
    if (strcmp(d->category, "return") == 0 && !*d->parcel->comment)
        sv_find(&d->findings, SV_F_RETURN_WITHOUT_WORDS, "comment", SV_NO_ARGS);
    if (strcmp(d->category, "sample") == 0)
        sv_find(&d->findings, SV_F_SAMPLE_CLAIMED, "category", SV_NO_ARGS);
}

static void judge_paper_and_data(sv_dossier *d)
{
    if (d->postage < 0) sv_find(&d->findings, SV_F_POSTAGE_MISSING, "postage", SV_NO_ARGS);
    sv_finding *f = sv_find(&d->findings, SV_F_DATA_BEFORE_PAPER, "declaration", SV_NO_ARGS);
    sv_finding_source(f, "UPU Convention Regulations art. 08-002, in force 2021-01-01", "2026-11-25");
    if (*d->parcel->item_number == 0)
        sv_find(&d->findings, SV_F_ITEM_NUMBER_MISSING, "item_number", SV_NO_ARGS);
}

sv_status sv_judge_whole(sv_dossier *d, sv_error *err)
{
    (void)err;
    if (!d->declaration.needed) return SV_OK;
    judge_category(d);
    judge_paper_and_data(d);
    return SV_OK;
}

/* A stop holds the papers unless the seller recorded a reason; for goods that no mail may carry no reason
 * counts. A stop that concerns the declaration alone holds nothing where no declaration is needed. */
sv_status sv_judge_stops(sv_dossier *d, sv_error *err)
{
    (void)err;
    d->stopped = false;
    bool lifted = false;
    for (const sv_finding *f = d->findings.first; f; f = f->next) {
        bool holds = f->blocks == SV_BLOCKS_EVERYTHING ||
                     (f->blocks == SV_BLOCKS_DECLARATION && d->declaration.needed);
        if (f->severity != SV_STOP || !holds) continue;
        if (*d->override_reason && !f->final) {
            lifted = true;
        } else {
            d->stopped = true;
        }
    }
    if (lifted) sv_find(&d->findings, SV_F_STOP_OVERRIDDEN, "", SV_ARGS(d->override_reason));
    return SV_OK;
}
