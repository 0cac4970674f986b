/* materials.c - what the fibres and materials of the parts make of the piece: leather, fur, uppers, soles,
 * outsides. */
#include "garment/reader.h"

#include <string.h>

/* ---- from the label to the parts of the facts ---- */

static void add_part(sv_reader *r, const sv_label_part *p, sv_from from)
{
    if (r->out->parts == SV_PARTS_MAX) return;
    sv_fibre *fibre = SV_NEW_ARRAY(r->arena, p->count, sv_fibre);
    if (!fibre) return;
    for (size_t i = 0; i < p->count; i++) {
        const sv_label_fibre *f = &p->fibre[i];
        fibre[i].key = r->lex->fibre[f->fibre].key;
        fibre[i].rest = f->rest;
        if (f->milli >= 0) fibre[i].percent = SV_DEC(f->milli, 3);
    }
    r->out->part[r->out->parts++] = (sv_fibre_part){sv_part_word(p->part), fibre, p->count, (uint8_t)from};
}

static const sv_label_part *part_of(const sv_label *l, sv_part part)
{
    for (size_t i = 0; i < l->parts; i++) {
        if (l->part[i].part == part) return &l->part[i];
    }
    return NULL;
}

/* The chief material of a part, NULL when the part is not there. */
static const sv_fibre_row *chief(const sv_reader *r, sv_part part)
{
    const sv_label_part *p = part_of(&r->label, part);
    return p ? &r->lex->fibre[p->fibre[0].fibre] : NULL;
}

static bool group_is(const sv_fibre_row *f, const char *group)
{
    return f && strcmp(f->group, group) == 0;
}

/* ---- what they make of the piece ---- */

enum {
    SCOPE_LEG = 1 << 5,
    SCOPE_FOOT = 1 << 6,
    SCOPE_HAND = 1 << 7,
    SCOPE_BAG = 1 << 11,
    SCOPE_TRINKET = 1 << 13
};

static void of_shoe(sv_reader *r, sv_from from)
{
    const sv_fibre_row *shell = r->upper_named ? NULL : chief(r, SV_PART_SHELL);
    if (shell) sv_set(r, SV_FACT_UPPER, shell->upper, from, shell->key);
}

static void of_bag(sv_reader *r, sv_from from)
{
    const sv_fibre_row *f = chief(r, SV_PART_SHELL);
    if (!f) return;
    sv_set(r, SV_FACT_OUTER_SURFACE, f->outside, from, f->key);
}

static void of_glove(sv_reader *r, sv_from from)
{
    const sv_fibre_row *palm = chief(r, SV_PART_PALM), *shell = chief(r, SV_PART_SHELL);
    if (palm) sv_set(r, SV_FACT_PALM, palm->palm, from, palm->key);
    if (!palm && group_is(shell, "leather")) sv_set(r, SV_FACT_PALM, SV_PALM_LEATHER, from, shell->key);
}

static void of_leather(sv_reader *r, sv_from from)
{
    const sv_fibre_row *shell = chief(r, SV_PART_SHELL);
    if (group_is(shell, "leather")) {
        const sv_label_part *p = part_of(&r->label, SV_PART_SHELL);
        sv_set(r, SV_FACT_LEATHER_SHARE, p->count == 1 ? SV_LEATHER_SHARE_MOST : SV_LEATHER_SHARE_PART, from,
               shell->key);
        sv_set(r, SV_FACT_LEATHER_KIND, SV_LEATHER_KIND_REAL, from, shell->key);
    }
    if (group_is(shell, "imitation-leather"))
        sv_set(r, SV_FACT_LEATHER_KIND, SV_LEATHER_KIND_IMITATION, from, shell->key);
    static const sv_part small[] = {SV_PART_TRIM, SV_PART_COLLAR, SV_PART_RIB};
    for (size_t i = 0; i < sizeof small / sizeof *small; i++) {
        if (group_is(chief(r, small[i]), "leather"))
            sv_set(r, SV_FACT_LEATHER_SHARE, SV_LEATHER_SHARE_TRIM, from, "leather");
    }
    static const sv_part large[] = {SV_PART_SLEEVES, SV_PART_FRONT, SV_PART_BACK};
    for (size_t i = 0; i < sizeof large / sizeof *large; i++) {
        if (group_is(chief(r, large[i]), "leather"))
            sv_set(r, SV_FACT_LEATHER_SHARE, SV_LEATHER_SHARE_PART, from, "leather");
    }
}

static bool is_fur(const sv_fibre_row *f)
{
    return group_is(f, "fur") || group_is(f, "imitation-fur");
}

static void of_fur(sv_reader *r, sv_from from)
{
    static const struct {
        sv_part part;
        int value;
    } where[] = {{SV_PART_SHELL, SV_FUR_OUTSIDE}, {SV_PART_FRONT, SV_FUR_OUTSIDE},
                 {SV_PART_LINING, SV_FUR_LINING}, {SV_PART_TRIM, SV_FUR_TRIM},
                 {SV_PART_COLLAR, SV_FUR_TRIM},   {SV_PART_RIB, SV_FUR_TRIM}};
    for (size_t i = 0; i < sizeof where / sizeof *where; i++) {
        const sv_fibre_row *f = chief(r, where[i].part);
        if (!is_fur(f)) continue;
        sv_set(r, SV_FACT_FUR, where[i].value, from, f->key);
        if (group_is(f, "fur")) sv_set(r, SV_FACT_FUR_KIND, SV_FUR_KIND_REAL, from, f->key);
        return;
    }
}

/* Lining and filling that are named are there; of a jacket's fleece they say that it is warm. */
static void of_layers(sv_reader *r, sv_from from)
{
    if (part_of(&r->label, SV_PART_LINING)) sv_set(r, SV_FACT_LINED, SV_YES, from, "lining");
    if (part_of(&r->label, SV_PART_FILLING)) sv_set(r, SV_FACT_PADDED, SV_YES, from, "filling");
    if (part_of(&r->label, SV_PART_COATING)) sv_set(r, SV_FACT_COATED, SV_COATED_YES, from, "coating");
}

/* Cloth of tops and dresses with elastane is mostly knitted: common practice, and weaker than anything said.
 */
static void of_elastic(sv_reader *r)
{
    const sv_label_part *p = part_of(&r->label, SV_PART_SHELL);
    static const char *const kinds[] = {"top", "dress", "blouse", "bodysuit", "skirt"};
    bool mostly = false;
    for (size_t i = 0; r->article >= 0 && i < sizeof kinds / sizeof *kinds; i++)
        mostly = mostly || strcmp(r->lex->article[r->article].kind, kinds[i]) == 0;
    for (size_t i = 0; p && mostly && i < p->count; i++) {
        if (p->fibre[i].fibre == r->lex->elastane && p->fibre[i].milli >= 3000)
            sv_set(r, SV_FACT_CONSTRUCTION, SV_CONSTRUCTION_KNIT, SV_FROM_DEFAULT, "elastane");
    }
}

static void of_garment(sv_reader *r, sv_from from)
{
    const sv_fibre_row *shell = chief(r, SV_PART_SHELL);
    const sv_label_part *p = part_of(&r->label, SV_PART_SHELL);
    if (shell && p->count == 1) sv_set(r, SV_FACT_CONSTRUCTION, shell->construction, from, shell->key);
    of_leather(r, from);
    of_fur(r, from);
    of_layers(r, from);
    of_elastic(r);
}

bool sv_is_shoe(const sv_reader *r)
{
    return (r->scope & SCOPE_FOOT) != 0;
}

static void of_piece(sv_reader *r, sv_from from)
{
    if (sv_is_shoe(r)) {
        of_shoe(r, from);
    } else if (r->scope & SCOPE_BAG) {
        of_bag(r, from);
        of_leather(r, from);
    } else if (r->scope & SCOPE_TRINKET) {
        const sv_fibre_row *f = chief(r, SV_PART_SHELL);
        if (f) sv_set(r, SV_FACT_MATTER, f->matter, from, f->key);
    } else {
        if (r->scope & SCOPE_HAND) of_glove(r, from);
        of_garment(r, from);
    }
}

/* ---- the fibre nobody named ---- */

static int default_in(const sv_set_fact *set, const sv_fact_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        const sv_set_fact *f = &set[list->first + i];
        if (f->fact == SV_FACT_COUNT) return f->value;
    }
    return -1;
}

/* What the fabric's name makes likely (fleece: polyester), else what is usual for the article. */
static int likely_fibre(const sv_reader *r)
{
    static const sv_source sources[] = {SV_SOURCE_GARMENT, SV_SOURCE_TEXT, SV_SOURCE_FEATURES,
                                        SV_SOURCE_FIBRE};
    for (size_t k = 0; k < sizeof sources / sizeof *sources; k++) {
        const sv_items *items = &r->items[sources[k]];
        for (size_t i = 0; i < items->count; i++) {
            const sv_sense *s = sv_item_sense(r->lex, &items->item[i], SV_WORD_GUESS);
            int fibre = s && !items->item[i].negated
                            ? default_in(r->lex->index.set, &r->lex->index.list[s->value])
                            : -1;
            if (fibre >= 0) return fibre;
        }
    }
    if (r->article < 0) return -1;
    int fibre = default_in(r->lex->set, &r->lex->article[r->article].means);
    return fibre >= 0 ? fibre : default_in(r->lex->set, &r->lex->article[r->article].usually);
}

static void suppose_fibre(sv_reader *r)
{
    int fibre = likely_fibre(r);
    if (fibre < 0 || part_of(&r->label, SV_PART_SHELL)) return;
    sv_label_part p = {.part = SV_PART_SHELL, .count = 1};
    p.fibre[0] = (sv_label_fibre){(uint16_t)fibre, -1, false};
    size_t had = r->out->parts;
    add_part(r, &p, SV_FROM_DEFAULT);
    if (r->out->parts == had || had == 0) return;
    sv_fibre_part shell = r->out->part[had];
    memmove(&r->out->part[1], &r->out->part[0], had * sizeof shell);
    r->out->part[0] = shell;
}

/* In a text without percentages these words tell of studs, soles or how the cloth gives, not of what a
 * garment is made: "stretch jeans" are not of elastane. */
static bool is_mere_mention(const sv_label_part *p, const sv_fibre_row *f)
{
    if (group_is(f, "metal") || group_is(f, "cork") || group_is(f, "wood")) return true;
    return p->count == 1 && strcmp(f->key, "elastane") == 0;
}

static void drop_mentions(sv_reader *r)
{
    enum { CLOTHING = 1 << 0 | 1 << 1 | 1 << 2 | 1 << 3 | 1 << 4 };
    size_t parts = 0;
    if (*r->given[SV_SOURCE_FIBRE] || !(r->scope & CLOTHING)) return;
    for (size_t i = 0; i < r->label.parts; i++) {
        sv_label_part *p = &r->label.part[i];
        size_t kept = 0;
        for (size_t k = 0; k < p->count; k++) {
            bool mention = p->fibre[k].milli < 0 && is_mere_mention(p, &r->lex->fibre[p->fibre[k].fibre]);
            if (!mention) p->fibre[kept++] = p->fibre[k];
        }
        p->count = kept;
        if (kept) r->label.part[parts++] = *p;
    }
    r->label.parts = parts;
}

void sv_read_materials(sv_reader *r)
{
    drop_mentions(r);
    sv_from from = *r->given[SV_SOURCE_FIBRE] ? SV_FROM_STATED : SV_FROM_TEXT;
    for (size_t i = 0; i < r->label.parts; i++)
        add_part(r, &r->label.part[i], from);
    of_piece(r, from);
    suppose_fibre(r);
}
