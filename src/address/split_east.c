/* split_east.c - addresses in Han, kana and Hangul: written from the largest part to the smallest, without
 * blanks. The parts are told by what they end in (都道府県 市区町村, 省 市 区 县, 市 區 縣, 시 군 구) and by
 * the regions of the atlas. */
#include <string.h>
#include <unicode/uchar.h>

#include "address/split.h"
#include "base/utf8.h"

/* Where reading has come to: a byte of the clean text inside word `i`. */
typedef struct cursor {
    size_t i;
    uint32_t at;
} cursor;

static bool is_at(const sp_job *j, const char *code)
{
    return strcmp(j->place->place.code, code) == 0;
}

/* Bytes of the first n characters of the rest of the word; 0 when it is shorter. All characters of the East
 * but for the rarest take three bytes. */
static size_t chars(const sp_job *j, const cursor *c, size_t n)
{
    size_t left = j->word[c->i].end - c->at;
    return n * 3 <= left ? n * 3 : 0;
}

static bool is_mark(const char *p, const char *marks)
{
    char one[4] = {p[0], p[1], p[2], 0};
    return (unsigned char)p[0] >= 0xE0 && strstr(marks, one) != NULL;
}

/* Number of the first character, from `least` on and before `most`, that is one of the marks; 0 none. Figures
 * end it. */
static size_t find_mark(const sp_job *j, const cursor *c, const char *marks, size_t least, size_t most)
{
    const char *p = j->text + c->at;
    for (size_t k = 0; k < most && chars(j, c, k + 1); k++) {
        if ((unsigned char)p[k * 3] < 0xE0) return 0;
        if (k >= least && is_mark(p + k * 3, marks)) return k + 1;
    }
    return 0;
}

/* Gives the next bytes to a column and moves on, to the next word of the line when this one is used up. */
static void take(sp_job *j, cursor *c, size_t bytes, sp_column column)
{
    size_t from = sp_split_at(j, c->at), to = sp_split_at(j, c->at + (uint32_t)bytes);
    if (to == from) to = from + 1;
    sp_give(j, from, to, column);
    c->i = to;
    c->at = to < j->words ? j->word[to].at : (uint32_t)j->bytes;
}

static bool ready(const sp_job *j, const cursor *c)
{
    return c->i < j->words && sp_open(j, c->i) && j->word[c->i].east;
}

static const sv_region *region_at(const sp_job *j, const cursor *c, size_t n)
{
    size_t bytes = chars(j, c, n);
    return bytes ? sv_region_find(j->place, j->text + c->at, bytes) : NULL;
}

/* ---- Japan ---- */

/* Characters of the municipality: a county with its town, a city with its ward, a ward, a town. */
static size_t japan_town(const sp_job *j, const cursor *c, bool region)
{
    const char *p = j->text + c->at;
    size_t city = find_mark(j, c, "市", 1, 8), ward = find_mark(j, c, "区", 1, 6),
           county = find_mark(j, c, "郡", 1, 5);
    if (city && chars(j, c, city + 1) && is_mark(p + city * 3, "市")) city++;     /* 四日市市 */
    if (city && chars(j, c, city + 1) && is_mark(p + city * 3, "郡町")) city = 0; /* 余市郡余市町 */
    if (county && city && city - county <= 3) county = 0;                         /* 郡山市 */
    if (county && (!city || county < city) && (!ward || county < ward)) {
        cursor in = {c->i, c->at + (uint32_t)(county * 3)};
        size_t town = find_mark(j, &in, "町村", 1, 7);
        if (town) return county + town;
    }
    if (ward && (!city || ward < city)) return ward;
    if (city) {
        cursor in = {c->i, c->at + (uint32_t)(city * 3)};
        size_t in_city = find_mark(j, &in, "区", 1, 4);
        size_t quarter = find_mark(j, &in, "町丁", 0, 4);
        return in_city && (!quarter || in_city < quarter) ? city + in_city : city;
    }
    return region ? find_mark(j, c, "町村", 1, 6) : 0;
}

static bool japan(sp_job *j, cursor *c)
{
    bool region = false;
    for (size_t n = 4; n >= 3 && !region; n--) {
        size_t bytes = chars(j, c, n);
        if (!bytes || !is_mark(j->text + c->at + bytes - 3, "都道府県") || !region_at(j, c, n)) continue;
        take(j, c, bytes, SP_REGION);
        region = true;
    }
    size_t left = (j->word[c->i].end - c->at) / 3;
    if (!region && left >= 2 && left <= 3 && region_at(j, c, left) && c->i + 1 < j->words &&
        sp_open(j, c->i + 1) && j->word[c->i + 1].east) {
        cursor next = {c->i + 1, j->word[c->i + 1].at};
        if (japan_town(j, &next, true)) {
            take(j, c, left * 3, SP_REGION);
            region = true;
        }
    }
    if (!ready(j, c)) return region;
    size_t town = japan_town(j, c, region);
    if (!town) return region;
    bool city = is_mark(j->text + c->at + (town - 1) * 3, "市");
    take(j, c, town * 3, SP_TOWN);
    size_t ward = city && ready(j, c) ? find_mark(j, c, "区", 1, 4) : 0;
    if (ward) take(j, c, ward * 3, SP_TOWN);
    return true;
}

/* ---- China ---- */

static bool is_municipality(const char *p)
{
    static const char *const names[] = {"北京", "上海", "天津", "重庆", "重慶"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        if (strncmp(p, names[i], 6) == 0) return true;
    }
    return false;
}

/* Characters of a district or county: not a housing estate (小区), a park (园区), a street's end. */
static size_t china_district(const sp_job *j, const cursor *c)
{
    const char *p = j->text + c->at;
    size_t n = find_mark(j, c, "区縣县市旗區", 1, 10), road = find_mark(j, c, "路街道巷号弄", 1, 8);
    if (!n || (road && road < n)) return 0;
    if (is_mark(p + (n - 2) * 3, "小社园街校院") && n > 2 && is_mark(p + (n - 1) * 3, "区區")) return 0;
    return n;
}

/* "新疆维吾尔自治区": a region's name, its people, and the word for an autonomous region. */
static size_t autonomous(const sp_job *j, const cursor *c)
{
    for (size_t n = 4; n <= 8 && chars(j, c, n + 1); n++) {
        const char *p = j->text + c->at + (n - 2) * 3;
        if (strncmp(p, "自治区", 9) != 0 && strncmp(p, "自治區", 9) != 0) continue;
        return region_at(j, c, 2) || region_at(j, c, 3) ? n + 1 : 0;
    }
    return 0;
}

static size_t municipality(const sp_job *j, const cursor *c)
{
    return chars(j, c, 3) && is_mark(j->text + c->at + 6, "市") ? 9 : 6;
}

/* "北京市海淀区", "上海市上海市徐汇区": region and town of one name; the name alone is the town. */
static bool china_municipality(sp_job *j, cursor *c)
{
    size_t n = municipality(j, c);
    cursor after = {c->i, c->at + (uint32_t)n};
    bool ends = j->word[c->i].end <= after.at;
    bool twice = ends ? c->i + 1 < j->words && is_municipality(sp_text(j, c->i + 1))
                      : is_municipality(j->text + after.at);
    if (n == 6 && !twice && !ends && !find_mark(j, &after, "区县區", 1, 6)) return false;
    take(j, c, n, twice ? SP_REGION : SP_TOWN);
    if (twice && ready(j, c)) take(j, c, municipality(j, c), SP_TOWN);
    return true;
}

static bool china_region(sp_job *j, cursor *c)
{
    size_t self = autonomous(j, c);
    if (self) {
        take(j, c, self * 3, SP_REGION);
        return true;
    }
    for (size_t n = 9; n >= 2; n--) {
        size_t bytes = chars(j, c, n);
        if (!bytes || !region_at(j, c, n)) continue;
        cursor after = {c->i, c->at + (uint32_t)bytes};
        bool marked = is_mark(j->text + c->at + bytes - 3, "省区區"), whole = after.at == j->word[c->i].end;
        if (!marked && !whole && !find_mark(j, &after, "市州盟县區区", 1, 8)) continue;
        if (!marked && is_mark(j->text + c->at + bytes, "市")) continue; /* the town of that name */
        take(j, c, bytes, SP_REGION);
        return true;
    }
    return false;
}

/* Characters of the town: up to 市, 自治州 or 盟, before any road; behind a region a county will do. */
static size_t china_town(const sp_job *j, const cursor *c, bool region)
{
    size_t n = find_mark(j, c, "市州盟", 1, 11), road = find_mark(j, c, "路街号弄", 1, 8);
    const char *last = j->text + c->at + (n ? n - 1 : 0) * 3;
    if (n && is_mark(last, "州")) {
        if (chars(j, c, n + 1) && is_mark(last + 3, "市"))
            n++; /* 广州市 */
        else if (n < 4 || !is_mark(last - 3, "治"))
            n = 0;
    }
    if (!n && region) n = china_district(j, c);
    return n && (!road || n < road) ? n : 0;
}

static bool china(sp_job *j, cursor *c)
{
    bool municipal = is_municipality(j->text + c->at);
    bool found = municipal ? china_municipality(j, c) : china_region(j, c);
    if (municipal && !found) return false;
    size_t town = !municipal && ready(j, c) ? china_town(j, c, found) : 0;
    if (town) take(j, c, town * 3, SP_TOWN);
    size_t district = (municipal || town) && ready(j, c) ? china_district(j, c) : 0;
    if (district) take(j, c, district * 3, SP_DEPENDENT);
    return found || town;
}

/* ---- Taiwan, Hong Kong, Macao ---- */

static bool taiwan(sp_job *j, cursor *c)
{
    size_t n = find_mark(j, c, "市縣县", 2, 4);
    if (!n) return false;
    bool county = is_mark(j->text + c->at + (n - 1) * 3, "縣县");
    take(j, c, n * 3, county ? SP_REGION : SP_TOWN);
    if (!ready(j, c)) return true;
    size_t part = find_mark(j, c, county ? "市鎮鄉镇乡" : "區区", 1, 5);
    if (part) take(j, c, part * 3, county ? SP_TOWN : SP_DEPENDENT);
    return true;
}

static bool known_town(const sp_job *j, const cursor *c, size_t n)
{
    char key[64];
    size_t bytes = chars(j, c, n);
    size_t length = bytes ? sv_alias_key(key, sizeof key, j->text + c->at, bytes) : 0;
    const sp_sense *s = length && length != SIZE_MAX ? sp_senses(j->data, 0, key, length) : NULL;
    for (; s; s = s->next) {
        if (s->class == SP_IS_TOWN && s->in && sp_has(s->in, sp_number(j->place->place.code))) return true;
    }
    return false;
}

static bool hong_kong(sp_job *j, cursor *c)
{
    bool found = false;
    for (size_t n = 3; n >= 2 && !found; n--) {
        size_t bytes = chars(j, c, n);
        bool longer =
            bytes && (known_town(j, c, n + 1) || known_town(j, c, n + 2)); /* 九龍塘 is a district */
        if (!bytes || longer || !(region_at(j, c, n) || (n == 2 && strncmp(j->text + c->at, "港島", 6) == 0)))
            continue;
        take(j, c, bytes, SP_REGION);
        found = true;
    }
    if (!ready(j, c)) return found;
    for (size_t n = 5; n >= 2; n--) {
        if (!known_town(j, c, n)) continue;
        take(j, c, n * 3, SP_TOWN);
        if (ready(j, c) && is_mark(j->text + c->at, "區区")) take(j, c, 3, SP_TOWN);
        return true;
    }
    return found;
}

/* ---- Korea ---- */

static bool ends_in(const sp_job *j, size_t i, const char *marks)
{
    const sp_word *w = &j->word[i];
    return w->end - w->at >= 6 && !w->digits && is_mark(j->text + w->end - 3, marks);
}

static bool korea(sp_job *j, cursor *c)
{
    size_t i = c->i;
    bool found = false, town = false;
    if (sv_region_find(j->place, sp_text(j, i), j->word[i].end - j->word[i].at)) {
        sp_give(j, i, i + 1, SP_REGION);
        found = true;
        i++;
    }
    for (size_t n = 0; n < 2 && i < j->words && sp_open(j, i) && ends_in(j, i, "시군구"); n++, i++) {
        if (!found && n == 0 && !(i + 1 < j->words && sp_open(j, i + 1))) break;
        sp_give(j, i, i + 1, SP_TOWN);
        town = true;
    }
    if (found && !town) { /* Sejong has no districts */
        j->word[c->i].column = SP_TOWN;
        town = true;
    }
    c->i = i;
    return town;
}

/* ---- the rest ---- */

/* Does the text hold one of the words of a class? They are written on to names, so that no word's key shows
 * it. */
static bool holds(const sp_job *j, size_t from, size_t to, sp_class class)
{
    size_t bytes = sp_span(j, from, to);
    const char *text = sp_text(j, from);
    for (size_t i = 0; i < j->data->easts; i++) {
        const sp_east_word *e = &j->data->east[i];
        if (e->class != (uint8_t) class || e->bytes > bytes) continue;
        for (size_t k = 0; k + e->bytes <= bytes; k++) {
            if (text[k] == e->text[0] && memcmp(text + k, e->text, e->bytes) == 0) return true;
        }
    }
    return false;
}

static bool honoured(const sp_job *j, size_t to)
{
    const sp_word *w = &j->word[to - 1];
    size_t bytes = w->end - w->at;
    for (size_t i = 0; i < j->data->easts; i++) {
        const sp_east_word *e = &j->data->east[i];
        bool honours = e->class == SP_IS_TITLE_AFTER || e->class == SP_IS_TITLE_GLUED;
        if (honours && e->bytes <= bytes && memcmp(j->text + w->end - e->bytes, e->text, e->bytes) == 0)
            return true;
    }
    return false;
}

static bool streetish(const sp_job *j, size_t from, size_t to)
{
    return sp_has_digit(j, from, to) || holds(j, from, to, SP_IS_UNIT) ||
           holds(j, from, to, SP_IS_BOX_EAST) || holds(j, from, to, SP_IS_RESTANTE) ||
           holds(j, from, to, SP_IS_CARE_EAST) || holds(j, from, to, SP_IS_LOCKER);
}

static bool short_name(const sp_job *j, size_t from, size_t to)
{
    size_t letters = 0;
    for (size_t i = from; i < to; i++)
        letters += j->word[i].letters;
    return letters <= 12 && to - from <= 3;
}

/* Behind the head the line is street; a firm or a name may close it ("... 4321 株式会社古着工房 中村大輔").
 */
static void street_line(sp_job *j, size_t from)
{
    size_t to = from;
    while (to < j->words && sp_open(j, to) && (to == from || j->word[to].gap != SP_GAP_LINE))
        to++;
    if (from >= to) return;
    size_t street = to; /* words from .. street - 1 are street for sure */
    while (street > from && !sp_has_digit(j, street - 1, street) && !streetish(j, street - 1, street) &&
           !sp_phrase(j, street - 1, SP_BIT(SP_IS_UNIT)))
        street--;
    if (street == from) street = to;
    sp_give(j, from, street, SP_STREET);
}

static void lines_left(sp_job *j)
{
    size_t name_from = 0, name_to = 0;
    bool sure = false;
    for (size_t i = 0; i < j->words;) {
        if (!sp_open(j, i)) {
            i++;
            continue;
        }
        size_t to = sp_run_end(j, i);
        if (holds(j, i, i + 1, SP_IS_FIRM_EAST) && to > i + 1 && !sp_has_digit(j, i, to)) to = i + 1;
        if (sp_phrase(j, i, SP_BIT(SP_IS_TITLE_AFTER)) == to - i) { /* "御中" behind a firm */
            sp_give(j, i, to, SP_DROPPED);
            i = to;
            continue;
        }
        bool honour = honoured(j, to), care = holds(j, i, to, SP_IS_CARE_EAST);
        if (holds(j, i, to, SP_IS_FIRM_EAST) && !sp_has_digit(j, i, to))
            sp_give(j, i, to, SP_FIRM);
        else if (care || (!honour && streetish(j, i, to)))
            sp_give(j, i, to, SP_STREET);
        else if ((!name_to || (honour && !sure)) && short_name(j, i, to) && !j->word[i].no_name) {
            name_from = i;
            name_to = to;
            sure = honour;
        }
        i = to;
    }
    if (!name_to) return;
    bool labelled = false;
    for (size_t i = 0; i < j->words; i++)
        labelled |= j->word[i].column == SP_RECIPIENT;
    if (!labelled) sp_give(j, name_from, name_to, SP_RECIPIENT);
}

static bool head_at(sp_job *j, size_t i, cursor *c)
{
    *c = (cursor){i, j->word[i].at};
    if (is_at(j, "JP")) return japan(j, c);
    if (is_at(j, "CN")) return china(j, c);
    if (is_at(j, "TW")) return taiwan(j, c);
    if (is_at(j, "HK")) return hong_kong(j, c);
    if (is_at(j, "KR") || is_at(j, "KP")) return korea(j, c);
    return false;
}

bool sp_east(sp_job *j)
{
    bool east = false, head = false;
    if (!is_at(j, "JP") && !is_at(j, "CN") && !is_at(j, "TW") && !is_at(j, "HK") && !is_at(j, "MO") &&
        !is_at(j, "KR") && !is_at(j, "KP"))
        return false;
    for (size_t i = 0; i < j->words; i++)
        east |= (sp_open(j, i) || j->word[i].no_name) && j->word[i].east;
    if (!east) return false;
    bool town_told = false;
    for (size_t i = 0; i < j->words; i++)
        town_told |= j->word[i].column == SP_TOWN;
    for (size_t i = 0; i < j->words && !head && !town_told; i++) {
        cursor c;
        if (!sp_open(j, i) || !j->word[i].east) continue;
        if (!head_at(j, i, &c)) continue;
        head = true;
        street_line(j, c.i);
    }
    /* A Latin address of the place with a name in its script is read the general way. */
    if (!head && !is_at(j, "MO") && !is_at(j, "HK") && !town_told) return false;
    sp_refresh(j);
    lines_left(j);
    sp_rest(j);
    return true;
}
