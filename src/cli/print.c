/* print.c - findings and running text for a reader. */
#include <string.h>
#include <unistd.h>

#include "base/utf8.h"
#include "cli/cli.h"

#include <stdlib.h>

bool sv_colour(void)
{
    const char *no = getenv("NO_COLOR");
    return isatty(STDOUT_FILENO) && !(no && *no);
}

bool sv_flush(sv_buf *out)
{
    if (out->failed) return false;
    size_t done = out->length ? fwrite(out->data, 1, out->length, stdout) : 0;
    bool fine = done == out->length && fflush(stdout) == 0;
    sv_buf_reset(out);
    return fine;
}

void sv_put_wrapped(sv_buf *out, const char *text, int indent, int width)
{
    int column = 0;
    while (*text) {
        size_t n = strcspn(text, " \n");
        const char *word = text;
        text += n;
        int w = 0;
        for (size_t i = 0; i < n; i++)
            w += ((unsigned char)word[i] & 0xC0) != 0x80;
        if (column && column + 1 + w > width) {
            sv_put_char(out, '\n');
            column = 0;
        }
        if (column == 0 && n) {
            sv_put_format(out, "%*s", indent, "");
            column = indent;
        } else if (n) {
            sv_put_char(out, ' ');
            column++;
        }
        sv_put_n(out, word, n);
        column += w;
        if (*text == '\n') {
            sv_put_char(out, '\n');
            column = 0;
        }
        if (*text) text++;
    }
    if (column) sv_put_char(out, '\n');
}

static void print_finding(sv_buf *out, const sv_finding *f, bool colour)
{
    static const char *const paint[] = {"\033[36m", "\033[33m", "\033[1;31m"};
    if (colour) sv_put(out, paint[f->severity]);
    sv_put_format(out, "%s", sv_severity_word(f->severity));
    if (colour) sv_put(out, "\033[0m");
    sv_put(out, *f->place ? " at " : "");
    sv_put_format(out, "%s (%s)\n", f->place, sv_code_word(f->code));
    sv_put_wrapped(out, f->message, 2, 96);
    if (*f->remedy) sv_put_wrapped(out, f->remedy, 2, 96);
    if (!*f->source) return;
    sv_buf line;
    sv_buf_init(&line, 0);
    sv_put_format(&line, "Source: %s", f->source);
    if (*f->as_of) sv_put_format(&line, " (last checked %s)", f->as_of);
    sv_put_wrapped(out, line.data, 2, 96);
    sv_buf_free(&line);
}

void sv_print_findings(sv_buf *out, const sv_findings *findings, bool colour)
{
    static const sv_severity order[] = {SV_STOP, SV_CAUTION, SV_NOTE};
    for (size_t i = 0; i < 3; i++) {
        for (const sv_finding *f = findings->first; f; f = f->next) {
            if (f->severity == order[i]) print_finding(out, f, colour);
        }
    }
}

void sv_print_caution(sv_buf *out, const char *source, const char *as_of)
{
    sv_buf line;
    sv_buf_init(&line, 0);
    sv_put(&line, "No official answer: the customs office of destination and your postal operator decide.");
    if (*source) sv_put_format(&line, " Rests on: %s", source);
    if (*source && *as_of) sv_put_format(&line, " (last checked %s)", as_of);
    if (*source) sv_put_char(&line, '.');
    sv_put_wrapped(out, line.data, 0, 98);
    sv_buf_free(&line);
}
