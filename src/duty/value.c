/* value.c - what an examiner would doubt about the value of a piece. The value is what was paid, never the
 * price when new; free pieces are valued like similar goods (WTO valuation agreement arts 1 to 3). */
#include <string.h>

#include "duty/duty.h"

/* Less than a third of the usual price: low enough to be asked about. Common practice, no source. */
#define FAR_BELOW SV_DEC(33, 2)

static sv_dec in_euro(duty_job *job, sv_dec amount, const char *money, const char *into)
{
    job->money = into;
    job->given_money = "";
    job->exponent = 2;
    return duty_local(job, amount, money);
}

sv_status sv_value_advise(const sv_world *world, sv_arena *arena, const sv_value_facts *f,
                          sv_findings *findings)
{
    duty_job job = {.world = world, .room = duty_room_of(world), .arena = arena, .findings = findings};
    job.date = world->today && *world->today ? world->today : "9999-12-31";
    const char *place = f->place ? f->place : "", *money = f->currency ? f->currency : "";
    if (!f->price.known || f->price.units <= 0) {
        sv_find(findings, SV_F_VALUE_NONE, place, SV_NO_ARGS);
        return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
    }
    const char *price = sv_format(arena, "%s %s", money, sv_dec_text_short(arena, f->price));
    sv_dec bound = sv_dec_mul(f->usual, FAR_BELOW);
    if (bound.known && sv_dec_cmp(f->price, bound) < 0) {
        const char *usual = sv_format(arena, "%s %s", money, sv_dec_text_short(arena, f->usual));
        sv_find(findings, SV_F_VALUE_FAR_BELOW, place, SV_ARGS(price, usual));
    }
    const sv_table *t = job.room->materials;
    size_t row = f->material && *f->material ? sv_table_find(t, f->material) : SV_NO_ROW;
    if (row == SV_NO_ROW) return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
    sv_dec floor = SV_DEC_UNKNOWN;
    if (!sv_dec_read(sv_cell(t, row, sv_table_column(t, "floor")), &floor)) return SV_OK;
    sv_dec euro = in_euro(&job, f->price, money, sv_cell(t, row, sv_table_column(t, "money")));
    if (euro.known && sv_dec_cmp(euro, floor) < 0)
        sv_finding_source(sv_find(findings, SV_F_VALUE_MATERIAL, place, SV_ARGS(price, f->material)),
                          sv_cell(t, row, sv_table_column(t, "source")),
                          sv_cell(t, row, sv_table_column(t, "as_of")));
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
