/* heading.c - facts to heading and subheading: what is possible, what decides, how sure, with reasons. */
#include <string.h>

#include "tariff/reasons.h"

#define WHAT_IS_IT    "What is it, in plain words: a shirt, a jumper, a dress, shoes, a bag?"
#define MOST_OTHERS   4
#define ENOUGH_OTHERS 3 /* near codes fill up to here */
#define MOST_NEAR     12
#define LEAST_SHARE   0.02 /* of all: below it an answer is too unlikely to be shown beside the best */

const char *sv_certainty_word(sv_certainty c)
{
    return c == SV_CERTAIN ? "certain" : c == SV_LIKELY ? "likely" : "open";
}

typedef struct judged {
    const sv_tariff *t;
    sv_known known;
    sv_walked walked;
    int best; /* index in walked.tally */
    sv_decision decision;
    int first; /* code that comes first, after practice */
    sv_certainty certainty;
    int other[MOST_OTHERS];
    const char *needs[MOST_OTHERS];
    size_t others;
    const char *places; /* "US: 620140; GB: 620333": who holds which code, "" when all agree */
} judged;

static int likeliest(const sv_walked *w)
{
    int best = -1;
    for (size_t i = 0; i < w->count; i++) {
        if (best < 0 || w->tally[i].weight > w->tally[best].weight) best = (int)i;
    }
    return best;
}

/* Does anything said, or what follows from it, go against what is presumed of such an article? */
static bool goes_against(const sv_known *k)
{
    for (int f = 0; f < SV_KNOWABLE; f++) {
        if (k->said[f] && !(k->may[f] & k->unsaid[f])) return true;
    }
    return false;
}

static bool another_without(const judged *j, const sv_world *world, const sv_facts *facts, int fact,
                            bool all_of_word)
{
    sv_known k;
    sv_walked w;
    sv_left_out out = {fact, all_of_word ? facts->fact[fact].because : NULL};
    sv_know(j->t, world, facts, &j->known.weighed, &out, j->known.date, &k);
    sv_walk(j->t, &k, &w);
    return w.count == 1 && w.tally[0].code != j->walked.tally[0].code;
}

/* Did the word that said this fact say others too? */
static bool said_more(const sv_facts *facts, int fact)
{
    for (int i = 0; i < SV_FACT_COUNT; i++) {
        const sv_fact *f = &facts->fact[i];
        if (i != fact && f->value && f->from >= SV_FROM_TEXT && f->because == facts->fact[fact].because)
            return true;
    }
    return false;
}

/* Would the answer be another if one of the facts, or all that one word says (full zip: a zip, an opening),
 * had been left unsaid? Asked where something said goes against a presumption: the answer is then likely, not
 * certain, so that a fact added to a certain answer never makes another certain answer. */
static bool hangs_on_one_fact(const judged *j, const sv_world *world, const sv_facts *facts)
{
    if (!goes_against(&j->known)) return false;
    for (int f = 0; f < SV_FACT_COUNT; f++) {
        if (facts->fact[f].from < SV_FROM_TEXT || !facts->fact[f].value) continue;
        if (another_without(j, world, facts, f, false)) return true;
        if (said_more(facts, f) && another_without(j, world, facts, f, true)) return true;
    }
    return false;
}

/* Words of the seller that were not understood may hold a fact that changes the code. */
static bool something_unread(const sv_findings *findings)
{
    static const sv_code codes[] = {SV_F_COLUMN_WORD, SV_F_FIBRE_UNKNOWN, SV_F_FIBRE_NONE, SV_F_FIBRE_SUM};
    for (const sv_finding *f = findings ? findings->first : NULL; f; f = f->next) {
        for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
            if (f->code == codes[i]) return true;
        }
    }
    return false;
}

static void judge_certainty(judged *j, const sv_world *world, const sv_facts *facts,
                            const sv_findings *findings)
{
    const sv_walked *w = &j->walked;
    if (w->count == 1 && w->complete) {
        j->certainty = facts->unread || hangs_on_one_fact(j, world, facts) || j->known.weighed.close ||
                               something_unread(findings)
                           ? SV_LIKELY
                           : SV_CERTAIN;
    } else {
        j->certainty = w->usual >= 0 ? SV_LIKELY : SV_OPEN;
    }
    if (j->known.unnamed || j->known.unfit) j->certainty = SV_OPEN;
}

static void add_other(judged *j, int code, const char *needs)
{
    if (code < 0 || code == j->first || j->others == MOST_OTHERS) return;
    for (size_t i = 0; i < j->others; i++) {
        if (j->other[i] == code) return;
    }
    j->needs[j->others] = needs;
    j->other[j->others++] = code;
}

/* The facts as read on the way to the best answer, each with its usual value where it is still open. */
static void settle(const judged *j, sv_set may[SV_KNOWABLE])
{
    const sv_path *path = &j->walked.tally[j->best].path;
    memcpy(may, j->known.may, sizeof j->known.may);
    for (size_t i = 0; i < path->steps; i++)
        may[path->step[i].fact] = path->step[i].allowed;
    for (int f = 0; f < SV_KNOWABLE; f++) {
        sv_set usual = sv_bit(j->known.usual[f]);
        if (may[f] & usual) may[f] = usual;
    }
}

/* The code of a line under those facts, with another fibre group when one is given. */
static int line_code(const judged *j, const sv_tariff_line *line, sv_set group)
{
    sv_set may[SV_KNOWABLE];
    settle(j, may);
    const sv_line_part *part = sv_line_part_for(line, may, j->known.date);
    return part ? part->code[sv_lowest(group ? group : may[SV_GROUP]) - 1] : -1;
}

/* Do those facts meet the condition of a second answer? */
static bool second_holds(const judged *j, const sv_second *o)
{
    sv_set may[SV_KNOWABLE];
    if (!sv_listed(o->after, j->decision.rule->id)) return false;
    settle(j, may);
    for (size_t i = 0; i < o->when.count; i++) {
        if (may[o->when.condition[i].fact] & ~o->when.condition[i].allowed) return false;
    }
    return true;
}

/* Practice that differs from place to place: the destination's own first, the rest among the others. */
static void judge_practice(judged *j, sv_arena *arena, sv_reasons *r, const char *destination)
{
    const sv_class *c = j->known.class;
    for (size_t i = 0; i < c->seconds; i++) { /* the destination's practice */
        const sv_second *o = c->second[i];
        if (!*o->place || !sv_place_holds(j->t, o->place, destination) || !second_holds(j, o)) continue;
        int code = line_code(j, o->line, 0);
        if (code < 0) continue;
        sv_reason_add(r, o->says, o->note, o->source, o->as_of);
        if (code == j->first) continue;
        int notes = j->first;
        j->first = code;
        j->certainty = SV_OPEN;
        add_other(j, notes, "by the text of the notes");
    }
    for (size_t i = 0; i < c->seconds; i++) {
        const sv_second *o = c->second[i];
        if (!second_holds(j, o)) continue;
        int code = line_code(j, o->line, 0);
        if (code < 0 || code == j->first) continue;
        if (*o->place) {
            j->certainty = SV_OPEN;
            j->places = sv_format(arena, "%s%s%s: %s", j->places, *j->places ? "; " : "", o->place,
                                  j->t->code[code].code);
        }
        if (!*o->place && j->certainty == SV_CERTAIN) j->certainty = SV_LIKELY;
        sv_reason_add(r, o->says, o->note, o->source, o->as_of);
        add_other(j, code, o->says);
    }
}

/* Blends: the group that follows closely, and where adding chapters 54 and 55 is disputed. */
static void judge_blend(judged *j, sv_reasons *r)
{
    const sv_weighed *w = &j->known.weighed;
    if (!j->decision.part->by_fibre) return;
    if (w->close)
        add_other(j, line_code(j, j->decision.rule->line, w->second), "if the label's percentages are off");
    if (!w->plurality) return;
    int code = line_code(j, j->decision.rule->line, w->plurality);
    if (code < 0 || code == j->first) return;
    sv_reason_add(r, "Only because synthetic and artificial fibres add up; some rulings did not add them.",
                  "Section XI note 2(B)(c); against it US CBP rulings NY N327446, 2022, and NY N278970",
                  "US CBP rulings NY N327446, 2022, and NY N278970", "2026-11-25");
    if (j->certainty == SV_CERTAIN) j->certainty = SV_LIKELY;
    add_other(j, code, "if synthetic and artificial fibres were not added up");
}

/* Another article that the words name: what it would be, beside the answer. */
static void judge_rival(judged *j, const sv_world *world, sv_arena *arena, const sv_facts *facts)
{
    if (!facts->rival || !*facts->rival) return;
    const sv_facts *as = sv_facts_as(world, arena, facts, facts->rival);
    sv_known k;
    sv_walked w;
    if (!as || !sv_know(j->t, world, as, &j->known.weighed, NULL, j->known.date, &k)) return;
    sv_walk(j->t, &k, &w);
    int best = w.usual >= 0 ? w.usual : likeliest(&w);
    if (best < 0 || w.tally[best].code == j->first) return;
    if (j->certainty == SV_CERTAIN) j->certainty = SV_LIKELY;
    int row = sv_article_find(world, facts->rival);
    add_other(j, w.tally[best].code,
              sv_format(arena, "if it is rather a %s", sv_article_at(world, row).name));
}

static void judge_runners_up(judged *j, sv_arena *arena)
{
    bool used[SV_TALLY_MAX] = {false};
    for (size_t n = 0; n < MOST_OTHERS; n++) {
        int best = -1;
        for (size_t i = 0; i < j->walked.count; i++) {
            if (used[i] || (int)i == j->best) continue;
            if (best < 0 || j->walked.tally[i].weight > j->walked.tally[best].weight) best = (int)i;
        }
        if (best < 0 || j->walked.tally[best].weight < LEAST_SHARE) return;
        used[best] = true;
        add_other(j, j->walked.tally[best].code,
                  sv_needs(j->t, arena, &j->known, &j->walked.tally[best].path));
    }
}

/* The near codes of an answer that is not certain: what it would be if one presumption did not hold. */
static void judge_near(judged *j, sv_arena *arena)
{
    sv_condition near[MOST_NEAR];
    sv_set may[SV_KNOWABLE];
    if (j->certainty == SV_CERTAIN || j->others >= ENOUGH_OTHERS) return;
    settle(j, may);
    size_t n = sv_nearly(&j->known, may, &j->decision, MOST_NEAR, near);
    sv_known k = j->known;
    memcpy(k.may, may, sizeof k.may);
    for (size_t i = 0; i < n && j->others < ENOUGH_OTHERS; i++) {
        int fact = near[i].fact;
        k.may[fact] = near[i].allowed;
        add_other(j, sv_resolve(j->t, &k), sv_needs_one(j->t, arena, &near[i]));
        k.may[fact] = may[fact];
    }
}

/* What would settle it: a fact, or the place it goes to. */
static void put_question(const judged *j, sv_arena *arena, const char *destination, sv_heading *out)
{
    out->ask = j->known.unnamed ? WHAT_IS_IT : "";
    out->ask_fact = j->known.unnamed ? "article" : "";
    if (j->known.unnamed || j->certainty == SV_CERTAIN) return;
    out->ask = sv_ask(j->t, arena, &j->known, &j->walked, &out->ask_fact);
    if (*out->ask || !*j->places || *destination) return;
    out->ask_fact = "destination";
    out->ask = sv_format(arena, "Where does it go? (%s; elsewhere: %s)", j->places, out->hs6);
}

static void put_heading(judged *j, sv_arena *arena, sv_reasons *r, const char *destination, sv_heading *out)
{
    const sv_tariff_code *c = &j->t->code[j->first];
    sv_candidate *other = SV_NEW_ARRAY(arena, MOST_OTHERS, sv_candidate);
    out->hs6 = c->code;
    out->heading = sv_copy_n(arena, c->code, 4);
    out->certainty = j->certainty;
    for (size_t i = 0; other && i < j->others; i++) {
        other[i] = (sv_candidate){j->t->code[j->other[i]].code, j->t->code[j->other[i]].title, j->needs[i]};
        out->others++;
    }
    out->other = other;
    put_question(j, arena, destination, out);
    sv_reasons_close(r, arena, out);
}

/* Nothing of the tariff's tables fits: said so, with what would help. */
static void put_unknown(sv_arena *arena, sv_reasons *r, const sv_facts *facts, sv_heading *out)
{
    bool word = facts->article && *facts->article;
    out->certainty = SV_OPEN;
    out->hs6 = out->heading = "";
    out->ask_fact = word ? "" : "article";
    out->ask = word ? "" : WHAT_IS_IT;
    sv_reason_add(r,
                  word ? "This article is outside the headings the tool knows."
                       : "No word for an article was understood.",
                  "", "", "");
    sv_reasons_close(r, arena, out);
}

/* Where what was said fits no rule (trousers of straw), the construction is taken for unsaid. */
static void walk_somehow(judged *j)
{
    sv_walk(j->t, &j->known, &j->walked);
    if (j->walked.count) return;
    j->known.may[SV_FACT_CONSTRUCTION] = j->known.unsaid[SV_FACT_CONSTRUCTION];
    j->known.unfit = true;
    sv_walk(j->t, &j->known, &j->walked);
}

/* The edition in force on a day; the newest whose rows stand in the tables when there is no day. */
static const char *edition_of(const sv_tariff *t, const char *date)
{
    for (size_t i = 0; *date && i < t->editions; i++) {
        if (sv_in_force(t->edition[i].from, t->edition[i].to, date)) return t->edition[i].name;
    }
    return t->editions ? t->edition[0].name : "";
}

sv_status sv_classify(const sv_world *world, sv_arena *arena, const sv_facts *facts, const char *destination,
                      const char *date, const char *stated, sv_heading *out, sv_findings *findings)
{
    judged j; /* filled step by step: it is large, and this is the inner loop of tables */
    j.t = sv_tariff_of(world);
    j.certainty = SV_OPEN;
    j.places = "";
    j.others = 0;
    sv_reasons r;
    r.count = 0;
    memset(out, 0, sizeof *out);
    if (!j.t) return SV_USAGE;
    destination = destination ? destination : "";
    date = date ? date : "";
    out->edition = edition_of(j.t, date);
    sv_weighed weighed;
    sv_weigh(j.t, arena, facts, &weighed);
    bool known = sv_know(j.t, world, facts, &weighed, NULL, date, &j.known);
    if (known) walk_somehow(&j);
    j.best = !known ? -1 : j.walked.usual >= 0 ? j.walked.usual : likeliest(&j.walked);
    if (j.best < 0 || !sv_decide(&j.known, &j.walked.tally[j.best].path, &j.decision)) {
        put_unknown(arena, &r, facts, out);
    } else {
        j.first = j.walked.tally[j.best].code;
        judge_certainty(&j, world, facts, findings);
        sv_reasons_path(&r, arena, world, j.t, facts, &j.known, &j.walked.tally[j.best].path, &j.decision);
        judge_practice(&j, arena, &r, destination);
        judge_blend(&j, &r);
        judge_rival(&j, world, arena, facts);
        judge_runners_up(&j, arena);
        judge_near(&j, arena);
        put_heading(&j, arena, &r, destination, out);
    }
    sv_judge_stated(j.t, arena, stated ? stated : "", destination, date, out, findings);
    return sv_arena_failed(arena) ? SV_NO_MEMORY : SV_OK;
}
