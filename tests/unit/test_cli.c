/* test_cli.c - the program as a seller runs it: exit statuses, messages, nothing half written. */
#include "support.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static sv_arena *arena;
static const char *program, *scratch;

static int setup(void **state)
{
    (void)state;
    arena = sv_arena_new();
    const char *build = getenv("BUILD");
    program = sv_format(arena, "%s/selvedge", build ? build : "build");
    scratch = sv_format(arena, "%s/tests/cli-scratch", build ? build : "build");
    run(arena, sv_format(arena, "rm -rf %s && mkdir -p %s", scratch, scratch), NULL);
    return 0;
}

static int teardown(void **state)
{
    (void)state;
    run(arena, sv_format(arena, "rm -rf %s", scratch), NULL);
    sv_arena_free(arena);
    return 0;
}

/* Runs `selvedge WORDS`, both streams together. */
static const char *selvedge(const char *words, int *status)
{
    return run(arena, sv_format(arena, "%s %s 2>&1 </dev/null", program, words), status);
}

static const char *write_file(const char *name, const char *text)
{
    const char *path = sv_format(arena, "%s/%s", scratch, name);
    FILE *f = fopen(path, "w");
    assert_non_null(f);
    fputs(text, f);
    fclose(f);
    return path;
}

static void wants(const char *words, int status, const char *says)
{
    int got;
    const char *out = selvedge(words, &got);
    if (got != status) fail_msg("selvedge %s: status %d wanted, got %d: %s", words, status, got, out);
    if (!strstr(out, says)) fail_msg("selvedge %s: should say \"%s\", says: %s", words, says, out);
}

static const char head[] =
    "parcel,sender,category,service,from,country,recipient,street_lines,city,postcode,email,currency,postage,"
    "gross_weight,"
    "text,garment,gender,construction,fibre,condition,quantity,net_weight,unit_value,made_in\n";

static void help_stands_for_every_command(void **state)
{
    (void)state;
    wants("--help", 0, "usage: selvedge COMMAND");
    wants("", 2, "usage: selvedge COMMAND");
    wants("frobnicate", 2, "there is no command");
    const char *names[] = {"check",  "papers", "address", "heading", "describe",
                           "border", "duty",   "number",  "data"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        wants(sv_format(arena, "%s --help", names[i]), 0, "example:");
        wants(sv_format(arena, "%s --no-such-thing", names[i]), 2, "there is no option");
    }
}

static void a_bad_file_is_told_by_place_and_remedy(void **state)
{
    (void)state;
    wants(sv_format(arena, "check %s/absent.csv", scratch), 4, "absent.csv");
    wants(sv_format(arena, "check %s", scratch), 4, "directory");
    wants(sv_format(arena, "check %s",
                    write_file("broken.xml",
                               "<?xml version=\"1.0\"?><parcels xmlns=\"urn:selvedge:parcel:1\"><parcel>")),
          3, "broken.xml:1");
    wants(sv_format(arena, "check %s", write_file("stray.csv", sv_format(arena, "%sA,one \"two\n", head))), 3,
          "stray.csv:2");
    wants(sv_format(arena, "check %s", write_file("column.csv", "text,garment\njumper,jumper\n")), 3,
          "parcel");
    wants(sv_format(arena, "check %s", write_file("empty.csv", "")), 3, "empty.csv");
}

static void an_entity_bomb_is_refused_at_once(void **state)
{
    (void)state;
    const char *bomb =
        "<?xml version=\"1.0\"?><!DOCTYPE p [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b "
        "\"&a;&a;&a;&a;&a;&a;&a;&a;\">"
        "<!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;\"><!ENTITY d \"&c;&c;&c;&c;&c;&c;&c;&c;\">"
        "<!ENTITY e \"&d;&d;&d;&d;&d;&d;&d;&d;\"><!ENTITY f \"&e;&e;&e;&e;&e;&e;&e;&e;\">]>"
        "<parcels xmlns=\"urn:selvedge:parcel:1\"><parcel reference=\"A\">&f;</parcel></parcels>";
    wants(sv_format(arena, "check %s", write_file("bomb.xml", bomb)), 3, "bomb.xml");
    const char *outside =
        "<?xml version=\"1.0\"?><!DOCTYPE p [<!ENTITY x SYSTEM \"/etc/hostname\">]>"
        "<parcels xmlns=\"urn:selvedge:parcel:1\"><parcel reference=\"A\">&x;</parcel></parcels>";
    wants(sv_format(arena, "check %s", write_file("outside.xml", outside)), 3, "outside.xml");
}

/* 100 MB of one cell is refused without being held; 100 MB of orders passes the limit of XML only. */
static void a_huge_file_is_refused_in_words(void **state)
{
    (void)state;
    const char *xml = sv_format(arena, "%s/huge.xml", scratch),
               *csv = sv_format(arena, "%s/huge.csv", scratch);
    run(arena,
        sv_format(arena,
                  "{ printf '<?xml version=\"1.0\"?><a>'; head -c 104857600 /dev/zero | tr '\\0' 'x'; } > %s",
                  xml),
        NULL);
    wants(sv_format(arena, "check %s", xml), 3, "huge.xml");
    run(arena,
        sv_format(arena, "{ printf '%%s' '%s'; head -c 104857600 /dev/zero | tr '\\0' 'x'; } > %s", head,
                  csv),
        NULL);
    wants(sv_format(arena, "check %s", csv), 3, "huge.csv:2");
    run(arena, sv_format(arena, "rm -f %s %s", xml, csv), NULL);
}

static const char *order(const char *reference, const char *country, const char *net)
{
    return sv_format(arena,
                     "%s\"%s\",montoro,sale,letter-post,ES,%s,Mei Sample,1 Invented "
                     "Road,Sapporo,060-0001,mei@example.org,EUR,9.00,0.4 kg,"
                     "cotton jumper,jumper,women,knit,100 cotton,used,1,%s,20.00,PT\n",
                     head, reference, country, net);
}

static void a_bad_cell_is_a_finding_with_its_place(void **state)
{
    (void)state;
    const char *profiles = "--profiles data/demo/profiles";
    wants(sv_format(arena, "check %s %s", profiles, write_file("negative.csv", order("A1", "JP", "-210 g"))),
          1, "piece[1].net_weight");
    wants(sv_format(arena, "check %s %s", profiles,
                    write_file("unknown.csv", order("A1", "Nowhereland", "210 g"))),
          1, "Nowhereland");
    wants(sv_format(arena, "check %s %s", profiles, write_file("fine.csv", order("A1", "JP", "210 g"))), 0,
          "CN 22");
}

static void a_reference_with_slashes_stays_in_its_folder(void **state)
{
    (void)state;
    const char *file = write_file("slash.csv", order("../../etc/A 1", "JP", "210 g"));
    int status;
    const char *out = selvedge(
        sv_format(arena, "papers --profiles data/demo/profiles --into %s/out %s", scratch, file), &status);
    if (status > 1) fail_msg("%s", out);
    assert_int_equal(
        access(sv_format(arena, "%s/out/%%2E.%%2F..%%2Fetc%%2FA%%201/dossier.json", scratch), F_OK), 0);
    const char *stray = run(
        arena, sv_format(arena, "find %s -newer %s -type f ! -path '*/%%2E.*' | grep -v csv", scratch, file),
        NULL);
    assert_string_equal(stray, "");
}

static void what_cannot_be_written_leaves_nothing(void **state)
{
    (void)state;
    const char *file = write_file("fine2.csv", order("A1", "JP", "210 g"));
    const char *blocked = write_file("blocked", "a file where a folder is wanted");
    wants(sv_format(arena, "papers --profiles data/demo/profiles --into %s %s", blocked, file), 4, "blocked");
    wants(sv_format(arena, "papers --profiles data/demo/profiles --into /proc/selvedge %s", file), 4,
          "/proc");
    const char *left = run(arena, sv_format(arena, "find %s -name '*.?????\?' -path '*out*'", scratch), NULL);
    assert_string_equal(left, "");
}

static void same_input_same_bytes(void **state)
{
    (void)state;
    int status;
    for (int i = 0; i < 2; i++) {
        selvedge(sv_format(arena, "papers data/demo/orders.csv --date 2026-11-25 --into %s/%d", scratch, i),
                 &status);
        assert_in_range(status, 0, 1);
    }
    const char *difference = run(arena, sv_format(arena, "diff -rq %s/0 %s/1", scratch, scratch), &status);
    assert_string_equal(difference, "");
    assert_int_equal(status, 0);
    struct stat st;
    assert_int_equal(stat(sv_format(arena, "%s/0/demo-1-japan", scratch), &st), 0);
    assert_int_equal(st.st_mode & 0777, 0700);
    assert_int_equal(stat(sv_format(arena, "%s/0/demo-1-japan/dossier.json", scratch), &st), 0);
    assert_int_equal(st.st_mode & 0777, 0600);
}

static void tables_keep_every_column_and_row(void **state)
{
    (void)state;
    const char *in = write_file(
        "numbers.tsv",
        "kind\tvalue\tvalid\tmine\nS10\tRR473124829GB\tx\ta \"b\ns10\tRR473124820GB\ty\tc\\td\n\n");
    int status;
    const char *out = selvedge(sv_format(arena, "number --table %s --as tsv", in), &status);
    assert_int_equal(strncmp(out, "kind\tvalue\tgiven_valid\tmine\tvalid\tnormal\tprinted\treason\n", 54), 0);
    assert_non_null(strstr(out, "S10\tRR473124829GB\tx\ta \"b\t1\tRR473124829GB\t"));
    assert_non_null(strstr(out, "s10\tRR473124820GB\ty\tc\\td\t0\t"));
}

/* What the readme promises of one piece: the verdict, then what the buyer pays and to whom. */
static void the_border_tells_what_the_buyer_pays(void **state)
{
    (void)state;
    const char *ask = "border JP --from GB --text \"women's cotton jumper, used\"";
    wants(sv_format(arena, "%s --value '40 EUR'", ask), 0, "Charges in Japan: about JPY");
    wants(sv_format(arena, "%s --value '40 EUR'", ask), 0, "asked for by     the postal operator or carrier");
    wants(sv_format(arena, "%s --value '40 EUR'", ask), 0, "611020");
    wants(ask, 0, "Give the price");
    wants(ask, 0, "Form: customs declaration needed: CN 22");
    wants("border FR --from DE --text 'wool coat, used'", 0, "Form: no customs declaration");
    wants("border FR --from DE --text 'wool coat, used' --value '40 EUR'", 0,
          "No charges expected in France");
    wants("border US --from GB --text 'silk scarf, new' --value '40 GBP'", 0, "Charges in the United States");
    int got;
    const char *out = selvedge("border NG --from GB --text 'cotton dress, used' --value '40 GBP'", &got);
    assert_int_equal(got, 1);
    assert_null(strstr(out, "Charges"));
    wants("border JP", 0, "charges       personal gift to JPY 10000");
    wants("border JP", 0, "sources       Customs Tariff Act of Japan");
    wants("border XI", 0, "Northern Ireland (GB-NIR)");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(help_stands_for_every_command),
        cmocka_unit_test(a_bad_file_is_told_by_place_and_remedy),
        cmocka_unit_test(an_entity_bomb_is_refused_at_once),
        cmocka_unit_test(a_huge_file_is_refused_in_words),
        cmocka_unit_test(a_bad_cell_is_a_finding_with_its_place),
        cmocka_unit_test(a_reference_with_slashes_stays_in_its_folder),
        cmocka_unit_test(what_cannot_be_written_leaves_nothing),
        cmocka_unit_test(same_input_same_bytes),
        cmocka_unit_test(tables_keep_every_column_and_row),
        cmocka_unit_test(the_border_tells_what_the_buyer_pays),
    };
    return cmocka_run_group_tests(tests, setup, teardown);
}
