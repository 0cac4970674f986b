/* when.c - which rows speak to a consignment: day, place, kind of sending, goods. */
#include <string.h>

#include "duty/duty.h"

bool duty_on(const duty_head *head, const char *date)
{
    if (*head->from && strcmp(date, head->from) < 0) return false;
    return !*head->to || strcmp(date, head->to) <= 0;
}

bool duty_in_chain(const duty_chain *chain, const duty_head *head)
{
    for (size_t i = 0; i < chain->n; i++) {
        if (strcmp(chain->key[i], head->place) == 0) return true;
    }
    return false;
}

bool duty_has_union(const char *unions, const char *word)
{
    size_t n = strlen(word);
    for (const char *p = unions; p && *p;) {
        size_t length = strcspn(p, " ");
        if (length == n && strncmp(p, word, n) == 0) return true;
        p += length + strspn(p + length, " ");
    }
    return false;
}

bool duty_listed(const char *list, const sv_place *place)
{
    if (strcmp(list, "any") == 0) return true;
    if (!place) return false;
    if (duty_has_union(list, place->code)) return true;
    return duty_has_union(list, "EU") && duty_has_union(place->unions, "eu-customs");
}

bool duty_code_in(const char *list, const char *code)
{
    if (strcmp(list, "*") == 0) return true;
    for (const char *p = list; *p;) {
        size_t length = strcspn(p, " ");
        if (length && strncmp(p, code, length) == 0) return true;
        p += length + strspn(p + length, " ");
    }
    return false;
}

static bool word_fits(const char *row, const char *given)
{
    return strcmp(row, "any") == 0 || strcmp(row, given) == 0;
}

bool duty_case_fits(const duty_job *job, const duty_case *when)
{
    if (!word_fits(when->situation, job->situation) || !word_fits(when->service, job->service)) return false;
    if (strcmp(when->scheme, "any") != 0 && (!job->scheme || strcmp(when->scheme, job->scheme->head.id) != 0))
        return false;
    /* A trader's parcel is never a gift between private persons; unsaid, the word of the sender counts. */
    if (strcmp(when->sender, "private") == 0 && job->c->sender_status &&
        strcmp(job->c->sender_status, "trader") == 0)
        return false;
    return duty_listed(when->posted, job->c->from.place);
}

/* ---- places ---- */

static void add_key(const duty_job *job, duty_chain *chain, const char *key)
{
    if (!key || !*key || chain->n == DUTY_KEYS) return;
    for (size_t i = 0; i < chain->n; i++) {
        if (strcmp(chain->key[i], key) == 0) return;
    }
    chain->key[chain->n++] = key;
    size_t row = sv_table_find(job->room->alias, key);
    if (row != SV_NO_ROW) add_key(job, chain, sv_cell(job->room->alias, row, 1));
}

/* Inside a union the country's rows and the union's count; a territory outside has only its own. */
static void fill_chain(const duty_job *job, duty_chain *chain, const char *inside, const char *word)
{
    const sv_place *place = job->c->to.place;
    const sv_territory *t = job->c->to.territory;
    bool own = t && strcmp(t->id, place->code) != 0;
    if (own) add_key(job, chain, t->id);
    if (!own || *inside) add_key(job, chain, place->code);
    if (duty_has_union(inside, word)) add_key(job, chain, "EU");
}

/* A territory that is a country's own code (JE, RE) counts as the place; Northern Ireland is not the country.
 */
static bool aliased(const duty_job *job, const sv_territory *t)
{
    return t && sv_table_find(job->room->alias, t->id) != SV_NO_ROW;
}

static void same_union(duty_job *job)
{
    const sv_end *from = &job->c->from, *to = &job->c->to;
    if (!from->place) return;
    const char *customs = to->territory ? to->territory->in_customs : to->place->unions;
    const char *tax = to->territory ? to->territory->in_vat : to->place->unions;
    const char *from_customs = from->territory ? from->territory->in_customs : from->place->unions;
    const char *from_tax = from->territory ? from->territory->in_vat : from->place->unions;
    static const char *const customs_words[] = {"eu-customs", "uk-customs", "us-customs"};
    static const char *const tax_words[] = {"eu-vat", "uk-vat"};
    for (size_t i = 0; i < sizeof customs_words / sizeof *customs_words; i++) {
        if (duty_has_union(customs, customs_words[i]) && duty_has_union(from_customs, customs_words[i]))
            job->same_customs = true;
    }
    for (size_t i = 0; i < sizeof tax_words / sizeof *tax_words; i++) {
        if (duty_has_union(tax, tax_words[i]) && duty_has_union(from_tax, tax_words[i])) job->same_tax = true;
    }
    bool whole = from->place == to->place && !from->territory && !to->territory;
    bool home =
        from->place == to->place && aliased(job, to->territory); /* Great Britain to Northern Ireland */
    static const char *const both_words[] = {"ch-customs",
                                             "eaeu"}; /* no tax between them on a parcel either */
    for (size_t i = 0; i < sizeof both_words / sizeof *both_words; i++) {
        if (duty_has_union(customs, both_words[i]) && duty_has_union(from_customs, both_words[i]))
            whole = true;
    }
    if (whole || home) job->same_customs = job->same_tax = true;
}

void duty_places_of(duty_job *job)
{
    const sv_place *place = job->c->to.place;
    const sv_territory *t = job->c->to.territory;
    if (t && strcmp(t->id, place->code) != 0 && aliased(job, t)) {
        /* its alias stands for the country: the rules of XI, not those of GB */
        add_key(job, &job->duty_places, t->id);
        add_key(job, &job->tax_places, t->id);
        if (duty_has_union(t->in_customs, "eu-customs")) add_key(job, &job->duty_places, "EU");
    } else {
        fill_chain(job, &job->duty_places, t ? t->in_customs : place->unions, "eu-customs");
        fill_chain(job, &job->tax_places, t ? t->in_vat : place->unions, "eu-vat");
    }
    same_union(job);
}
