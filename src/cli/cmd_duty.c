/* cmd_duty.c - what the border will charge, and who asks for it. Rows with the same parcel are one
 * consignment. */
#include <stdlib.h>
#include <string.h>

#include "cli/stream.h"
#include "selvedge/duty.h"

/* The order of `reads`. */
enum column {
    C_DATE,
    C_FROM,
    C_DESTINATION,
    C_SITUATION,
    C_PARCEL,
    C_CURRENCY,
    C_GOODS,
    C_FREIGHT,
    C_INSURANCE,
    C_FX,
    C_HS6,
    C_MADE_IN,
    C_DUTY_RATE,
    C_VAT_RATE,
    C_QUANTITY,
    C_WEIGHT,
    C_GENDER,
    C_SERVICE,
    C_SCHEME,
    C_STATUS,
    C_CODE,
    COLUMNS
};
static const char *const reads[] = {
    "date",     "from",         "destination", "situation", "parcel",  "currency",      "goods",
    "freight",  "insurance",    "fx_to_local", "hs6",       "made_in", "duty_rate_pct", "vat_rate_pct",
    "quantity", "net_weight_g", "gender",      "service",   "scheme",  "sender_status", "code",
    NULL};
static const char *const appends[] = {"customs_value", "duty",          "vat_base", "vat",
                                      "fees",          "total_charges", "low",      "high",
                                      "collected_by",  "findings",      NULL};

typedef struct row {
    const char *const *input; /* all cells of the file's row; NULL for a single question */
    const char *cell[COLUMNS];
    sv_answer answer;
    struct row *next;             /* of the file */
    struct row *mate, *last_mate; /* of the same parcel, on its first row the last one too */
} row;

/* ---- reading cells ---- */

static sv_dec amount(sv_findings *findings, const row *r, int column)
{
    sv_dec value = SV_DEC_UNKNOWN;
    const char *text = r->cell[column];
    if (!*text || (sv_dec_read(text, &value) && value.units >= 0)) return value;
    sv_find(findings, SV_F_DUTY_NUMBER, reads[column], SV_ARGS(reads[column], text));
    return SV_DEC_UNKNOWN;
}

static const char *code_of(sv_findings *findings, const row *r)
{
    const char *code = *r->cell[C_CODE] ? r->cell[C_CODE] : r->cell[C_HS6];
    size_t digits = 0, others = 0;
    for (const char *p = code; *p; p++) {
        digits += *p >= '0' && *p <= '9';
        others += (*p < '0' || *p > '9') && *p != '.' && *p != ' ';
    }
    if (*code && (others || digits < 4 || digits > 12))
        sv_find(findings, SV_F_DUTY_CODE, "hs6", SV_ARGS(code));
    return code;
}

/* A parcel's column may stand on its first row only; two different values are told and the first counts. */
static const row *parcel_row(sv_findings *findings, const row *first, int column)
{
    const row *found = NULL;
    for (const row *r = first; r; r = r->mate) {
        if (!*r->cell[column]) continue;
        if (!found) found = r;
        if (strcmp(r->cell[column], found->cell[column]) == 0) continue;
        sv_find(findings, SV_F_DUTY_PARCEL_DIFFERS, reads[column],
                SV_ARGS(reads[column], found->cell[column], r->cell[column]));
        break;
    }
    return found ? found : first;
}

/* Freight and insurance that differ from row to row are the rows' own: they are added. */
static sv_dec parcel_amount(sv_findings *findings, const row *first, int column)
{
    sv_dec one = SV_DEC_UNKNOWN, sum = SV_DEC(0, 0);
    bool differs = false;
    for (const row *r = first; r; r = r->mate) {
        if (!*r->cell[column]) continue;
        sv_dec here = amount(findings, r, column);
        if (!here.known) continue;
        differs |= one.known && sv_dec_cmp(one, here) != 0;
        if (!one.known) one = here;
        sum = sv_dec_add(sum, here);
    }
    if (differs) sv_find(findings, SV_F_DUTY_PARTS_ADDED, reads[column], SV_ARGS(reads[column]));
    return differs ? sum : one;
}

static void fill_line(sv_findings *findings, const row *r, sv_duty_line *line)
{
    sv_dec pieces = amount(findings, r, C_QUANTITY);
    *line = (sv_duty_line){.hs6 = code_of(findings, r),
                           .made_in = r->cell[C_MADE_IN],
                           .wearer = r->cell[C_GENDER],
                           .goods = amount(findings, r, C_GOODS),
                           .net_weight_g = amount(findings, r, C_WEIGHT),
                           .quantity = pieces.known ? sv_dec_to_int(pieces, SV_DOWN) : 0,
                           .duty_rate_pct = amount(findings, r, C_DUTY_RATE),
                           .vat_rate_pct = amount(findings, r, C_VAT_RATE)};
}

/* ---- answering ---- */

static void write_part(sv_arena *arena, const sv_duty *d, const sv_duty_part *p, sv_answer *a)
{
    const sv_dec value[] = {p->customs_value, p->duty,  p->vat_base, p->vat,
                            p->fees,          p->total, p->low,      p->high};
    for (size_t i = 0; i < sizeof value / sizeof *value; i++)
        a->value[i] = sv_dec_text(arena, value[i]);
    a->value[8] = sv_copy(arena, d->collected_by);
}

/* Computes the consignment whose rows hang at `first`, in `work`; the answers are copied into `keep`. */
static sv_status answer_parcel(const sv_world *world, sv_arena *work, sv_arena *keep, row *first, sv_duty *d,
                               sv_end *to, sv_error *err)
{
    size_t n = 0, i = 0;
    for (const row *r = first; r; r = r->mate)
        n++;
    sv_findings findings = sv_findings_in(work);
    sv_duty_line *line = SV_NEW_ARRAY(work, n + 1, sv_duty_line);
    if (!line) return sv_fail(err, SV_NO_MEMORY, "out of memory");
    for (const row *r = first; r; r = r->mate)
        fill_line(&findings, r, &line[i++]);
#define CELL(column) parcel_row(&findings, first, column)->cell[column]
    sv_consignment c = {.date = CELL(C_DATE),
                        .from = sv_duty_end(world, work, CELL(C_FROM)),
                        .to = sv_duty_end(world, work, CELL(C_DESTINATION)),
                        .situation = CELL(C_SITUATION),
                        .sender_status = CELL(C_STATUS),
                        .service = CELL(C_SERVICE),
                        .scheme = CELL(C_SCHEME),
                        .currency = CELL(C_CURRENCY),
                        .freight = parcel_amount(&findings, first, C_FREIGHT),
                        .insurance = parcel_amount(&findings, first, C_INSURANCE),
                        .line = line,
                        .lines = n};
    c.fx_to_local = amount(&findings, parcel_row(&findings, first, C_FX), C_FX);
#undef CELL
    *to = c.to;
    sv_status s = sv_duty_estimate(world, work, &c, d, &findings);
    if (s) return sv_fail(err, s, "out of memory");
    i = 0;
    for (row *r = first; r; r = r->mate)
        write_part(keep, d, &d->line[i++], &r->answer);
    sv_findings_move(&first->answer.findings, &findings, "");
    return SV_OK;
}

/* ---- one question, or a table without parcels ---- */

static const char *text_answer(sv_arena *arena, const sv_duty *d, const sv_end *to,
                               const sv_findings *findings)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    sv_put(&b, sv_duty_words(arena, d, to));
    if (findings->first) sv_put_char(&b, '\n');
    sv_print_findings(&b, findings, sv_colour());
    sv_put_char(&b, '\n');
    sv_print_caution(&b, d->source, d->as_of);
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static sv_status answer_one(void *state, sv_arena *arena, const char *const cell[], sv_answer *out,
                            sv_error *err)
{
    row r = {.answer = *out};
    sv_duty d;
    sv_end to;
    memcpy(r.cell, cell, sizeof r.cell);
    sv_status s = answer_parcel(state, arena, arena, &r, &d, &to, err);
    if (s) return s;
    *out = r.answer;
    out->text = text_answer(arena, &d, &to, &out->findings);
    return SV_OK;
}

/* ---- a table with parcels: held until its end, since a parcel's rows may stand apart ---- */

typedef struct held {
    row *first, *last;
    size_t n;
    row **slot; /* first rows of the parcels, hashed by name */
    size_t slots;
} held;

static size_t hash(const char *text)
{
    size_t h = 1469598103934665603u;
    for (; *text; text++)
        h = (h ^ (unsigned char)*text) * 1099511628211u;
    return h;
}

static row **find_slot(const held *h, const char *parcel)
{
    size_t at = hash(parcel) % h->slots;
    while (h->slot[at] && strcmp(h->slot[at]->cell[C_PARCEL], parcel) != 0)
        at = (at + 1) % h->slots;
    return &h->slot[at];
}

/* Hangs each row at the first of its parcel; a row without a parcel stays alone. */
static sv_status join_parcels(held *h, sv_arena *arena, sv_error *err)
{
    h->slots = h->n * 2 + 1;
    h->slot = (row **)sv_alloc_array(arena, h->slots, sizeof(row *));
    if (!h->slot) return sv_fail(err, SV_NO_MEMORY, "out of memory");
    for (row *r = h->first; r; r = r->next) {
        r->last_mate = r;
        if (!*r->cell[C_PARCEL]) continue;
        row **slot = find_slot(h, r->cell[C_PARCEL]);
        if (!*slot) {
            *slot = r;
            continue;
        }
        (*slot)->last_mate->mate = r;
        (*slot)->last_mate = r;
        r->last_mate = NULL; /* not the first of its parcel */
    }
    return SV_OK;
}

/* The next row of the file, read; NULL at its end. */
static sv_status read_row(sv_rows *rows, const int at[], sv_arena *arena, row **out, sv_error *err)
{
    const char *const *input;
    size_t line;
    *out = NULL;
    sv_status s = sv_rows_next(rows, arena, &input, &line, err);
    if (s || !input) return s;
    row *r = SV_NEW(arena, row);
    if (!r) return sv_fail(err, SV_NO_MEMORY, "out of memory");
    r->input = input;
    for (size_t i = 0; i < COLUMNS; i++)
        r->cell[i] = at[i] < 0 ? "" : input[at[i]];
    sv_answer_clear(&r->answer, arena, appends);
    if (!r->answer.value) return sv_fail(err, SV_NO_MEMORY, "out of memory");
    *out = r;
    return SV_OK;
}

static sv_status hold_rows(sv_rows *rows, const int at[], sv_arena *arena, held *h, sv_error *err)
{
    for (;;) {
        row *r;
        sv_status s = read_row(rows, at, arena, &r, err);
        if (s || !r) return s;
        if (h->last) h->last->next = r;
        if (!h->first) h->first = r;
        h->last = r;
        h->n++;
    }
}

static sv_status write_rows(const sv_columns *columns, char as, const held *h, size_t *stops, sv_error *err)
{
    sv_buf out;
    sv_buf_init(&out, 0);
    sv_columns_head(columns, as, &out);
    bool fine = true;
    for (const row *r = h->first; r && fine; r = r->next) {
        sv_columns_row(columns, as, r->input, &r->answer, r == h->first, &out);
        *stops += sv_answer_stops(&r->answer);
        if (out.length > (64u << 10)) fine = sv_flush(&out);
    }
    sv_columns_foot(as, h->first != NULL, &out);
    fine = sv_flush(&out) && fine;
    sv_buf_free(&out);
    return fine ? SV_OK : sv_fail(err, SV_SYSTEM, "standard output cannot be written");
}

static sv_status answer_held(const sv_world *world, held *h, sv_arena *work, sv_arena *keep, sv_error *err)
{
    for (row *r = h->first; r; r = r->next) {
        sv_duty d;
        sv_end to;
        if (!r->last_mate) continue;
        sv_arena_reset(work);
        sv_status s = answer_parcel(world, work, keep, r, &d, &to, err);
        if (s) return s;
    }
    return sv_arena_failed(keep) ? sv_fail(err, SV_NO_MEMORY, "out of memory") : SV_OK;
}

/* A table without a column of parcels: row by row, in flat memory. */
static sv_status run_flat(const sv_world *world, sv_rows *rows, const int at[], const sv_columns *columns,
                          char as, sv_arena *work, size_t *stops, sv_error *err)
{
    sv_buf out;
    sv_buf_init(&out, 0);
    sv_columns_head(columns, as, &out);
    bool first = true, fine = true;
    sv_status s = SV_OK;
    for (; !s && fine; first = false) {
        row *r;
        sv_duty d;
        sv_end to;
        sv_arena_reset(work);
        s = read_row(rows, at, work, &r, err);
        if (s || !r) break;
        s = answer_parcel(world, work, work, r, &d, &to, err);
        if (s) break;
        sv_columns_row(columns, as, r->input, &r->answer, first, &out);
        *stops += sv_answer_stops(&r->answer);
        if (out.length > (64u << 10)) fine = sv_flush(&out);
    }
    if (!s) sv_columns_foot(as, !first, &out);
    fine = sv_flush(&out) && fine;
    sv_buf_free(&out);
    return s || fine ? s : sv_fail(err, SV_SYSTEM, "standard output cannot be written");
}

static sv_status run_held(const sv_words *words, const sv_world *world, sv_rows *rows, sv_arena *keep,
                          sv_arena *work, size_t *stops, sv_error *err)
{
    sv_columns columns;
    int at[COLUMNS];
    held h = {NULL, NULL, 0, NULL, 0};
    char as = sv_as(words) == 'j' ? 'j' : 'v';
    sv_status s = sv_columns_make(&columns, keep, rows, reads, appends, at, err);
    if (!s && at[C_PARCEL] < 0) return run_flat(world, rows, at, &columns, as, work, stops, err);
    if (!s) s = hold_rows(rows, at, keep, &h, err);
    if (!s) s = join_parcels(&h, keep, err);
    if (!s) s = answer_held(world, &h, work, keep, err);
    if (!s) s = write_rows(&columns, as, &h, stops, err);
    return s;
}

static int run_table(const sv_words *words, const sv_world *world)
{
    sv_error err = {SV_OK, ""};
    sv_rows *rows = NULL;
    size_t stops = 0;
    int format = sv_has(words, "csv") ? 'c' : sv_has(words, "tsv") ? 't' : 0;
    sv_status s = sv_rows_open(sv_opt(words, "table"), format, &rows, &err);
    if (s) return sv_line_fail(&err);
    sv_arena *keep = sv_arena_new(), *work = sv_arena_new();
    s = keep && work ? run_held(words, world, rows, keep, work, &stops, &err)
                     : sv_fail(&err, SV_NO_MEMORY, "out of memory");
    sv_arena_free(keep);
    sv_arena_free(work);
    sv_rows_close(rows);
    if (s) return sv_line_fail(&err);
    return stops ? SV_EXIT_STOP : SV_EXIT_DONE;
}

static int run(const sv_words *words)
{
    int status;
    sv_world *world = sv_line_world(words, SV_OPEN_ATLAS | SV_OPEN_DUTY, &status);
    if (!world) return status;
    sv_stream job = {.reads = reads, .appends = appends, .answer = answer_one, .state = world};
    status = sv_has(words, "table") ? run_table(words, world) : sv_stream_run(words, &job);
    sv_world_close(world);
    return status;
}

static const sv_option options[] = {
    {"date", "DATE", "day whose rules count (default: today)"},
    {"from", "PLACE", "place of posting, ISO code"},
    {"destination", "PLACE", "ISO 3166-1 or 3166-2 code, XI, EU"},
    {"situation", "WORD", "sale (default), gift, return, sample"},
    {"parcel", "NAME", "rows of a table with the same name are one consignment"},
    {"currency", "CODE", "of the amounts (default: the destination's)"},
    {"goods", "AMOUNT", "price paid for the goods"},
    {"freight", "AMOUNT", "postage of the parcel"},
    {"insurance", "AMOUNT", "of the parcel"},
    {"fx_to_local", "RATE",
     "price of one unit of the currency in the destination's (default: a dated table)"},
    {"hs6", "CODE", "subheading, six digits or more"},
    {"made_in", "PLACE", "country where the goods were made"},
    {"duty_rate_pct", "PERCENT", "a duty rate of your own; with vat_rate_pct: arithmetic only"},
    {"vat_rate_pct", "PERCENT", "a tax rate of your own"},
    {"quantity", "NUMBER", "pieces"},
    {"net_weight_g", "GRAMS", "net weight, for duty by weight"},
    {"gender", "WORD", "boys, girls, baby: children's clothing can bear less tax"},
    {"service", "NAME", "the post (default); a name with \"courier\" in it is a courier"},
    {"scheme", "WORD", "scheme under which the tax is collected at the sale: IOSS, VOEC, ..."},
    {"sender_status", "WORD", "private or trader"},
    {"code", "CODE", "a longer code than hs6"},
    {NULL, NULL, NULL}};

const sv_command sv_command_duty = {
    .name = "duty",
    .summary = "what the border will charge, and who asks for it",
    .usage = "selvedge duty --destination PLACE --goods AMOUNT [OPTIONS]\nselvedge duty --table FILE",
    .about = "Estimates duty, tax and fees on a parcel of clothing by the rules that hold on its date, and "
             "says who "
             "collects them. An estimate, never a promise: each answer names its sources. With both rates "
             "given it is "
             "arithmetic only, by the value basis, order and rounding of the destination. Amounts in the "
             "answer are "
             "in the destination's currency.",
    .example =
        "selvedge duty --destination DE --from GB --currency EUR --goods 90 --freight 12 --hs6 620442\n"
        "selvedge duty --destination AU --goods 2000 --freight 150 --duty_rate_pct 5 --vat_rate_pct 10",
    .options = options,
    .run = run,
};
