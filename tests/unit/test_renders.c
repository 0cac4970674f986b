/* test_renders.c - pixels against reviewed renders: the only check that sees a damaged glyph. */
#include "sample.h"

#include <stdio.h>
#include <zlib.h>

typedef struct picture {
    uint32_t w, h;
    const uint8_t *gray;
} picture;

/* ---- PNG, 8 bits, gray or of three equal colours (PNG specification, third edition) ----------- */

static uint32_t big_endian(const uint8_t *p)
{
    return (uint32_t)p[0] << 24 | (uint32_t)p[1] << 16 | (uint32_t)p[2] << 8 | p[3];
}

static uint8_t paeth(int a, int b, int c)
{
    int p = a + b - c, pa = abs(p - a), pb = abs(p - b), pc = abs(p - c);
    return (uint8_t)(pa <= pb && pa <= pc ? a : pb <= pc ? b : c);
}

static void unfilter(uint8_t *row, const uint8_t *above, uint32_t bytes, uint32_t step, int kind)
{
    for (uint32_t x = 0; x < bytes; x++) {
        int left = x >= step ? row[x - step] : 0, up = above ? above[x] : 0;
        int corner = x >= step && above ? above[x - step] : 0;
        int add[] = {0, left, up, (left + up) / 2, paeth(left, up, corner)};
        row[x] = (uint8_t)(row[x] + add[kind]);
    }
}

static picture read_png(sv_arena *a, const char *path)
{
    size_t n = 0;
    const uint8_t *d = (const uint8_t *)slurp(a, path, &n);
    if (!d || n < 33 || memcmp(d, "\x89PNG\r\n\x1a\n", 8) != 0) fail_msg("%s is no PNG", path);
    picture p = {big_endian(d + 16), big_endian(d + 20), NULL};
    uint32_t step = d[25] == 2 ? 3 : 1, bytes = p.w * step;
    if (d[24] != 8 || (d[25] != 0 && d[25] != 2) || d[28] != 0) fail_msg("%s is not of 8 bits", path);
    uint8_t *packed = sv_alloc(a, n), *lines = sv_alloc(a, (size_t)(bytes + 1) * p.h);
    uint8_t *out = sv_alloc(a, (size_t)p.w * p.h);
    uLongf room = (uLongf)(bytes + 1) * p.h;
    size_t k = 0;
    for (size_t at = 8; at + 12 <= n; at += 12 + big_endian(d + at)) {
        if (memcmp(d + at + 4, "IDAT", 4) != 0) continue;
        memcpy(packed + k, d + at + 8, big_endian(d + at));
        k += big_endian(d + at);
    }
    if (uncompress(lines, &room, packed, (uLong)k) != Z_OK) fail_msg("%s is damaged", path);
    for (uint32_t y = 0; y < p.h; y++) {
        uint8_t *line = lines + (size_t)y * (bytes + 1);
        if (line[0] > 4) fail_msg("%s is damaged", path);
        unfilter(line + 1, y ? line - bytes : NULL, bytes, step, line[0]);
        for (uint32_t x = 0; x < p.w; x++)
            out[(size_t)y * p.w + x] = line[1 + x * step];
    }
    p.gray = out;
    return p;
}

/* ---- comparing: the mean of each small block, so that smoothing does not count ---------------- */

#define BLOCK     5
#define TOLERANCE 28 /* of 255, in the mean of a block */

static int block_mean(const picture *p, uint32_t x, uint32_t y)
{
    int sum = 0;
    for (uint32_t j = 0; j < BLOCK; j++)
        for (uint32_t i = 0; i < BLOCK; i++)
            sum += p->gray[(size_t)(y + j) * p->w + x + i];
    return sum / (BLOCK * BLOCK);
}

/* Blocks that differ; the place of the worst in x, y. */
static size_t differing(const picture *a, const picture *b, uint32_t *wx, uint32_t *wy)
{
    size_t n = 0;
    int worst = 0;
    if (a->w != b->w || a->h != b->h) return (size_t)-1;
    for (uint32_t y = 0; y + BLOCK <= a->h; y += 2)
        for (uint32_t x = 0; x + BLOCK <= a->w; x += 2) {
            int d = abs(block_mean(a, x, y) - block_mean(b, x, y));
            n += d > TOLERANCE;
            if (d > worst) worst = d, *wx = x, *wy = y;
        }
    return n;
}

static picture render(studio *s, const char *form, const sv_node *root, const char *dpi, const char *name)
{
    bool own = strstr(form, ".xml") != NULL;
    sv_form_options options = {.template_file = own ? form : NULL};
    const char *pdf = studio_pdf(s, own ? "own" : form, root, &options, name, NULL);
    int status = 0;
    const char *png = sv_format(s->arena, "build/papers/render-%s", name);
    run(s->arena, sv_format(s->arena, "pdftoppm -r %s -gray -png -singlefile %s %s", dpi, pdf, png), &status);
    assert_int_equal(status, 0);
    return read_png(s->arena, sv_format(s->arena, "%s.png", png));
}

static sv_node *all_scripts(studio *s)
{
    sv_node *root = sv_node_root(s->arena), *list = sv_node_list(s->arena, root, "line");
    const sv_table *t = expected(s->arena, "scripts");
    for (size_t row = 0; row < t->rows; row++) {
        sv_node *n = sv_node_record(s->arena, list, "");
        sv_node_text(s->arena, n, "number", field(t, row, "script"));
        sv_node_text(s->arena, n, "description", field(t, row, "text"));
    }
    return root;
}

static void test_renders(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftoppm");
    const sv_table *t = expected(s.arena, "renders");
    for (size_t row = 0; row < t->rows; row++) {
        const char *name = field(t, row, "name");
        sv_node *root = strcmp(name, "all-scripts") == 0 ? all_scripts(&s) : sample(s.arena, "parcel");
        picture got = render(&s, field(t, row, "form"), root, field(t, row, "dpi"), name);
        picture wanted = read_png(s.arena, sv_format(s.arena, "tests/expected/renders/%s.png", name));
        uint32_t x = 0, y = 0;
        size_t n = differing(&got, &wanted, &x, &y);
        if (n > 0)
            fail_msg("%s differs from the reviewed render in %zu blocks, most at pixel %u, %u: look at "
                     "build/papers/render-%s.png",
                     name, n, x, y, name);
    }
    studio_close(&s);
}

/* The comparison sees a letter that is not there, in Latin, Han, Arabic and Thai. */
static void test_sees_damage(void **state)
{
    (void)state;
    studio s = studio_open();
    NEED(s.arena, "pdftoppm");
    static const char *const whole[][2] = {
        {"Brzęk", "Brz k"}, {"花子", "花 "}, {"محمد", "محم"}, {"สมชาย", "สมชา"}, {"0.780", "0.78"}};
    for (size_t i = 0; i < 5; i++) {
        sv_node *a = sample(s.arena, "parcel"), *b = sample(s.arena, "parcel");
        sample_put(s.arena, a, "sender.recipient", whole[i][0]);
        sample_put(s.arena, b, "sender.recipient", whole[i][1]);
        picture one = render(&s, "cn23", a, "72", "damage-1"), two = render(&s, "cn23", b, "72", "damage-2");
        uint32_t x = 0, y = 0;
        if (differing(&one, &two, &x, &y) == 0)
            fail_msg("\"%s\" for \"%s\" is not seen", whole[i][1], whole[i][0]);
    }
    studio_close(&s);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(test_renders),
        cmocka_unit_test(test_sees_damage),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
