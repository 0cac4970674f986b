/* stream.c - rows in, the same rows with our columns out. */
#include "cli/stream.h"

#include <string.h>

#define FLUSH_AT ((size_t)64 << 10)

static size_t count(const char *const *names)
{
    size_t n = 0;
    while (names[n])
        n++;
    return n;
}

static bool among(const char *name, const char *const *names)
{
    for (; *names; names++) {
        if (strcmp(name, *names) == 0) return true;
    }
    return false;
}

sv_status sv_columns_make(sv_columns *c, sv_arena *arena, const sv_rows *rows, const char *const *reads,
                          const char *const *appends, int at[], sv_error *err)
{
    size_t inputs = sv_rows_columns(rows), ours = count(appends);
    if (inputs + ours > SV_MOST_NAMES)
        return sv_fail(err, SV_LIMIT, "%s:1: more than %zu columns", sv_rows_name(rows),
                       SV_MOST_NAMES - ours);
    c->inputs = inputs;
    c->all = inputs + ours;
    for (size_t i = 0; i < inputs; i++) {
        const char *name = sv_rows_column(rows, i);
        c->name[i] = among(name, appends) ? sv_format(arena, "given_%s", name) : name;
    }
    for (size_t i = 0; i < ours; i++)
        c->name[inputs + i] = appends[i];
    for (size_t i = 0; reads[i]; i++)
        at[i] = sv_rows_find(rows, reads[i]);
    return SV_OK;
}

void sv_columns_head(const sv_columns *c, char as, sv_buf *out)
{
    if (as == 'j') {
        sv_put(out, "[\n");
        return;
    }
    for (size_t i = 0; i < c->all; i++) {
        if (i) sv_put_char(out, '\t');
        sv_put_tsv(out, c->name[i]);
    }
    sv_put_char(out, '\n');
}

static void put_codes(sv_buf *out, const sv_findings *list)
{
    for (const sv_finding *f = list->first; f; f = f->next)
        sv_put_format(out, "%s%s:%s", f == list->first ? "" : " ", sv_severity_word(f->severity),
                      sv_code_word(f->code));
}

static void put_pair(sv_buf *out, const char *name, const char *value, const char *end)
{
    sv_put_json(out, name);
    sv_put(out, ": ");
    sv_put_json(out, value);
    sv_put(out, end);
}

static void put_findings_json(sv_buf *out, const sv_findings *list)
{
    sv_put(out, "[");
    for (const sv_finding *f = list->first; f; f = f->next) {
        sv_put(out, f == list->first ? "\n    {" : ",\n    {");
        put_pair(out, "severity", sv_severity_word(f->severity), ", ");
        put_pair(out, "code", sv_code_word(f->code), ", ");
        put_pair(out, "blocks", sv_blocks_word(f->blocks), ", ");
        put_pair(out, "place", f->place, ", ");
        put_pair(out, "message", f->message, ", ");
        put_pair(out, "remedy", f->remedy, ", ");
        put_pair(out, "source", f->source, ", ");
        put_pair(out, "as_of", f->as_of, "}");
    }
    sv_put(out, list->first ? "\n  ]" : "]");
}

static const char *own(const sv_answer *a, size_t i)
{
    return a->value ? a->value[i] : "";
}

static void put_row_json(const sv_columns *c, const char *const input[], const sv_answer *a, sv_buf *out)
{
    sv_put(out, "  {");
    for (size_t i = 0; i < c->all; i++) {
        sv_put(out, i ? ",\n   " : "");
        sv_put_json(out, c->name[i]);
        sv_put(out, ": ");
        if (i >= c->inputs && strcmp(c->name[i], "findings") == 0) {
            put_findings_json(out, &a->findings);
        } else {
            sv_put_json(out, i < c->inputs ? input[i] : own(a, i - c->inputs));
        }
    }
    sv_put(out, "}");
}

void sv_columns_row(const sv_columns *c, char as, const char *const input[], const sv_answer *a, bool first,
                    sv_buf *out)
{
    if (as == 'j') {
        if (!first) sv_put(out, ",\n");
        put_row_json(c, input, a, out);
        return;
    }
    for (size_t i = 0; i < c->all; i++) {
        if (i) sv_put_char(out, '\t');
        if (i < c->inputs) {
            sv_put_tsv(out, input[i]);
        } else if (strcmp(c->name[i], "findings") == 0) {
            put_codes(out, &a->findings);
        } else {
            sv_put_tsv(out, own(a, i - c->inputs));
        }
    }
    sv_put_char(out, '\n');
}

void sv_columns_foot(char as, bool any, sv_buf *out)
{
    if (as == 'j') sv_put(out, any ? "\n]\n" : "]\n");
}

void sv_answer_clear(sv_answer *a, sv_arena *arena, const char *const *appends)
{
    size_t n = count(appends);
    *a = (sv_answer){.findings = sv_findings_in(arena)};
    a->value = (const char **)sv_alloc_array(arena, n + 1, sizeof(char *));
    for (size_t i = 0; a->value && i < n; i++)
        a->value[i] = "";
}

bool sv_answer_stops(const sv_answer *a)
{
    return a->bad || a->findings.stops > 0;
}

static sv_status answer(const sv_stream *job, sv_arena *arena, const char *const cell[], sv_answer *a,
                        sv_error *err)
{
    sv_answer_clear(a, arena, job->appends);
    if (!a->value) {
        sv_fail(err, SV_NO_MEMORY, "out of memory");
        return SV_NO_MEMORY;
    }
    sv_status s = job->answer(job->state, arena, cell, a, err);
    if (!s && sv_arena_failed(arena)) s = sv_fail(err, SV_NO_MEMORY, "out of memory");
    return s;
}

static sv_status refused(sv_error *err)
{
    return sv_fail(err, SV_SYSTEM, "standard output cannot be written");
}

/* All rows of an open table. *stops counts the rows with a stop. */
static sv_status run_rows(const sv_stream *job, sv_rows *rows, char as, sv_arena *names, sv_arena *arena,
                          sv_buf *out, size_t *stops, sv_error *err)
{
    sv_columns columns = {.inputs = 0};
    int at[SV_MOST_NAMES] = {0};
    const char *cell[SV_MOST_NAMES];
    sv_status s = sv_columns_make(&columns, names, rows, job->reads, job->appends, at, err);
    if (s) return s;
    sv_columns_head(&columns, as, out);
    for (bool first = true;; first = false) {
        const char *const *input;
        size_t line;
        sv_answer a = {0};
        sv_arena_reset(arena);
        s = sv_rows_next(rows, arena, &input, &line, err);
        if (s || !input) {
            if (!s) sv_columns_foot(as, !first, out);
            if (!sv_flush(out) && !s) s = refused(err);
            return s;
        }
        for (size_t i = 0; job->reads[i]; i++)
            cell[i] = at[i] < 0 ? "" : input[at[i]];
        s = answer(job, arena, cell, &a, err);
        if (s) return s;
        *stops += sv_answer_stops(&a);
        sv_columns_row(&columns, as, input, &a, first, out);
        if (out->length > FLUSH_AT && !sv_flush(out)) return refused(err);
    }
}

static int run_table(const sv_words *line, const sv_stream *job)
{
    sv_error err = {SV_OK, ""};
    sv_rows *rows = NULL;
    int format = sv_has(line, "csv") ? 'c' : sv_has(line, "tsv") ? 't' : 0;
    sv_status s = sv_rows_open(sv_opt(line, "table"), format, &rows, &err);
    if (s) return sv_line_fail(&err);
    sv_arena *names = sv_arena_new(), *arena = sv_arena_new();
    sv_buf out;
    sv_buf_init(&out, 0);
    size_t stops = 0;
    char as = sv_as(line) == 'j' ? 'j' : 'v';
    if (names && arena) {
        s = run_rows(job, rows, as, names, arena, &out, &stops, &err);
    } else {
        s = sv_fail(&err, SV_NO_MEMORY, "out of memory");
    }
    sv_buf_free(&out);
    sv_arena_free(names);
    sv_arena_free(arena);
    sv_rows_close(rows);
    if (s) return sv_line_fail(&err);
    return stops ? SV_EXIT_STOP : SV_EXIT_DONE;
}

static void print_values(const sv_stream *job, const sv_answer *a, sv_buf *out)
{
    for (size_t i = 0; job->appends[i]; i++) {
        if (strcmp(job->appends[i], "findings") == 0 || !*own(a, i)) continue;
        sv_put_format(out, "%s: %s\n", job->appends[i], own(a, i));
    }
    sv_print_findings(out, &a->findings, sv_colour());
}

static void print_one(const sv_words *line, const sv_stream *job, const sv_answer *a, sv_buf *out)
{
    char as = sv_as(line);
    if (as == 't' || as == 'x') {
        if (a->text) {
            sv_put(out, a->text);
        } else {
            print_values(job, a, out);
        }
        return;
    }
    sv_columns c = {.inputs = 0};
    for (size_t i = 0; job->appends[i]; i++)
        c.name[c.all++] = job->appends[i];
    if (as == 'j') {
        put_row_json(&c, NULL, a, out);
        sv_put_char(out, '\n');
        return;
    }
    sv_columns_head(&c, as, out);
    sv_columns_row(&c, as, NULL, a, true, out);
}

static int run_one(const sv_words *line, const sv_stream *job)
{
    const char *cell[SV_MOST_NAMES];
    bool any = false;
    for (size_t i = 0; job->reads[i]; i++) {
        cell[i] = sv_opt(line, job->reads[i]);
        any = any || *cell[i];
    }
    if (!any) return sv_line_usage(line, "nothing was asked: give options, or --table FILE");
    if (line->files)
        return sv_line_usage(line, "\"%s\" stands alone: give it with an option, or a file with --table",
                             line->file[0]);
    sv_error err = {SV_OK, ""};
    sv_arena *arena = sv_arena_new();
    sv_buf out;
    sv_buf_init(&out, 0);
    sv_answer a = {0};
    sv_status s = arena ? answer(job, arena, cell, &a, &err) : sv_fail(&err, SV_NO_MEMORY, "out of memory");
    int status = SV_EXIT_DONE;
    if (!s) {
        print_one(line, job, &a, &out);
        status = sv_answer_stops(&a) ? SV_EXIT_STOP : SV_EXIT_DONE;
        if (!sv_flush(&out)) s = refused(&err);
    }
    if (s) status = sv_line_fail(&err);
    sv_buf_free(&out);
    sv_arena_free(arena);
    return status;
}

int sv_stream_run(const sv_words *line, const sv_stream *job)
{
    return sv_has(line, "table") ? run_table(line, job) : run_one(line, job);
}
