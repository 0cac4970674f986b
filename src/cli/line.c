/* line.c - reading a command line against a command's table of options. */
#include "cli/line.h"

#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

static const sv_option common[] = {
    {"table", "FILE", "answer many questions: one a row of this CSV or TSV file (- is standard input)"},
    {"as", "FORMAT", "text (default), tsv or json; documents also xml"},
    {"csv", NULL, "the input is CSV, whatever its first line looks like"},
    {"tsv", NULL, "the input is TSV, whatever its first line looks like"},
    {"data", "DIR", "folder of your own data tables, laid over the built-in ones"},
    {"help", NULL, "this text"},
    {NULL, NULL, NULL}};

/* The option at a place in the line's list: the command's own first, then the common ones. */
static const sv_option *option_at(const sv_command *c, size_t index)
{
    size_t own = 0;
    while (c->options && c->options[own].name)
        own++;
    return index < own ? &c->options[index] : &common[index - own];
}

/* The option of a column has the column's name, with a hyphen for each underscore: --made-in for made_in. */
static bool same_name(const char *option, const char *name, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        char a = option[i] == '_' ? '-' : option[i], b = name[i] == '_' ? '-' : name[i];
        if (a != b || !a) return false;
    }
    return !option[length];
}

static size_t option_index(const sv_command *c, const char *name, size_t length)
{
    for (size_t i = 0; i < SV_MOST_OPTIONS; i++) {
        const sv_option *o = option_at(c, i);
        if (!o->name) break;
        if (same_name(o->name, name, length)) return i;
    }
    return SIZE_MAX;
}

static void print_options(const sv_option *o, FILE *to)
{
    for (; o && o->name; o++) {
        char left[64];
        int name = snprintf(left, sizeof left, "--%s", o->name);
        for (int i = 2; i < name; i++) {
            if (left[i] == '_') left[i] = '-'; /* a column's name, as an option: --made-in */
        }
        snprintf(left + name, sizeof left - (size_t)name, "%s%s", o->value ? " " : "",
                 o->value ? o->value : "");
        fprintf(to, "  %-28s %s\n", left, o->help);
    }
}

void sv_print_help(const sv_command *c, FILE *to)
{
    fprintf(to, "%s\n\nusage: %s\n\n%s\n\noptions:\n", c->summary, c->usage, c->about);
    print_options(c->options, to);
    print_options(common, to);
    fprintf(to, "\nexample:\n%s\n", c->example);
}

const char *sv_opt(const sv_words *line, const char *name)
{
    size_t i = option_index(line->command, name, strlen(name));
    return i != SIZE_MAX && line->given[i] ? line->given[i] : "";
}

bool sv_has(const sv_words *line, const char *name)
{
    size_t i = option_index(line->command, name, strlen(name));
    return i != SIZE_MAX && line->given[i];
}

int sv_line_usage(const sv_words *line, const char *format, ...)
{
    va_list args;
    va_start(args, format);
    fprintf(stderr, "selvedge %s: ", line->command->name);
    vfprintf(stderr, format, args);
    fprintf(stderr, "\n`selvedge %s --help` explains the options\n", line->command->name);
    va_end(args);
    return SV_EXIT_USAGE;
}

int sv_exit_of(sv_status status)
{
    switch (status) {
    case SV_OK: return SV_EXIT_DONE;
    case SV_USAGE: return SV_EXIT_USAGE;
    case SV_BAD_FORMAT:
    case SV_LIMIT: return SV_EXIT_FORMAT;
    case SV_NO_MEMORY:
    case SV_SYSTEM: break;
    }
    return SV_EXIT_SYSTEM;
}

int sv_line_fail(const sv_error *err)
{
    fprintf(stderr, "selvedge: %s\n", err->text);
    return sv_exit_of(err->status);
}

/* One option at word[*at]; moves *at over its value. False after saying what is wrong. */
static bool read_option(sv_words *line, int words, char **word, int *at)
{
    const char *name = word[*at] + 2;
    size_t length = strcspn(name, "=");
    size_t i = option_index(line->command, name, length);
    if (i == SIZE_MAX) {
        sv_line_usage(line, "there is no option --%.*s", (int)length, name);
        return false;
    }
    const sv_option *o = option_at(line->command, i);
    if (!o->value) {
        line->given[i] = "yes";
        return true;
    }
    if (name[length] == '=') {
        line->given[i] = name + length + 1;
        return true;
    }
    if (*at + 1 >= words) {
        sv_line_usage(line, "--%s wants %s after it", o->name, o->value);
        return false;
    }
    line->given[i] = word[++*at];
    return true;
}

static bool as_is_known(const char *as)
{
    static const char *const known[] = {"", "text", "tsv", "json", "xml"};
    for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
        if (strcmp(as, known[i]) == 0) return true;
    }
    return false;
}

int sv_line_run(const sv_command *command, int words, char **word)
{
    sv_words line = {.command = command};
    line.file = calloc((size_t)words + 1, sizeof *line.file);
    if (!line.file) return SV_EXIT_SYSTEM;
    bool options = true, fine = true;
    for (int i = 0; fine && i < words; i++) {
        if (options && strcmp(word[i], "--") == 0) {
            options = false;
        } else if (options && strncmp(word[i], "--", 2) == 0) {
            fine = read_option(&line, words, word, &i);
        } else if (options && word[i][0] == '-' && word[i][1]) {
            fine = false;
            sv_line_usage(&line, "there is no option %s; options begin with two hyphens", word[i]);
        } else {
            line.file[line.files++] = word[i];
        }
    }
    int status = SV_EXIT_USAGE;
    if (fine && sv_has(&line, "help")) {
        sv_print_help(command, stdout);
        status = SV_EXIT_DONE;
    } else if (fine && !as_is_known(sv_opt(&line, "as"))) {
        sv_line_usage(&line, "--as %s is not known; text, tsv, json or xml are", sv_opt(&line, "as"));
    } else if (fine) {
        status = command->run(&line);
    }
    free(line.file);
    return status;
}

char sv_as(const sv_words *line)
{
    const char *as = sv_opt(line, "as");
    return strcmp(as, "tsv") == 0 ? 'v' : strcmp(as, "json") == 0 ? 'j' : strcmp(as, "xml") == 0 ? 'x' : 't';
}

const char *sv_today(char out[11])
{
    time_t now = time(NULL);
    struct tm day;
    localtime_r(&now, &day);
    strftime(out, 11, "%Y-%m-%d", &day);
    return out;
}

/* --data, else the user's data folder of the desktop standard (XDG base directories), when it is there. */
static const char *data_folder(const sv_words *line, char out[4096])
{
    if (sv_has(line, "data")) return sv_opt(line, "data");
    const char *base = getenv("XDG_DATA_HOME"), *home = getenv("HOME");
    if (base && *base) {
        snprintf(out, 4096, "%s/selvedge/data", base);
    } else {
        snprintf(out, 4096, "%s/.local/share/selvedge/data", home ? home : "");
    }
    return access(out, R_OK) == 0 ? out : "";
}

sv_world *sv_line_world(const sv_words *line, unsigned rooms, int *exit_status)
{
    char folder[4096], day[11];
    sv_world_options options = {
        .data_dir = data_folder(line, folder), .today = sv_today(day), .rooms = rooms};
    sv_error err = {SV_OK, ""};
    struct stat st;
    sv_world *world = NULL;
    sv_status s;
    if (*options.data_dir && (stat(options.data_dir, &st) != 0 || !S_ISDIR(st.st_mode))) {
        s = sv_fail(&err, SV_SYSTEM, "%s: no such folder of data tables", options.data_dir);
    } else {
        s = sv_world_open(&options, &world, &err);
    }
    *exit_status = s ? sv_line_fail(&err) : SV_EXIT_DONE;
    return world;
}
