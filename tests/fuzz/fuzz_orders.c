/* fuzz_orders.c - the orders table, CSV and TSV: the first byte chooses. */
#include "fuzz_parcels.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes)
{
    static const int formats[] = {0, 'c', 't'};
    return bytes ? read_parcels(data + 1, bytes - 1, formats[data[0] % 3]) : 0;
}
