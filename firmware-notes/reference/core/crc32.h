/* CRC-32/ISO-HDLC, one byte at a time. */
#ifndef CRC32_H
#define CRC32_H

#include <stdint.h>
#include "rom.h"

#define CRC32_START 0xFFFFFFFFUL

/* What the register holds after a good frame and its check, before the final exclusive-or. */
#define CRC32_GOOD 0xDEBB20E3UL

extern const uint32_t crc32_table[256] ROM;

static inline uint32_t crc32_update(uint32_t crc, uint8_t byte)
{
    return (crc >> 8) ^ rom_u32(&crc32_table[(uint8_t)crc ^ byte]);
}

static inline uint32_t crc32_finish(uint32_t crc)
{
    return ~crc;
}

#endif
