/* findings.c - the table of codes and the lists of findings. */
#include <string.h>

#include "base/buf.h"

typedef struct code_row {
    const char *word;
    sv_severity severity;
    sv_blocks blocks;
    bool final;
    const char *sentence, *remedy;
} code_row;

static const code_row codes[SV_F_COUNT] = {
#define SV_CODE(name, word, severity, blocks, final, sentence, remedy)                                       \
    [name] = {word, severity, blocks, final, sentence, remedy},
#include "finding_rows.inc"
#undef SV_CODE
};

const char *sv_severity_word(sv_severity s)
{
    static const char *const words[] = {"note", "caution", "stop"};
    return words[s];
}

const char *sv_blocks_word(sv_blocks b)
{
    static const char *const words[] = {"nothing", "data", "declaration", "everything"};
    return words[b];
}

const char *sv_code_word(sv_code code)
{
    return codes[code].word;
}

bool sv_code_from_word(const char *word, sv_code *out)
{
    for (int i = 0; i < SV_F_COUNT; i++) {
        if (strcmp(codes[i].word, word) != 0) continue;
        *out = (sv_code)i;
        return true;
    }
    return false;
}

sv_findings sv_findings_in(sv_arena *arena)
{
    return (sv_findings){.arena = arena};
}

/* The sentence with {1} to {4} replaced. A placeholder without an argument becomes nothing. */
static const char *fill(sv_arena *arena, const char *sentence, const char *const args[])
{
    if (!strchr(sentence, '{')) return sentence;
    size_t given = 0;
    while (given < 4 && args && args[given])
        given++;
    sv_buf b;
    sv_buf_init(&b, 1 << 16);
    for (const char *p = sentence; *p; p++) {
        bool place = p[0] == '{' && p[1] >= '1' && p[1] <= '4' && p[2] == '}';
        if (!place) {
            sv_put_char(&b, *p);
            continue;
        }
        size_t n = (size_t)(p[1] - '1');
        if (n < given) sv_put(&b, args[n]);
        p += 2;
    }
    const char *text = sv_buf_copy(&b, arena);
    sv_buf_free(&b);
    return text;
}

static void count(sv_findings *list, sv_severity s, size_t step)
{
    size_t *counts[] = {&list->notes, &list->cautions, &list->stops};
    *counts[s] += step;
}

static void append(sv_findings *list, sv_finding *f)
{
    if (list->last) {
        list->last->next = f;
    } else {
        list->first = f;
    }
    list->last = f;
    count(list, f->severity, 1);
}

sv_finding *sv_find(sv_findings *list, sv_code code, const char *place, const char *const args[])
{
    sv_finding *f = SV_NEW(list->arena, sv_finding);
    if (!f) return NULL;
    const code_row *row = &codes[code];
    f->code = code;
    f->severity = row->severity;
    f->blocks = row->blocks;
    f->final = row->final;
    f->place = sv_copy(list->arena, place);
    f->message = fill(list->arena, row->sentence, args);
    f->remedy = fill(list->arena, row->remedy, args);
    f->source = f->as_of = "";
    append(list, f);
    return f;
}

void sv_finding_source(sv_finding *f, const char *source, const char *as_of)
{
    if (!f) return;
    f->source = source ? source : "";
    f->as_of = as_of ? as_of : "";
}

void sv_finding_severity(sv_findings *list, sv_finding *f, sv_severity severity)
{
    if (!f) return;
    count(list, f->severity, (size_t)-1);
    f->severity = severity;
    count(list, severity, 1);
}

void sv_findings_move(sv_findings *to, const sv_findings *from, const char *prefix)
{
    for (const sv_finding *f = from->first; f; f = f->next) {
        sv_finding *copy = SV_NEW(to->arena, sv_finding);
        if (!copy) return;
        *copy = *f;
        copy->next = NULL;
        const char *dot = *prefix && *f->place ? "." : "";
        copy->place = sv_format(to->arena, "%s%s%s", prefix, dot, f->place);
        if (to->arena != from->arena) {
            copy->message = sv_copy(to->arena, f->message);
            copy->remedy = sv_copy(to->arena, f->remedy);
            copy->source = sv_copy(to->arena, f->source);
            copy->as_of = sv_copy(to->arena, f->as_of);
        }
        append(to, copy);
    }
}
