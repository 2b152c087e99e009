/* The frame decoder under libFuzzer: no input crashes it, and what it accepts has a right check. */
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

#include "frame_reader.h"
#include "requests.h"

uint32_t plain_crc(const uint8_t *bytes, uint32_t length);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct frame_reader reader;
    frame_reader_reset(&reader);
    for (size_t i = 0; i < size; i++) {
        if (!frame_reader_take(&reader, data[i])) continue;
        uint32_t check;
        memcpy(&check, reader.bytes + reader.length, sizeof check);
        if (reader.length < FRAME_HEADER || check != plain_crc(reader.bytes, reader.length)) abort();
        requests_make_sense(reader.bytes[0] & 31, reader.bytes + FRAME_HEADER, (uint8_t)(reader.length - FRAME_HEADER));
    }
    return 0;
}
