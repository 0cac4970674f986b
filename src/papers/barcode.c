/* barcode.c - Code 128 by libzint, which picks the shortest mix of code sets. */
#include "papers/barcode.h"

#include <string.h>
#include <zint.h>

bool sv_code128(sv_arena *arena, const char *text, const uint8_t **modules, size_t *count)
{
    struct zint_symbol *symbol = ZBarcode_Create();
    if (symbol == NULL) return false;
    symbol->symbology = BARCODE_CODE128;
    int failed = ZBarcode_Encode(symbol, (const unsigned char *)text, (int)strlen(text));
    size_t n = failed >= ZINT_ERROR || symbol->rows != 1 ? 0 : (size_t)symbol->width;
    uint8_t *m = n == 0 ? NULL : sv_alloc(arena, n);
    for (size_t i = 0; m != NULL && i < n; i++)
        m[i] = symbol->encoded_data[0][i / 8] >> (i % 8) & 1;
    ZBarcode_Delete(symbol);
    *modules = m;
    *count = n;
    return m != NULL;
}
