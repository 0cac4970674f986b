/* parcels.c - walks the parcels of the files on a command line. */
#include "cli/parcels.h"

#include <string.h>
#include <unistd.h>

#include "base/cells.h"
#include "papers/ubl.h"

typedef struct walk {
    const sv_words *words;
    sv_world *world;
    sv_press *press;
    sv_arena *arena;
    sv_prepare_options options;
    const sv_parcel_walk *calls;
    sv_references *references; /* of the run */
    size_t stopped;
} walk;

/* --profiles, else the folder `profiles` beside the file, when it is there. */
static const char *profiles_for(const walk *w, const char *path, char out[4096])
{
    if (sv_has(w->words, "profiles")) return sv_opt(w->words, "profiles");
    const char *slash = strrchr(path, '/');
    int folder = slash ? (int)(slash - path) : 1;
    snprintf(out, 4096, "%.*s/profiles", folder, slash ? path : ".");
    return access(out, R_OK) == 0 ? out : NULL;
}

static sv_status walk_document(walk *w, const char *path, sv_error *err)
{
    bool stopped = false;
    sv_arena_reset(w->arena);
    sv_status s = w->calls->document(w->calls->state, w->world, w->arena, path, &stopped, err);
    w->stopped += stopped;
    return s;
}

static sv_status walk_file(walk *w, const char *path, sv_error *err)
{
    char folder[4096];
    sv_ubl_kind kind;
    if (w->calls->document && sv_ubl_kind_of_file(path, &kind)) return walk_document(w, path, err);
    sv_reading how = {.profiles = profiles_for(w, path, folder),
                      .references = w->references,
                      .format = sv_has(w->words, "csv")   ? 'c'
                                : sv_has(w->words, "tsv") ? 't'
                                                          : 0};
    sv_parcels *parcels = NULL;
    sv_status s = sv_parcels_open(w->world, path, &how, &parcels, err);
    while (!s) {
        const sv_parcel *parcel;
        sv_dossier *d;
        sv_arena_reset(w->arena);
        s = sv_parcels_next(parcels, w->arena, &parcel, err);
        if (s || !parcel) break;
        s = sv_prepare(w->world, w->press, w->arena, parcel, &w->options, &d, err);
        if (!s) s = w->calls->each(w->calls->state, d, err);
        if (!s) w->stopped += d->stopped;
    }
    sv_parcels_close(parcels);
    return s;
}

static int walk_files(walk *w)
{
    int status = SV_EXIT_DONE;
    for (size_t i = 0; i < w->words->files; i++) {
        sv_error err = {SV_OK, ""};
        if (walk_file(w, w->words->file[i], &err) == SV_OK) continue;
        int failed = sv_line_fail(&err);
        if (failed > status) status = failed;
        if (err.status == SV_NO_MEMORY) break;
    }
    sv_error err = {SV_OK, ""};
    if (w->calls->last && w->calls->last(w->calls->state, &err) != SV_OK) {
        int failed = sv_line_fail(&err);
        if (failed > status) status = failed;
    }
    if (status == SV_EXIT_DONE && w->stopped) status = SV_EXIT_STOP;
    return status;
}

int sv_each_parcel(const sv_words *words, const sv_parcel_walk *calls)
{
    if (words->files == 0)
        return sv_line_usage(words, "which file? Give an orders table (CSV, TSV) or a parcel XML");
    if (sv_has(words, "date") && !sv_is_date(sv_opt(words, "date")))
        return sv_line_usage(words, "--date %s is not a day; write it like 2026-11-25",
                             sv_opt(words, "date"));
    if (sv_has(words, "override") && !*sv_opt(words, "override"))
        return sv_line_usage(words, "--override wants a reason");
    int status;
    walk w = {.words = words, .calls = calls};
    w.world = sv_line_world(words, 0, &status);
    if (!w.world) return status;
    w.press = sv_press_new(w.world);
    w.arena = sv_arena_new();
    w.references = sv_references_new();
    w.options.date = sv_has(words, "date") ? sv_opt(words, "date") : NULL;
    w.options.override_reason = sv_opt(words, "override");
    if (w.press && w.arena && w.references) {
        status = walk_files(&w);
    } else {
        sv_error err;
        sv_fail(&err, SV_NO_MEMORY, "out of memory");
        status = sv_line_fail(&err);
    }
    sv_press_free(w.press);
    sv_arena_free(w.arena);
    sv_references_free(w.references);
    sv_world_close(w.world);
    return status;
}
