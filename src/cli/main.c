/* main.c - the list of commands. */
#include <string.h>

#include "cli/cli.h"
#include "cli/line.h"

/* Each command is in cmd_NAME.c; the order is that of the work. */
#define COMMANDS(X) X(check) X(papers) X(address) X(heading) X(describe) X(border) X(duty) X(number) X(data)

#define DECLARE(name) extern const sv_command sv_command_##name;
COMMANDS(DECLARE)

#define LIST(name) &sv_command_##name,
static const sv_command *const commands[] = {COMMANDS(LIST) NULL};

static void print_commands(FILE *to)
{
    fputs("Readies a garment parcel for the border of a country: address, heading, forms, papers.\n\n"
          "usage: selvedge COMMAND [OPTIONS] [FILE...]\n\n",
          to);
    for (size_t i = 0; commands[i]; i++)
        fprintf(to, "  %-10s %s\n", commands[i]->name, commands[i]->summary);
    fputs("\n`selvedge COMMAND --help` explains one and shows an example.\n"
          "Nothing here replaces the customs authority or your postal operator; their rules win.\n",
          to);
}

static const sv_command *find(const char *name)
{
    for (size_t i = 0; commands[i]; i++) {
        if (strcmp(commands[i]->name, name) == 0) return commands[i];
    }
    return NULL;
}

int main(int argc, char **argv)
{
    if (argc < 2) {
        print_commands(stderr);
        return SV_EXIT_USAGE;
    }
    if (strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "help") == 0) {
        const sv_command *one = argc > 2 ? find(argv[2]) : NULL;
        if (one) {
            sv_print_help(one, stdout);
        } else {
            print_commands(stdout);
        }
        return SV_EXIT_DONE;
    }
    if (strcmp(argv[1], "--version") == 0) {
        printf("selvedge %s\n", sv_version());
        return SV_EXIT_DONE;
    }
    const sv_command *command = find(argv[1]);
    if (!command) {
        fprintf(stderr, "selvedge: there is no command \"%s\"; `selvedge --help` lists them\n", argv[1]);
        return SV_EXIT_USAGE;
    }
    return sv_line_run(command, argc - 2, argv + 2);
}
