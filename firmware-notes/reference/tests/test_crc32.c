#include <string.h>

#include "check.h"
#include "crc32.h"

uint32_t plain_crc(const uint8_t *bytes, uint32_t length);

static uint32_t of(const void *bytes, uint32_t length)
{
    uint32_t crc = CRC32_START;
    for (uint32_t i = 0; i < length; i++) crc = crc32_update(crc, ((const uint8_t *)bytes)[i]);
    return crc32_finish(crc);
}

void test_crc32(void)
{
    /* CRC-32/ISO-HDLC of the published catalogue of parametrised CRC algorithms: check 0xCBF43926, residue 0xDEBB20E3 (before the final exclusive-or). */
    EQUAL(0xCBF43926U, of("123456789", 9));
    uint8_t whole[13] = "123456789";
    uint32_t check = of(whole, 9);
    memcpy(whole + 9, &check, 4);
    EQUAL(CRC32_GOOD, (uint32_t)~of(whole, 13));

    /* Its look-alikes of the same catalogue: CRC-32C and CRC-32/BZIP2. */
    CHECK(of("123456789", 9) != 0xE3069283U);
    CHECK(of("123456789", 9) != 0xFC891918U);

    /* The table, worked out by the bit. */
    for (int i = 0; i < 256; i++) {
        uint32_t entry = (uint32_t)i;
        for (int bit = 0; bit < 8; bit++) entry = entry & 1 ? entry >> 1 ^ 0xEDB88320U : entry >> 1;
        EQUAL(entry, crc32_update(0, (uint8_t)i));
    }
    EQUAL(plain_crc((const uint8_t *)"\0\0\0\0", 4), of("\0\0\0\0", 4));
}
