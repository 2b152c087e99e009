/* CRC-32/ISO-HDLC, one byte at a time. */
#ifndef CRC32_H
#define CRC32_H

#include <stdint.h>
#include "rare.h"
#include "machine.h"

#define CRC32_START 0xFFFFFFFFUL

/* What the register holds after a good frame and its check, before the final exclusive-or. */
#define CRC32_GOOD 0xDEBB20E3UL

/* Byte k of entry i stands at [k][i]. */
extern const uint8_t crc32_table[4][256] ROM;

OFTEN uint32_t crc32_update(uint32_t crc, uint8_t byte)
{
#ifdef ROM_CRC32
    return ROM_CRC32(crc, byte, crc32_table);
#else
    uint8_t i = (uint8_t)crc ^ byte;
    return (crc >> 8) ^ ((uint32_t)rom_u8(&crc32_table[3][i]) << 24 | (uint32_t)rom_u8(&crc32_table[2][i]) << 16
        | (uint32_t)rom_u8(&crc32_table[1][i]) << 8 | rom_u8(&crc32_table[0][i]));
#endif
}

static inline uint32_t crc32_finish(uint32_t crc)
{
    return ~crc;
}

#endif
