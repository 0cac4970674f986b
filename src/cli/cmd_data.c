/* cmd_data.c - what the tool rests on: its tables, their ages and sources; validates a user's table. */
#include <string.h>

#include "base/files.h"
#include "cli/cli.h"

#define LARGEST ((size_t)16 << 20)

static size_t users_rows(const sv_table *t)
{
    size_t n = 0;
    for (size_t i = 0; t->users && i < t->rows; i++)
        n += t->users[i];
    return n;
}

static void print_tables(const sv_world *w, char as, sv_buf *out)
{
    if (as == 'j') sv_put(out, "[");
    if (as == 'v') sv_put(out, "table\trows\toldest\tnewest\tfrom_memory\tyour_rows\n");
    if (as == 't')
        sv_put_format(out, "%-28s %7s  %-10s  %-10s  %11s  %9s\n", "table", "rows", "oldest", "newest",
                      "from memory", "your rows");
    for (size_t i = 0; i < w->tables; i++) {
        const sv_table *t = &w->table[i];
        static const char *const form[] = {"%-28s %7zu  %-10s  %-10s  %11zu  %9zu\n",
                                           "%s\t%zu\t%s\t%s\t%zu\t%zu\n",
                                           "%s{\"table\": \"%s\", \"rows\": %zu, \"oldest\": \"%s\", "
                                           "\"newest\": \"%s\", \"from_memory\": %zu, \"your_rows\": %zu}"};
        if (as == 'j') {
            sv_put_format(out, form[2], i ? ",\n" : "\n", t->name, t->rows, t->oldest, t->newest,
                          t->from_memory, users_rows(t));
        } else if (as == 'v') {
            sv_put_format(out, form[1], t->name, t->rows, t->oldest, t->newest, t->from_memory,
                          users_rows(t));
        } else {
            sv_put_format(out, form[0], t->name, t->rows, t->oldest, t->newest, t->from_memory,
                          users_rows(t));
        }
    }
    if (as == 'j') sv_put(out, "\n]\n");
}

static void print_sources(const sv_world *w, sv_buf *out)
{
    sv_put(out, "table\tkey\tsource\tas_of\n");
    for (size_t i = 0; i < w->tables; i++) {
        const sv_table *t = &w->table[i];
        int source = sv_table_column(t, "source"), as_of = sv_table_column(t, "as_of");
        for (size_t r = 0; r < t->rows; r++) {
            sv_put_format(out, "%s\t", t->name);
            sv_put_tsv(out, sv_cell(t, r, 0));
            sv_put_char(out, '\t');
            sv_put_tsv(out, sv_cell(t, r, source));
            sv_put_format(out, "\t%s\n", sv_cell(t, r, as_of));
        }
    }
}

static void print_licences(const sv_world *w, sv_buf *out)
{
    const sv_table *t = sv_world_table(w, "papers/licences");
    for (size_t i = 0; t && i < t->rows; i++) {
        sv_put_format(out, "%s (%s)\n", sv_cell(t, i, sv_table_column(t, "name")),
                      sv_cell(t, i, sv_table_column(t, "licence")));
        sv_put_wrapped(out, sv_cell(t, i, sv_table_column(t, "what")), 2, 96);
    }
}

/* The table a file would lie over: ROOM/NAME.tsv by the end of its path, or by NAME alone where one table is
 * called so. */
static const sv_table *table_for(const sv_world *w, const char *path)
{
    size_t n = strlen(path);
    if (n < 4 || strcmp(path + n - 4, ".tsv") != 0) return NULL;
    n -= 4;
    const sv_table *found = NULL;
    for (size_t i = 0; i < w->tables; i++) {
        const char *name = w->table[i].name, *base = strrchr(name, '/') + 1;
        size_t whole = strlen(name), last = strlen(base);
        if (n >= whole && strncmp(path + n - whole, name, whole) == 0) return &w->table[i];
        bool alone = n >= last && strncmp(path + n - last, base, last) == 0 &&
                     (n == last || path[n - last - 1] == '/');
        if (alone) found = &w->table[i];
    }
    return found;
}

static int validate(const sv_words *words, const sv_world *w, const char *path)
{
    sv_error err = {SV_OK, ""};
    const sv_table *ours = table_for(w, path);
    if (!ours)
        return sv_line_usage(
            words, "%s: no table is called so; name the file ROOM/NAME.tsv as `selvedge data` lists them",
            path);
    sv_arena *arena = sv_arena_new();
    if (!arena) return SV_EXIT_SYSTEM;
    const char *text;
    size_t bytes;
    sv_table mine, copy = *ours;
    sv_status s = sv_file_read(arena, path, LARGEST, &text, &bytes, &err);
    if (!s) s = sv_table_read(arena, ours->name, path, text, bytes, false, &mine, &err);
    if (!s) s = sv_table_override(arena, &copy, &mine, path, &err);
    int status = s ? sv_line_fail(&err) : SV_EXIT_DONE;
    if (!s)
        printf("%s: fine; %zu rows for the table %s, which then has %zu rows\n", path, mine.rows, ours->name,
               copy.rows);
    sv_arena_free(arena);
    return status;
}

static int run(const sv_words *words)
{
    int status;
    sv_world *w = sv_line_world(words, 0, &status);
    if (!w) return status;
    sv_buf out;
    sv_buf_init(&out, 0);
    if (sv_has(words, "validate")) {
        status = validate(words, w, sv_opt(words, "validate"));
    } else if (sv_has(words, "licences")) {
        print_licences(w, &out);
    } else if (sv_has(words, "sources")) {
        print_sources(w, &out);
    } else {
        print_tables(w, sv_as(words), &out);
        if (sv_as(words) == 't') {
            sv_put(&out, "\nDates say when a row's source was last read; what is from memory was read in no "
                         "source and weighs less.\n");
            sv_print_caution(&out, "", "");
        }
    }
    if (!sv_flush(&out)) status = SV_EXIT_SYSTEM;
    sv_buf_free(&out);
    sv_world_close(w);
    return status;
}

static const sv_option options[] = {
    {"validate", "FILE", "read FILE as a table of yours and say what is wrong with it, by line and column"},
    {"sources", NULL, "every row's key with its source and date, as TSV"},
    {"licences", NULL, "the licences of what the tool is made from"},
    {NULL, NULL, NULL}};

const sv_command sv_command_data = {
    .name = "data",
    .summary = "what the tool rests on: tables, sources, dates, ages",
    .usage = "selvedge data [OPTIONS]",
    .about = "Lists the tables behind the answers: how many rows, from when, how many from memory, how many "
             "are yours.\n"
             "Your own tables lie in $XDG_DATA_HOME/selvedge/data or --data DIR, as ROOM/NAME.tsv: a row "
             "with a key of ours\n"
             "replaces ours, a key with a hyphen before it takes ours away.",
    .example = "  selvedge data --sources | grep '^atlas/'",
    .options = options,
    .run = run,
};
