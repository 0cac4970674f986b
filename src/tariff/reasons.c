/* reasons.c - the reasoning in plain words, as a clerk would write it down. */
#include "tariff/reasons.h"

#include <string.h>

void sv_reason_add(sv_reasons *r, const char *text, const char *rule, const char *source, const char *as_of)
{
    if (r->count < SV_REASONS_MAX && *text) r->reason[r->count++] = (sv_reason){text, rule, source, as_of};
}

/* The values of a set in words, "a or b". */
static const char *set_words(const sv_tariff *t, sv_arena *arena, int fact, sv_set set)
{
    const char *text = "";
    for (int v = 1; v <= t->meta[fact].values; v++) {
        if (!(set & sv_bit(v))) continue;
        text = *text ? sv_format(arena, "%s or %s", text, t->meta[fact].phrase[v]) : t->meta[fact].phrase[v];
    }
    return text;
}

static size_t size_of(sv_set set)
{
    size_t n = 0;
    for (; set; set = (sv_set)(set & (set - 1)))
        n++;
    return n;
}

/* Names many values by those that are left out, when these are fewer. */
static const char *step_words(const sv_tariff *t, sv_arena *arena, const sv_known *k,
                              const sv_condition *step)
{
    sv_set rest = (sv_set)(k->may[step->fact] & ~step->allowed);
    if (rest && size_of(rest) < size_of(step->allowed) && size_of(step->allowed) > 2)
        return sv_format(arena, "not %s", set_words(t, arena, step->fact, rest));
    return set_words(t, arena, step->fact, step->allowed);
}

const char *sv_needs_one(const sv_tariff *t, sv_arena *arena, const sv_condition *step)
{
    return sv_format(arena, "if %s", set_words(t, arena, step->fact, step->allowed));
}

const char *sv_needs(const sv_tariff *t, sv_arena *arena, const sv_known *known, const sv_path *path)
{
    const char *text = "";
    for (size_t i = 0; i < path->steps; i++) {
        const sv_condition *s = &path->step[i];
        bool last = true; /* a fact may be narrowed twice; the last time tells */
        for (size_t n = i + 1; n < path->steps; n++)
            last &= path->step[n].fact != s->fact;
        if (!last || sv_bit(known->usual[s->fact]) & s->allowed) continue;
        text = sv_format(arena, "%s%s%s", text, *text ? ", " : "if ", step_words(t, arena, known, s));
    }
    return text;
}

static const char *phrase_of(const sv_tariff *t, int fact, sv_set set)
{
    return set && !(set & (set - 1)) ? t->meta[fact].phrase[sv_lowest(set)] : "";
}

static void add_understood(sv_reasons *r, sv_arena *arena, const sv_world *world, const sv_tariff *t,
                           const sv_facts *facts, const sv_known *k)
{
    if (k->unnamed) {
        sv_reason_add(r, "No word for an article was understood; only its kind can be told.", "", "", "");
        return;
    }
    int row = sv_article_find(world, facts->article);
    const char *name = row < 0 ? facts->article : sv_article_at(world, row).name;
    const char *who = k->said[SV_FACT_WEARER] ? phrase_of(t, SV_FACT_WEARER, k->may[SV_FACT_WEARER]) : "";
    const char *how =
        k->said[SV_FACT_CONSTRUCTION] ? phrase_of(t, SV_FACT_CONSTRUCTION, k->may[SV_FACT_CONSTRUCTION]) : "";
    const char *word = facts->article_word && *facts->article_word && strcmp(facts->article_word, name) != 0
                           ? sv_format(arena, " (said: %s)", facts->article_word)
                           : "";
    sv_reason_add(r,
                  sv_format(arena, "Understood: %s%s%s%s%s%s.", name, word, *who ? ", " : "", who,
                            *how ? ", " : "", how),
                  "", "", "");
}

/* What the trade supposes on the way, so that the reader sees what nobody said. */
static void add_supposed(sv_reasons *r, sv_arena *arena, const sv_tariff *t, const sv_known *k,
                         const sv_path *path)
{
    const char *text = "";
    for (size_t i = 0; i < path->steps; i++) {
        const sv_condition *s = &path->step[i];
        sv_set usual = sv_bit(k->usual[s->fact]);
        const char *words =
            usual & s->allowed ? set_words(t, arena, s->fact, usual) : step_words(t, arena, k, s);
        if (!*words || strstr(text, words)) continue;
        text = sv_format(arena, "%s%s%s", text, *text ? ", " : "", words);
    }
    if (*text) sv_reason_add(r, sv_format(arena, "Supposed, as it was not said: %s.", text), "", "", "");
}

static const char *dotted_heading(sv_arena *arena, const sv_tariff *t, const sv_line_part *part)
{
    const char *code = NULL;
    for (int g = 0; g < SV_GROUPS && !code; g++) {
        if (part->code[g] >= 0) code = t->code[part->code[g]].code;
    }
    return code ? sv_format(arena, "%.2s.%.2s", code, code + 2) : "";
}

void sv_reasons_path(sv_reasons *r, sv_arena *arena, const sv_world *world, const sv_tariff *t,
                     const sv_facts *facts, const sv_known *known, const sv_path *path,
                     const sv_decision *decision)
{
    add_understood(r, arena, world, t, facts, known);
    for (size_t i = 0; i < known->follow; i++) {
        const sv_derived *d = known->follows[i];
        bool matters = d->fact == SV_FACT_WEARER || d->fact == SV_FACT_CONSTRUCTION;
        if (matters) sv_reason_add(r, d->says, "", d->source, d->as_of);
    }
    add_supposed(r, arena, t, known, path);
    for (size_t i = 0; i < decision->passes; i++) {
        const sv_rule *p = decision->passed[i];
        sv_reason_add(r, p->unless, p->note, p->source, p->as_of);
    }
    const sv_rule *rule = decision->rule;
    const sv_line_part *part = decision->part;
    sv_reason_add(r, rule->says, rule->note, rule->source, rule->as_of);
    sv_reason_add(r, sv_format(arena, "Heading %s: %s.", dotted_heading(arena, t, part), part->says),
                  part->note, part->source, part->as_of);
    if (!part->by_fibre) {
        if (known->weighed.groups) sv_reason_add(r, "The fibre changes nothing here.", "", "", "");
        return;
    }
    sv_reason_add(r, known->weighed.sums, known->weighed.note,
                  "HS 2022 Section XI note 2 and subheading note 2, as carried in national schedules",
                  "2026-11-25");
}

/* The reasons in one line, each with its rule in brackets. */
static const char *one_line(const sv_reasons *r, sv_arena *arena)
{
    size_t n = 1;
    for (size_t i = 0; i < r->count; i++)
        n += strlen(r->reason[i].text) + strlen(r->reason[i].rule) + 4;
    char *why = (char *)sv_alloc(arena, n), *to = why;
    if (!why) return "";
    for (size_t i = 0; i < r->count; i++) {
        const sv_reason *s = &r->reason[i];
        const char *parts[] = {i ? " " : "", s->text, *s->rule ? " [" : "", s->rule, *s->rule ? "]" : ""};
        for (size_t p = 0; p < sizeof parts / sizeof *parts; p++) {
            size_t bytes = strlen(parts[p]);
            memcpy(to, parts[p], bytes);
            to += bytes;
        }
    }
    return why;
}

void sv_reasons_close(const sv_reasons *r, sv_arena *arena, sv_heading *out)
{
    sv_reason *copy = SV_NEW_ARRAY(arena, r->count + 1, sv_reason);
    out->why = out->source = out->as_of = "";
    if (!copy) return;
    memcpy(copy, r->reason, r->count * sizeof *copy);
    out->reason = copy;
    out->reasons = r->count;
    for (size_t i = 0; i < r->count; i++) {
        const sv_reason *s = &copy[i];
        if (*s->as_of && (!*out->as_of || strcmp(s->as_of, out->as_of) < 0)) out->as_of = s->as_of;
        if (*s->source && !*out->source) out->source = s->source;
    }
    out->why = one_line(r, arena);
}
