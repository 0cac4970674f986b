/* goods.c - may these goods go? Every row of border/goods whose filled cells all fit speaks; used clothing
 * has its own table, border/used. The severest verdict is the answer. */
#include <string.h>

#include "border/judge.h"
#include "text/text.h"

const char *sv_verdict_word(sv_verdict v)
{
    static const char *const words[] = {"ok", "caution", "prohibited"};
    return words[v];
}

/* ---- one row ------------------------------------------------------------------------------------------- */

static sv_verdict verdict_of(const char *word)
{
    return *word == 'p' ? SV_BORDER_PROHIBITED : *word == 'c' ? SV_BORDER_CAUTION : SV_NO_RESTRICTION_KNOWN;
}

/* A row from memory gives at most a caution, but for goods no mail may carry and for wildlife. */
static sv_verdict capped(sv_verdict v, const char *topic, const char *source)
{
    bool may = strcmp(topic, "no-mail") == 0 || strcmp(topic, "wildlife") == 0;
    bool memory = strcmp(source, "memory") == 0;
    return v == SV_BORDER_PROHIBITED && memory && !may ? SV_BORDER_CAUTION : v;
}

static bool situation_fits(const sv_case *c, const char *list)
{
    return !*list || sv_in_list(list, c->situation, strlen(c->situation));
}

/* The value of one piece over the row's limit; amounts of another currency by way of the SDR. */
static bool value_fits(const sv_case *c, size_t row)
{
    const char *limit = sv_by_name(c->b->goods, row, "value_over"),
               *currency = sv_by_name(c->b->goods, row, "currency");
    sv_dec most;
    if (!*limit || !sv_dec_read(limit, &most)) return true;
    if (!c->goods->value.known || !*sv_or_empty(c->goods->currency)) return false;
    sv_dec value = sv_convert(c->b, c->goods->value, c->goods->currency, currency);
    return value.known && sv_dec_cmp(value, most) > 0;
}

static bool weight_fits(const sv_case *c, size_t row)
{
    sv_dec most;
    const char *limit = sv_by_name(c->b->goods, row, "weight_over");
    if (!*limit || !sv_dec_read(limit, &most)) return true;
    return c->goods->net_weight_g.known && sv_dec_cmp(c->goods->net_weight_g, most) > 0;
}

static bool way_fits(const sv_case *c, const char *way)
{
    if (!*way) return true;
    return (strcmp(way, "union") == 0) == c->in_one_union;
}

static bool presentation_fits(const sv_case *c, const char *presentation)
{
    return !*presentation || (strcmp(presentation, "bulk") == 0) == c->bulk;
}

/* 0 does not fit, 1 fits, 2 may fit: nobody said whether it is new or used. */
static int condition_fits(const sv_case *c, const char *condition)
{
    if (!*condition) return 1;
    if (c->state == SV_STATE_UNKNOWN) return 2;
    return (strcmp(condition, "used") == 0) == (c->state == SV_STATE_USED);
}

static int row_fits(const sv_case *c, size_t r, const char **which)
{
    const sv_table *t = c->b->goods;
    if (!sv_things_any(&c->things, sv_by_name(t, r, "thing"), which)) return 0;
    if (!sv_end_fits(&c->to, sv_by_name(t, r, "to")) || !sv_end_fits(&c->from, sv_by_name(t, r, "from")))
        return 0;
    if (!way_fits(c, sv_by_name(t, r, "way")) || sv_things_any(&c->things, sv_by_name(t, r, "but"), NULL))
        return 0;
    if (!situation_fits(c, sv_by_name(t, r, "situation"))) return 0;
    if (!presentation_fits(c, sv_by_name(t, r, "presentation"))) return 0;
    if (!value_fits(c, r) || !weight_fits(c, r)) return 0;
    return condition_fits(c, sv_by_name(t, r, "condition"));
}

/* How closely a row speaks of this case: of the place before of all, of the thing before of all goods. */
static int closeness(const sv_table *t, size_t r)
{
    return 2 * (strcmp(sv_by_name(t, r, "to"), "any") != 0) + (strcmp(sv_by_name(t, r, "thing"), "any") != 0);
}

static void judge_row(sv_case *c, size_t r)
{
    const sv_table *t = c->b->goods;
    const char *which = "", *topic = sv_by_name(t, r, "topic");
    int fits = row_fits(c, r, &which);
    if (!fits) return;
    sv_voice v = {.verdict =
                      capped(verdict_of(sv_by_name(t, r, "verdict")), topic, sv_by_name(t, r, "source")),
                  .why = sv_by_name(t, r, "why"),
                  .remedy = sv_by_name(t, r, "remedy"),
                  .lifted_by = sv_by_name(t, r, "lifted_by"),
                  .source = sv_by_name(t, r, "source"),
                  .as_of = sv_by_name(t, r, "as_of"),
                  .which = which,
                  .closeness = closeness(t, r),
                  .no_mail = strcmp(topic, "no-mail") == 0,
                  .users = sv_users_key(c->arena, t, r)};
    if (fits == 2 && v.verdict == SV_BORDER_PROHIBITED) {
        v.verdict = SV_BORDER_CAUTION;
        v.why = sv_format(c->arena, "it was not said whether the piece is new or used; if %s: %s",
                          sv_by_name(t, r, "condition"), v.why);
    }
    sv_speak(c, &v);
}

/* ---- what a row says ----------------------------------------------------------------------------------- */

static void add_finding(const sv_case *c, const sv_voice *v, bool lifted)
{
    sv_code code = SV_F_GOODS_CAUTION;
    if (lifted) code = SV_F_GOODS_WITH_PAPERS;
    if (v->verdict == SV_BORDER_PROHIBITED) code = v->no_mail ? SV_F_GOODS_NO_MAIL : SV_F_GOODS_PROHIBITED;
    sv_finding *f = sv_find(c->findings, code, c->place, SV_ARGS(v->why, v->remedy));
    sv_finding_source(f, v->source, v->as_of);
}

void sv_speak(sv_case *c, const sv_voice *voice)
{
    sv_voice v = *voice;
    bool lifted = false;
    if (v.verdict == SV_BORDER_PROHIBITED && *sv_or_empty(v.lifted_by))
        lifted = sv_papers_lift(c->arena, v.lifted_by, c->goods->documents, c->out);
    if (lifted) v.verdict = SV_BORDER_CAUTION;
    if (!*c->out->as_of || strcmp(v.as_of, c->out->as_of) < 0) c->out->as_of = v.as_of;
    if (v.users) sv_find(c->findings, SV_F_DATA_USERS, c->place, SV_ARGS(v.users));
    if (v.verdict == SV_NO_RESTRICTION_KNOWN) return;
    add_finding(c, &v, lifted);
    bool first = c->out->verdict == SV_NO_RESTRICTION_KNOWN;
    bool worse = v.verdict > c->out->verdict;
    bool closer = v.verdict == c->out->verdict && v.closeness > c->closest;
    if (!first && !worse && !closer) return;
    c->closest = v.closeness;
    c->out->verdict = v.verdict;
    c->out->why = v.why;
    c->out->remedy = v.remedy;
    c->out->source = v.source;
}

/* ---- the case ------------------------------------------------------------------------------------------ */

static bool says(const sv_case *c, const char *thing)
{
    return sv_thing_in(&c->things, thing, strlen(thing));
}

static sv_state state_of(const sv_case *c)
{
    const char *said = sv_or_empty(c->goods->condition);
    /* Unsold stock was never worn; refurbished goods were. */
    if (strcmp(said, "new") == 0 || strcmp(said, "used-unsold-stock") == 0 || strcmp(said, "deadstock") == 0)
        return SV_STATE_NEW;
    if (strcmp(said, "used") == 0 || strcmp(said, "refurbished") == 0) return SV_STATE_USED;
    if (says(c, "said-new")) return SV_STATE_NEW;
    return says(c, "said-used") ? SV_STATE_USED : SV_STATE_UNKNOWN;
}

static const char *situation_of(const sv_goods *goods)
{
    static const char *const known[] = {"sale", "gift", "return", "sample"};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        if (strcmp(sv_or_empty(goods->situation), known[i]) == 0) return known[i];
    }
    return "sale";
}

static void say_nothing_known(sv_case *c)
{
    const sv_table *t = c->b->goods;
    if (!*c->out->as_of) c->out->as_of = t->oldest;
    c->out->why = sv_format(c->arena, "no restriction known to this table as of %s", c->out->as_of);
    c->out->remedy = "the official rules of the destination and your postal operator decide";
    if (!*c->out->source) c->out->source = "tables of this tool: border/goods, border/used";
}

sv_status sv_border_goods(const sv_world *world, sv_arena *arena, sv_end from, sv_end to,
                          const sv_goods *goods, const char *date, const char *place, sv_border_answer *out,
                          sv_findings *findings)
{
    (void)date;
    *out = (sv_border_answer){.verdict = SV_NO_RESTRICTION_KNOWN,
                              .why = "",
                              .remedy = "",
                              .source = "",
                              .as_of = "",
                              .document_licence = "",
                              .document_certificate = ""};
    sv_case *c = SV_NEW(arena, sv_case);
    if (!c) return SV_NO_MEMORY;
    *c = (sv_case){.b = sv_border_in(world),
                   .arena = arena,
                   .from = from,
                   .to = to,
                   .goods = goods,
                   .place = place,
                   .out = out,
                   .findings = findings,
                   .in_one_union = sv_ends_in_one_union(&from, &to),
                   .situation = situation_of(goods)};
    sv_things_of(world, arena, goods, &c->things);
    c->state = state_of(c);
    c->bulk = strcmp(sv_or_empty(goods->presentation), "bulk") == 0 || says(c, "said-bulk");
    for (size_t r = 0; r < c->b->goods->rows; r++)
        judge_row(c, r);
    sv_judge_used(c);
    sv_judge_trader(c);
    if (out->verdict == SV_NO_RESTRICTION_KNOWN) say_nothing_known(c);
    if (sv_older_than_a_year(out->as_of, sv_or_empty(world->today)))
        sv_find(findings, SV_F_DATA_OLD, place, SV_ARGS(out->as_of, out->source));
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
