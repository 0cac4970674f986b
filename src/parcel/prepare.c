/* prepare.c - the list of judges, in order. It holds no rule. */
#include "parcel/judges.h"
#include "text/press.h"

static const sv_judge judges[] = {
    sv_judge_frame,    sv_judge_addresses, sv_judge_declaration_need,
    sv_judge_pieces,   sv_judge_values,    sv_judge_weights,
    sv_judge_headings, sv_judge_form,      sv_judge_goods,
    sv_judge_numbers,  sv_judge_duty,      sv_judge_whole,
    sv_judge_stops,    sv_dossier_write,
};

sv_status sv_prepare(const sv_world *world, sv_press *press, sv_arena *arena, const sv_parcel *parcel,
                     const sv_prepare_options *options, sv_dossier **out, sv_error *err)
{
    sv_dossier *d = SV_NEW(arena, sv_dossier);
    if (!d) return sv_fail(err, SV_NO_MEMORY, "out of memory while preparing %s", parcel->reference);
    *d = (sv_dossier){.arena = arena, .world = world, .press = press, .parcel = parcel};
    d->findings = sv_findings_in(arena);
    d->date = options && options->date ? options->date : world->today;
    d->override_reason = options && options->override_reason ? options->override_reason : "";
    sv_findings_move(&d->findings, &parcel->findings, "");
    for (size_t i = 0; i < sizeof judges / sizeof *judges; i++) {
        sv_status s = judges[i](d, err);
        if (s) return s;
    }
    if (sv_arena_failed(arena))
        return sv_fail(err, SV_NO_MEMORY, "out of memory while preparing %s", parcel->reference);
    *out = d;
    return SV_OK;
}
