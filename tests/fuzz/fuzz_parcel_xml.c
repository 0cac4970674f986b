/* fuzz_parcel_xml.c - the parcel XML. */
#include "fuzz_parcels.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t bytes)
{
    return read_parcels(data, bytes, 'x');
}
