/* papers.h - what the papers room opens. */
#ifndef SV_PAPERS_H
#define SV_PAPERS_H

#include "base/world.h"

/* Loads the tables papers/captions, papers/fonts, papers/statements. Fonts and templates are opened by a
 * press, when first used. */
SV_MUST_USE sv_status sv_papers_open(sv_world *world, sv_error *err);

/* The names of all files that papers can ever be, by index; NULL after the last. */
const char *sv_paper_name(size_t index);

#endif
