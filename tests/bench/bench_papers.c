/* bench_papers.c - how fast papers are made, on one core, each finished in memory.
 *
 *   fixed      one fixed page of a customs declaration's kind, 60 rules and 80 strings, fonts embedded
 *   parcels    CN 23 of different parcels, names in twenty languages of Latin script, XML attached
 *   han        the same with names in Japanese, Chinese and Korean
 *   cold       a process that makes one CN 23 and ends
 *   all        the papers of a parcel: declaration, invoice, content list, label
 *
 * build/bench/bench_papers [WHICH [COUNT]] */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/node.h"
#include "base/utf8.h"
#include "papers/page.h"
#include "papers/papers.h"
#include "selvedge/papers.h"
#include "text/press.h"

/* Time of this process alone, so that what else the machine does does not count; a cold start is timed by the
 * wall. */
static double clock_now(clockid_t clock)
{
    struct timespec t;
    clock_gettime(clock, &t);
    return (double)t.tv_sec + (double)t.tv_nsec / 1e9;
}

static double now(void)
{
    return clock_now(CLOCK_PROCESS_CPUTIME_ID);
}

static long peak_kb(void)
{
    struct rusage u;
    getrusage(RUSAGE_SELF, &u);
    return u.ru_maxrss;
}

typedef struct shop {
    sv_world *world;
    sv_press *press;
    sv_arena *arena; /* of one document */
    sv_buf out;
    size_t *size;
} shop;

static void must(sv_status status, const sv_error *err)
{
    if (status == SV_OK) return;
    fprintf(stderr, "bench_papers: %s\n", err->text);
    exit(1);
}

static shop open_shop(size_t documents)
{
    shop s = {.arena = sv_arena_new(), .size = calloc(documents, sizeof *s.size)};
    sv_error err = {SV_OK, ""};
    sv_world_options options = {.today = "2026-11-25", .rooms = SV_OPEN_PAPERS};
    must(sv_world_open(&options, &s.world, &err), &err);
    must(sv_papers_open(s.world, &err), &err);
    s.press = sv_press_new(s.world);
    sv_buf_init(&s.out, 0);
    return s;
}

static void close_shop(shop *s)
{
    sv_buf_free(&s->out);
    sv_press_free(s->press);
    sv_world_close(s->world);
    sv_arena_free(s->arena);
    free(s->size);
}

static int by_size(const void *a, const void *b)
{
    size_t x = *(const size_t *)a, y = *(const size_t *)b;
    return (x > y) - (x < y);
}

static void report(shop *s, const char *what, size_t n, double seconds)
{
    qsort(s->size, n, sizeof *s->size, by_size);
    printf(
        "%-8s %6zu documents  %7.0f a second  %7.1f us each  median %6zu bytes  largest %6zu  peak %ld KB\n",
        what, n, (double)n / seconds, seconds / (double)n * 1e6, s->size[n / 2], s->size[n - 1], peak_kb());
}

static void draw(shop *s, const char *form, const sv_node *dossier, const sv_form_options *options)
{
    sv_error err = {SV_OK, ""};
    sv_findings found = sv_findings_in(s->arena);
    must(sv_form_pdf(s->press, s->arena, form, dossier, options, &s->out, &found, &err), &err);
    for (const sv_finding *f = found.first; f; f = f->next) {
        if (f->severity != SV_STOP) continue;
        fprintf(stderr, "bench_papers: %s: %s\n", f->place, f->message);
        exit(1);
    }
}

static void keep(const shop *s, const char *name)
{
    FILE *f = fopen(name, "wb");
    if (!f) return;
    fwrite(s->out.data, 1, s->out.length, f);
    fclose(f);
}

/* ---- parcels -------------------------------------------------------------------------------- */

/* First names, surnames, streets, towns; invented combinations of common names. One seller posts to all of
 * them; what of a name stands on a parcel differs from parcel to parcel. */
static const char *const latin[][4] = {{"Jürgen", "Weiß", "Müllerstraße", "Köln"},
                                       {"Zuzanna", "Święcicka", "ul. Źródlana", "Łódź"},
                                       {"Nguyễn", "Thị Hồng", "phố Trần Quốc Toản", "Hà Nội"},
                                       {"Şule", "Çağlayan", "Işık Sokağı", "İzmir"},
                                       {"Ștefan", "Țărănescu", "Strada Măgurei", "Brașov"},
                                       {"Željka", "Đurđević", "Ulica Čempresa", "Šibenik"},
                                       {"Åsa", "Öström", "Björkvägen", "Göteborg"},
                                       {"Søren", "Kjærgård", "Æblevej", "Nørresundby"},
                                       {"Guðrún", "Þórðardóttir", "Brúnavegur", "Akureyri"},
                                       {"Ágnes", "Szűcs", "Tölgyfa út", "Győr"},
                                       {"Jiří", "Dvořák", "Třešňová", "Plzeň"},
                                       {"Ľubica", "Kováčiková", "Jarná ulica", "Žilina"},
                                       {"Agnė", "Žukauskaitė", "Liepų gatvė", "Šiauliai"},
                                       {"Jānis", "Bērziņš", "Ķieģeļu iela", "Liepāja"},
                                       {"Õnne", "Mägi", "Pärna tänav", "Võru"},
                                       {"María", "Fernández Núñez", "Calle del Rosal", "Málaga"},
                                       {"João", "Gonçalves", "Rua das Flores", "São Paulo"},
                                       {"Éloïse", "Lefèvre", "rue de l’Église", "Besançon"},
                                       {"Ġorġ", "Żammit", "Triq il-Ħelsien", "Għarb"},
                                       {"Ọlábísí", "Adébáyọ̀", "Ìta Ọjà", "Ìbàdàn"}};
static const char *const han_places[] = {"JP", "CN", "TW", "KR"};

/* Han characters or syllables, each parcel its own: names repeat little. */
static const char *some_han(sv_arena *a, size_t seed, size_t n, bool hangul)
{
    char out[64];
    size_t k = 0;
    for (size_t i = 0; i < n && i < 16; i++) {
        uint32_t first = hangul ? 0xAC00 : 0x4E00, many = hangul ? 2350 : 6000;
        k += sv_utf8_put(out + k, first + (uint32_t)((seed * 7919 + i * 104729 + seed / 3) % many));
    }
    return sv_copy_n(a, out, k);
}

static void party(sv_arena *a, sv_node *root, const char *role, const char *const name[4],
                  const char *const street[4], const char *place, size_t i)
{
    sv_node *p = sv_node_record(a, root, role);
    sv_node_text(a, p, "recipient", sv_format(a, "%s %s", name[0], name[1]));
    sv_node *lines = sv_node_list(a, p, "street");
    sv_node_text(a, lines, "", sv_format(a, "%s %zu", street[2], i % 97 + 1));
    sv_node_text(a, p, "city", street[3]);
    sv_node_text(a, p, "postcode", sv_format(a, "%05zu", 10000 + i * 7 % 90000));
    sv_node_text(a, p, "country", place);
    sv_node_text(a, p, "country_name", "Country");
    sv_node_text(a, p, "phone", sv_format(a, "+00 555 %06zu", i));
    sv_node *block = sv_node_list(a, p, "block");
    sv_node_text(a, block, "", sv_format(a, "%s %s", name[0], name[1]));
    sv_node_text(a, block, "", sv_format(a, "%s %zu", street[2], i % 97 + 1));
    sv_node_text(a, block, "", street[3]);
    sv_node_text(a, block, "", "COUNTRY");
}

static void put_lines(sv_arena *a, sv_node *root, size_t i)
{
    static const char *const what[][2] = {{"women's knitted jumper, 100 % wool, used", "611011"},
                                          {"men's woven shirt, 60 % cotton, 40 % polyester, used", "620520"},
                                          {"women's woven dress, 100 % viscose, used", "620444"},
                                          {"girls' knitted T-shirt, 95 % cotton, 5 % elastane", "610910"},
                                          {"pair of men's woven trousers, 98 % cotton, used", "620342"}};
    sv_node *list = sv_node_list(a, root, "line");
    for (size_t k = 0; k < 1 + i % 5; k++) {
        sv_node *n = sv_node_record(a, list, "");
        size_t kind = (i + k) % 5;
        sv_node_text(a, n, "number", sv_format(a, "%zu", k + 1));
        sv_node_text(a, n, "description", sv_format(a, "1 %s", what[kind][0]));
        sv_node_text(a, n, "quantity", "1");
        sv_node_text(a, n, "unit", "piece");
        sv_node_text(a, n, "net_kg", sv_format(a, "0.%03zu", 100 + i * 13 % 800));
        sv_node_text(a, n, "value", sv_format(a, "%zu.%02zu", 3 + i * 31 % 90, i * 7 % 100));
        sv_node_text(a, n, "unit_value", sv_format(a, "%zu.%02zu", 3 + i * 31 % 90, i * 7 % 100));
        sv_node_text(a, n, "price", sv_format(a, "%zu.%02zu", 3 + i * 31 % 90, i * 7 % 100));
        sv_node_text(a, n, "currency", "EUR");
        sv_node_text(a, n, "code", what[kind][1]);
        sv_node_text(a, n, "made_in", "IT");
        sv_node_text(a, n, "made_in_name", "Italy");
    }
}

static void put_rest(sv_arena *a, sv_node *root, size_t i)
{
    static const char *const same[][2] = {{"date", "2026-11-24"},
                                          {"operator", "Example Post"},
                                          {"form", "CN23"},
                                          {"category", "sale"},
                                          {"currency", "EUR"},
                                          {"item_number", "CX000000120IE"},
                                          {"item_number_printed", "CX 000 000 120 IE"}};
    for (size_t k = 0; k < sizeof same / sizeof *same; k++)
        sv_node_text(a, root, same[k][0], same[k][1]);
    sv_node_text(a, root, "reference", sv_format(a, "P-%06zu", i));
    sv_node *totals = sv_node_record(a, root, "totals");
    sv_node_text(a, totals, "goods_value", sv_format(a, "%zu.50", 20 + i % 200));
    sv_node_text(a, totals, "gross_kg", sv_format(a, "0.%03zu", 200 + i % 700));
    sv_node_text(a, totals, "postage", "18.90");
    sv_node *refs = sv_node_record(a, root, "references");
    sv_node_text(a, refs, "invoice", sv_format(a, "INV-%06zu", i));
    sv_node_text(a, refs, "comment", "Second-hand clothing, washed");
    sv_node *cautions = sv_node_list(a, root, "cautions");
    sv_node_text(a, cautions, "",
                 "Prepared by the sender. The customs authority of destination and the postal operator "
                 "decide; their rules win "
                 "over this paper. (common practice, no source; 2026-11-25)");
    sv_node_text(a, cautions, "",
                 "A plain-paper equivalent of the form: where your postal operator has a form of its own, "
                 "use that one. (UPU "
                 "Convention Manual, forms CN 22 and CN 23; 2026-11-25)");
    sv_node_text(a, cautions, "",
                 "HS codes are of the 2022 edition to six digits; some destinations ask for more. (WCO "
                 "Harmonized System 2022, in "
                 "force 2022-01-01; 2026-11-25)");
}

static sv_node *parcel(sv_arena *a, size_t i, bool in_han)
{
    sv_node *root = sv_node_root(a);
    size_t to = i * 7 + i / 20, place = i % 4;
    party(a, root, "sender", latin[1], latin[1], "PL", i);
    const char *const *of = latin[to % 20];
    const char *const kept[4] = {of[0], i / 20 % 2 ? of[1] : "Example", i / 40 % 2 ? of[2] : "PO box",
                                 i / 80 % 2 ? of[3] : "Town"};
    const char *const name[4] = {some_han(a, i, 2, place == 3), some_han(a, i + 9, 2, place == 3),
                                 some_han(a, i + 5, 9, place == 3), some_han(a, i + 3, 3, place == 3)};
    party(a, root, "addressee", in_han ? name : kept, in_han ? name : kept, in_han ? han_places[place] : "DE",
          i);
    put_lines(a, root, i);
    put_rest(a, root, i);
    return root;
}

/* About the size of a declaration in UBL. */
static sv_attachment some_xml(sv_arena *a, size_t i)
{
    sv_buf b;
    sv_buf_init(&b, 0);
    for (size_t k = 0; k < 40; k++)
        sv_put_format(&b,
                      "<cac:GoodsItem><cbc:ID>%zu</cbc:ID><cbc:Description>item %zu of "
                      "%zu</cbc:Description></cac:GoodsItem>\n",
                      k, k * i, i);
    sv_attachment file = {"declaration.xml",  "application/xml", "The declaration as UBL 2.3",
                          sv_buf_copy(&b, a), b.length,          NULL};
    sv_buf_free(&b);
    return file;
}

/* ---- what is measured ----------------------------------------------------------------------- */

static void bench_fixed(size_t n)
{
    shop s = open_shop(n);
    sv_form_options options = {.template_file = "tests/bench/fixed-page.xml"};
    double start = now();
    for (size_t i = 0; i < n; i++) {
        sv_arena_reset(s.arena);
        sv_buf_reset(&s.out);
        sv_node *root = sv_node_root(s.arena);
        sv_node_text(s.arena, root, "reference", sv_format(s.arena, "%zu", i));
        draw(&s, "fixed", root, &options);
        s.size[i] = s.out.length;
    }
    report(&s, "fixed", n, now() - start);
    keep(&s, "build/bench/fixed.pdf");
    close_shop(&s);
}

static void bench_parcels(size_t n, bool in_han)
{
    shop s = open_shop(n);
    double start = now();
    for (size_t i = 0; i < n; i++) {
        sv_arena_reset(s.arena);
        sv_buf_reset(&s.out);
        sv_attachment file = some_xml(s.arena, i);
        sv_form_options options = {.attachments = &file};
        draw(&s, "cn23", parcel(s.arena, i, in_han), &options);
        s.size[i] = s.out.length;
    }
    report(&s, in_han ? "han" : "parcels", n, now() - start);
    keep(&s, in_han ? "build/bench/han.pdf" : "build/bench/parcel.pdf");
    close_shop(&s);
}

static void bench_all(size_t n)
{
    static const char *const forms[] = {"cn23", "invoice", "content-list", "address-label"};
    shop s = open_shop(n);
    double start = now();
    for (size_t i = 0; i < n; i++) {
        sv_arena_reset(s.arena);
        sv_node *root = parcel(s.arena, i, false);
        for (size_t f = 0; f < 4; f++) {
            sv_buf_reset(&s.out);
            draw(&s, forms[f], root, NULL);
            s.size[i] += s.out.length;
        }
    }
    report(&s, "all", n, now() - start);
    close_shop(&s);
}

static void bench_cold(const char *self, size_t n)
{
    double best = 1e9, sum = 0;
    for (size_t i = 0; i < n; i++) {
        double start = clock_now(CLOCK_MONOTONIC);
        pid_t child = fork();
        if (child == 0) {
            execl(self, self, "one", (char *)NULL);
            _exit(127);
        }
        int status = 0;
        waitpid(child, &status, 0);
        if (status != 0) exit(1);
        double t = clock_now(CLOCK_MONOTONIC) - start;
        best = t < best ? t : best;
        sum += t;
    }
    printf("%-8s %6zu processes  mean %.1f ms, best %.1f ms\n", "cold", n, sum / (double)n * 1e3, best * 1e3);
}

static void one(void)
{
    shop s = open_shop(1);
    draw(&s, "cn23", parcel(s.arena, 1, false), NULL);
    close_shop(&s);
}

int main(int argc, char **argv)
{
    const char *which = argc > 1 ? argv[1] : "";
    size_t n = argc > 2 ? (size_t)strtoul(argv[2], NULL, 10) : 0;
    if (strcmp(which, "one") == 0) return one(), 0;
    bool every = *which == '\0';
    if (every || strcmp(which, "fixed") == 0) bench_fixed(n ? n : 3000);
    if (every || strcmp(which, "parcels") == 0) bench_parcels(n ? n : 1000, false);
    if (every || strcmp(which, "han") == 0) bench_parcels(n ? n : 300, true);
    if (every || strcmp(which, "all") == 0) bench_all(n ? n : 300);
    if (every || strcmp(which, "cold") == 0) bench_cold(argv[0], n ? n : 30);
    return 0;
}
