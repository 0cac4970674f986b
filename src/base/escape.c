/* escape.c - one escaper for each format. Each copies runs of plain bytes and replaces the rest. */
#include <string.h>

#include "base/buf.h"

/* Which bytes a format looks at, so that runs of plain ones are passed over by a table. */
enum { TSV = 1, XML = 2, JSON = 4, CSV = 8 };
#define ALL    (TSV | XML | JSON)
#define ROW(x) x, x, x, x, x, x, x, x, x, x, x, x, x, x, x, x
/* clang-format off */
static const uint8_t looked_at[256] = {
    ROW(ALL), ROW(ALL),
    0, 0, XML | JSON | CSV, 0, 0, 0, XML, XML, 0, 0, 0, 0, 0, 0, 0, 0, /* 20: " & ' */
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, XML, 0, XML, 0,                /* 30: < > */
    ROW(0),
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, TSV | JSON, 0, 0, 0,           /* 50: backslash */
    ROW(0),
    0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, TSV | XML,            /* 70: delete */
    ROW(0), ROW(0), ROW(0), ROW(0),
    0, 0, TSV, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,                  /* C0: U+0080 to U+009F begin so */
    ROW(0),
    0, 0, TSV, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0,                  /* E0: U+2028, U+2029 */
    ROW(0)};
/* clang-format on */

/* Gives the replacement of a byte, or NULL when it stands for itself. `n` further bytes may be taken in. */
typedef const char *(*replace)(const unsigned char *at, size_t *taken);

static void put_with(sv_buf *b, const char *text, uint8_t format, replace how)
{
    const unsigned char *p = (const unsigned char *)text, *plain = p;
    for (;;) {
        while (*p && !(looked_at[*p] & format))
            p++;
        if (!*p) break;
        size_t taken = 1;
        const char *other = how(p, &taken);
        if (other) {
            sv_put_n(b, plain, (size_t)(p - plain));
            sv_put(b, other);
            plain = p + taken;
        }
        p += taken;
    }
    sv_put_n(b, plain, (size_t)(p - plain));
}

static const char *xml(const unsigned char *at, size_t *taken)
{
    (void)taken;
    switch (*at) {
    case '&': return "&amp;";
    case '<': return "&lt;";
    case '>': return "&gt;";
    case '"': return "&quot;";
    case '\n': return "&#10;";
    case '\t': return "&#9;";
    default: return *at < 0x20 || *at == 0x7f ? "" : NULL; /* not allowed in XML 1.0, or discouraged */
    }
}

void sv_put_xml(sv_buf *b, const char *text)
{
    put_with(b, text, XML, xml);
}

static const char *html(const unsigned char *at, size_t *taken)
{
    if (*at == '\n' || *at == '\t') return NULL;
    return *at == '\'' ? "&#39;" : xml(at, taken);
}

void sv_put_html(sv_buf *b, const char *text)
{
    put_with(b, text, XML, html);
}

static const char *json(const unsigned char *at, size_t *taken)
{
    (void)taken;
    static const char *const control[0x20] = {
        "\\u0000", "\\u0001", "\\u0002", "\\u0003", "\\u0004", "\\u0005", "\\u0006", "\\u0007",
        "\\b",     "\\t",     "\\n",     "\\u000b", "\\f",     "\\r",     "\\u000e", "\\u000f",
        "\\u0010", "\\u0011", "\\u0012", "\\u0013", "\\u0014", "\\u0015", "\\u0016", "\\u0017",
        "\\u0018", "\\u0019", "\\u001a", "\\u001b", "\\u001c", "\\u001d", "\\u001e", "\\u001f"};
    if (*at == '"') return "\\\"";
    if (*at == '\\') return "\\\\";
    return *at < 0x20 ? control[*at] : NULL;
}

void sv_put_json(sv_buf *b, const char *text)
{
    sv_put_char(b, '"');
    put_with(b, text, JSON, json);
    sv_put_char(b, '"');
}

/* U+0085, U+2028 and U+2029 would break lines for some readers: blanks, like the other controls. */
static const char *tsv(const unsigned char *at, size_t *taken)
{
    if (*at == '\t') return "\\t";
    if (*at == '\n') return "\\n";
    if (*at == '\\') return "\\\\";
    if (*at < 0x20 || *at == 0x7f) return " ";
    if (at[0] == 0xC2 && at[1] >= 0x80 && at[1] <= 0x9F) {
        *taken = 2;
        return " ";
    }
    if (at[0] == 0xE2 && at[1] == 0x80 && (at[2] == 0xA8 || at[2] == 0xA9)) {
        *taken = 3;
        return " ";
    }
    return NULL;
}

void sv_put_tsv(sv_buf *b, const char *text)
{
    put_with(b, text, TSV, tsv);
}

static const char *doubled(const unsigned char *at, size_t *taken)
{
    (void)taken;
    return *at == '"' ? "\"\"" : NULL;
}

void sv_put_csv(sv_buf *b, const char *text)
{
    if (!text[strcspn(text, ",\"\r\n")]) {
        sv_put(b, text);
        return;
    }
    sv_put_char(b, '"');
    put_with(b, text, CSV, doubled);
    sv_put_char(b, '"');
}
