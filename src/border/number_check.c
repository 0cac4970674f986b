/* number_check.c - the arithmetic of check digits. Each function is one published rule; which identifier uses
 * it, with which weights, stands in data/border/number-forms.tsv with its source. The form was tested before:
 * where a rule needs digits, there are digits. */
#include "border/number_check.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

static int digit(char c)
{
    return c - '0';
}

static int last(const sv_check *c)
{
    return digit(c->text[c->length - 1]);
}

/* Value of the first n characters as a number. */
static int64_t number_of(const char *text, size_t n)
{
    int64_t v = 0;
    for (size_t i = 0; i < n; i++)
        v = v * 10 + digit(text[i]);
    return v;
}

static int plus(int a, int modulus)
{
    return ((a % modulus) + modulus) % modulus;
}

/* Each digit times its weight, added up; as many digits as there are weights. */
static int weighted(const char *text, const char *weights)
{
    int sum = 0;
    for (const char *w = weights; *w;) {
        char *end;
        sum += digit(*text++) * (int)strtol(w, &end, 10);
        w = *end == ' ' ? end + 1 : end;
    }
    return sum;
}

static bool none(const sv_check *c)
{
    (void)c;
    return true;
}

/* The part is one of the words of the list. */
static bool listed(const sv_check *c)
{
    for (const char *p = c->weights; *p; p += c->length + 1) {
        if (strncmp(p, c->text, c->length) == 0) return true;
        if (!p[c->length]) return false;
    }
    return false;
}

static bool sum(const sv_check *c)
{
    return plus(weighted(c->text, c->weights), c->modulus) == c->rest;
}

/* The remainder itself is the last digit, 10 counting as 0. */
static bool tail(const sv_check *c)
{
    return plus(weighted(c->text, c->weights), c->modulus) % 10 == last(c);
}

/* The modulus less the remainder is the last digit; 10 is never given out. */
static bool minus(const sv_check *c)
{
    return plus(-weighted(c->text, c->weights), c->modulus) == last(c);
}

/* The same, 10 counting as 0. */
static bool minus_0(const sv_check *c)
{
    return plus(-weighted(c->text, c->weights), c->modulus) % 10 == last(c);
}

/* Slovenia: 11 less the remainder; 10 counts as 0, 11 is never given out. */
static bool si(const sv_check *c)
{
    int rest = weighted(c->text, c->weights) % c->modulus;
    return rest != 0 && (c->modulus - rest) % 10 == last(c);
}

/* UPU S10: 11 less the remainder; 10 counts as 0, 11 as 5. */
static bool s10(const sv_check *c)
{
    int check = c->modulus - weighted(c->text, c->weights) % c->modulus;
    return (check == 11 ? 5 : check % 10) == last(c);
}

/* Luhn's sum: every second digit from the right is doubled and its digits added. */
static int luhn_sum(const char *text, size_t n)
{
    int total = 0;
    for (size_t i = 0; i < n; i++) {
        int d = digit(text[n - 1 - i]) << (i % 2);
        total += d > 9 ? d - 9 : d;
    }
    return total % 10;
}

static bool luhn(const sv_check *c)
{
    return luhn_sum(c->text, c->length) == 0;
}

/* Austria: Luhn over the first seven with the constant 4 added. */
static bool luhn_at(const sv_check *c)
{
    int total = 4;
    for (size_t i = 0; i < 7; i++) {
        int d = digit(c->text[i]) << (i % 2);
        total += d > 9 ? d - 9 : d;
    }
    return (10 - total % 10) % 10 == digit(c->text[7]);
}

/* Italy: seven digits that are not all 0, the tax office, Luhn. */
static bool it(const sv_check *c)
{
    int64_t office = number_of(c->text + 7, 3);
    bool known =
        (office >= 1 && office <= 100) || office == 120 || office == 121 || office == 888 || office == 999;
    return number_of(c->text, 7) > 0 && known && luhn(c);
}

/* ISO 7064, modulus 11,10. */
static bool mod_11_10(const sv_check *c)
{
    int check = 5;
    for (size_t i = 0; i < c->length; i++)
        check = ((check ? check : 10) * 2 % 11 + digit(c->text[i])) % 10;
    return check == 1;
}

/* Belgium: the number without its last two digits and these two make a multiple of 97. */
static bool pair_97(const sv_check *c)
{
    int64_t head = number_of(c->text, c->length - 2), two = number_of(c->text + c->length - 2, 2);
    return head + two > 0 && (head + two) % 97 == 0;
}

static bool lu(const sv_check *c)
{
    return number_of(c->text, 6) % 89 == number_of(c->text + 6, 2);
}

static bool multiple(const sv_check *c)
{
    return number_of(c->text, c->length) % c->modulus == 0;
}

/* First digit times `first`, and so on upwards. */
static int rising(const char *text, size_t n, int first)
{
    int total = 0;
    for (size_t i = 0; i < n; i++)
        total += digit(text[i]) * (first + (int)i);
    return total;
}

static bool bg_legal(const sv_check *c)
{
    int rest = rising(c->text, 8, 1) % 11;
    if (rest == 10) rest = rising(c->text, 8, 3) % 11;
    return rest % 10 == last(c);
}

static bool is_day(int64_t year, int64_t month, int64_t day)
{
    static const int days[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (month < 1 || month > 12 || day < 1) return false;
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    return day <= days[month - 1] + (month == 2 && leap ? 1 : 0);
}

/* Bulgarian personal number: a date of birth, the century in the month, and a check digit. */
static bool bg_person(const sv_check *c)
{
    int64_t year = 1900 + number_of(c->text, 2), month = number_of(c->text + 2, 2);
    if (month > 40) {
        year += 100;
        month -= 40;
    } else if (month > 20) {
        year -= 100;
        month -= 20;
    }
    return is_day(year, month, number_of(c->text + 4, 2)) && tail(c);
}

/* Cyprus: digits at odd places are translated, the sum names the letter. */
static bool cy(const sv_check *c)
{
    static const int odd[] = {1, 0, 5, 7, 9, 13, 15, 17, 19, 21};
    if (strncmp(c->text, "12", 2) == 0) return false;
    int total = 0;
    for (size_t i = 0; i < 8; i++)
        total += i % 2 ? digit(c->text[i]) : odd[digit(c->text[i])];
    return c->text[8] == 'A' + total % 26;
}

static int falling(const char *text, size_t n, int first)
{
    int total = 0;
    for (size_t i = 0; i < n; i++)
        total += digit(text[i]) * (first - (int)i);
    return total;
}

static bool cz_legal(const sv_check *c)
{
    int check = plus(-falling(c->text, 7, 8), 11);
    return (check ? check : 1) % 10 == last(c);
}

/* Czech numbers of nine digits that begin with 6: the digit itself stays out of the sum. */
static bool cz_special(const sv_check *c)
{
    int rest = falling(c->text + 1, 7, 8) % 11;
    return plus(8 - plus(10 - rest, 11), 10) == last(c);
}

/* Czech and Slovak birth number: yymmdd, 50 added to a woman's month, 20 more when the serials of a day ran
 * out; ten digits since 1954, a multiple of 11 (until 1985 a remainder of 10 was written 0). */
static bool birth_number(const sv_check *c)
{
    int64_t year = 1900 + number_of(c->text, 2), month = number_of(c->text + 2, 2) % 50 % 20;
    if (c->length == 9) {
        if (year >= 1980) year -= 100;
        return year <= 1953 && is_day(year, month, number_of(c->text + 4, 2));
    }
    if (year < 1954) year += 100;
    if (!is_day(year, month, number_of(c->text + 4, 2))) return false;
    int64_t rest = number_of(c->text, 9) % 11;
    if (year < 1985) rest %= 10;
    return rest == last(c);
}

static bool es_letter(const sv_check *c)
{
    static const char letters[] = "TRWAGMYFPDXBNJZSQVHLCKE";
    const char *at = c->text;
    int64_t first = 0;
    size_t from = *at >= '0' && *at <= '9' ? 0 : 1;
    if (*at == 'Y') first = 10000000;
    if (*at == 'Z') first = 20000000;
    return letters[(first + number_of(at + from, 8 - from)) % 23] == at[8];
}

/* Spanish firms: Luhn over the seven digits, written as a digit or as a letter. */
static bool es_firm(const sv_check *c)
{
    char with_zero[8] = {0};
    memcpy(with_zero, c->text + 1, 7);
    with_zero[7] = '0';
    int check = (10 - luhn_sum(with_zero, 8)) % 10;
    return c->text[8] == '0' + check || c->text[8] == "JABCDEFGHI"[check];
}

/* Place of a character among the digits and the letters without I and O. */
static int fr_value(char ch)
{
    static const char signs[] = "0123456789ABCDEFGHJKLMNPQRSTUVWXYZ";
    const char *at = strchr(signs, ch);
    return at ? (int)(at - signs) : -1;
}

static bool fr(const sv_check *c)
{
    const char *siren = c->text + 2;
    int a = fr_value(c->text[0]), b = fr_value(c->text[1]);
    if (a < 0 || b < 0) return false;
    if (strncmp(siren, "000", 3) != 0 && luhn_sum(siren, 9) != 0) return false; /* Monaco: 000 */
    int64_t n = number_of(siren, 9);
    if (a < 10 && b < 10) return a * 10 + b == (n * 100 + 12) % 97;
    int key = a < 10 ? a * 24 + b - 10 : a * 34 + b - 100;
    return (n + 1 + key / 11) % 11 == key % 11;
}

/* The United Kingdom: modulus 97, and since 2009 the same with 55 added. Numbers under 100 0000 00 are of the
 * old kind. */
static bool gb(const sv_check *c)
{
    int rest = (falling(c->text, 7, 8) + (int)number_of(c->text + 7, 2)) % 97;
    bool old = c->text[0] == '0';
    return rest == 0 || (!old && (rest == 42 || rest == 55));
}

/* Ireland: a letter counts as its place in the alphabet, W as 0. */
static int ie_value(char ch)
{
    return ch == 'W' ? 0 : ch >= 'A' && ch <= 'V' ? ch - 'A' + 1 : -1;
}

static bool ie(const sv_check *c)
{
    int more = c->length == 9 ? ie_value(c->text[8]) : 0;
    return more >= 0 && (falling(c->text, 7, 8) + 9 * more) % 23 == ie_value(c->text[7]);
}

/* The old form: the first digit goes behind the five, a 0 before them. */
static bool ie_old(const sv_check *c)
{
    return (falling(c->text + 2, 5, 7) + 2 * digit(c->text[0])) % 23 == ie_value(c->text[7]);
}

/* Lithuania: weights 1 to 9 over and over; when 10 remains the weights begin with 3. */
static bool lt(const sv_check *c)
{
    int one = 0, two = 0;
    for (int i = 0; i < (int)c->length - 1; i++) {
        one += digit(c->text[i]) * (1 + i % 9);
        two += digit(c->text[i]) * (1 + (i + 2) % 9);
    }
    int rest = one % 11 == 10 ? two % 11 : one % 11;
    return rest % 10 == last(c);
}

/* Latvian personal code: date of birth with the century in the seventh digit; codes that begin with 32 carry
 * none. */
static bool lv_person(const sv_check *c)
{
    int64_t year = 1800 + 100 * digit(c->text[6]) + number_of(c->text + 4, 2);
    bool dated = is_day(year, number_of(c->text + 2, 2), number_of(c->text, 2));
    if (!dated && strncmp(c->text, "32", 2) != 0) return false;
    return (1 + weighted(c->text, "10 5 8 4 2 1 6 3 7 9")) % 11 % 10 == last(c);
}

static bool nl_suffix(const char *text)
{
    return number_of(text, 2) > 0;
}

static bool nl_bsn(const sv_check *c)
{
    return number_of(c->text, 9) > 0 && nl_suffix(c->text + 10) && sum(c);
}

/* ISO 7064, modulus 97,10 over the whole with NL before it, letters counting from 10. */
static bool nl_97(const sv_check *c)
{
    int rest = 0;
    for (size_t i = 0; i < c->length; i++) {
        char ch = c->text[i];
        int v = ch >= 'A' ? ch - 'A' + 10 : digit(ch);
        rest = (rest * (v > 9 ? 100 : 10) + v) % 97;
    }
    return rest == 1 && number_of(c->text + 2, 9) > 0 && nl_suffix(c->text + 12);
}

static bool ro(const sv_check *c)
{
    static const int weights[] = {7, 5, 3, 2, 1, 7, 5, 3, 2};
    size_t n = c->length - 1;
    int total = 0;
    for (size_t i = 0; i < n; i++)
        total += digit(c->text[i]) * weights[9 - n + i];
    return total * 10 % 11 % 10 == last(c);
}

/* Australia: 1 is taken from the first digit. */
static bool abn(const sv_check *c)
{
    return c->text[0] != '0' && plus(weighted(c->text, c->weights) - 10, c->modulus) == c->rest;
}

/* New Zealand: over 10 million and under 150 million; when 10 remains a second row of weights decides. */
static bool ird(const sv_check *c)
{
    int64_t n = number_of(c->text, c->length);
    char nine[10] = "000000000";
    memcpy(nine + 9 - c->length, c->text, c->length);
    int check = plus(-weighted(nine, "3 2 7 6 5 4 3 2"), 11);
    if (check == 10) check = plus(-weighted(nine, "7 4 3 2 5 2 7 6"), 11);
    return n > 10000000 && n < 150000000 && check == digit(nine[8]);
}

static bool all_the_same(const sv_check *c)
{
    for (size_t i = 1; i < c->length; i++) {
        if (c->text[i] != c->text[0]) return false;
    }
    return true;
}

/* A Brazilian check digit: characters count by their code less 48, weights rise from the right from 2 to
 * `most` and begin again; 11 less the remainder, 10 and 11 counting as 0. */
static int br_digit(const char *text, size_t n, int most)
{
    int total = 0;
    for (size_t i = 0; i < n; i++)
        total += (text[n - 1 - i] - '0') * (2 + (int)i % (most - 1));
    int check = 11 - total % 11;
    return check > 9 ? 0 : check;
}

static bool br(const sv_check *c, int most)
{
    size_t n = c->length;
    return !all_the_same(c) && br_digit(c->text, n - 2, most) == digit(c->text[n - 2]) &&
           br_digit(c->text, n - 1, most) == digit(c->text[n - 1]);
}

static bool cpf(const sv_check *c)
{
    return br(c, 12);
}

static bool cnpj(const sv_check *c)
{
    return br(c, 9);
}

static const struct {
    const char *name;
    bool (*fits)(const sv_check *check);
} checks[] = {
    {"none", none},
    {"listed", listed},
    {"sum", sum},
    {"tail", tail},
    {"minus", minus},
    {"minus-0", minus_0},
    {"si", si},
    {"s10", s10},
    {"luhn", luhn},
    {"luhn-at", luhn_at},
    {"it", it},
    {"mod-11-10", mod_11_10},
    {"pair-97", pair_97},
    {"lu", lu},
    {"multiple", multiple},
    {"bg-legal", bg_legal},
    {"bg-person", bg_person},
    {"cy", cy},
    {"cz-legal", cz_legal},
    {"cz-special", cz_special},
    {"birth-number", birth_number},
    {"es-letter", es_letter},
    {"es-firm", es_firm},
    {"fr", fr},
    {"gb", gb},
    {"ie", ie},
    {"ie-old", ie_old},
    {"lt", lt},
    {"lv-person", lv_person},
    {"nl-bsn", nl_bsn},
    {"nl-97", nl_97},
    {"ro", ro},
    {"abn", abn},
    {"ird", ird},
    {"cpf", cpf},
    {"cnpj", cnpj},
};

bool sv_check_digit(const char *name, const sv_check *check)
{
    for (size_t i = 0; i < sizeof checks / sizeof *checks; i++) {
        if (strcmp(checks[i].name, name) == 0) return checks[i].fits(check);
    }
    return false;
}

bool sv_check_known(const char *name)
{
    for (size_t i = 0; i < sizeof checks / sizeof *checks; i++) {
        if (strcmp(checks[i].name, name) == 0) return true;
    }
    return false;
}
