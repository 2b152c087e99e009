/* Constants in program memory. */
#ifndef ROM_H
#define ROM_H

#include <avr/pgmspace.h>

#include "rare.h"

#define ROM PROGMEM
#define rom_u8(p) pgm_read_byte(p)
#define rom_u32(p) pgm_read_dword(p)
#define rom_copy memcpy_P

/* One byte of a CRC-32 by the table of core/crc32.c. The compiler takes twice the time and four more registers, and every byte of the link comes
 * here. */
OFTEN uint32_t rom_crc32(uint32_t crc, uint8_t byte, const uint8_t *table)
{
    uint16_t entry = (uint16_t)table | (byte ^ (uint8_t)crc);
    __asm__("mov %A0, %B0\n\tlpm r0, Z\n\teor %A0, r0\n\tinc r31\n\t"
            "mov %B0, %C0\n\tlpm r0, Z\n\teor %B0, r0\n\tinc r31\n\t"
            "mov %C0, %D0\n\tlpm r0, Z\n\teor %C0, r0\n\tinc r31\n\t"
            "lpm %D0, Z"
            : "+r"(crc), "+z"(entry) : : "r0");
    return crc;
}
#define ROM_CRC32(crc, byte, table) rom_crc32(crc, byte, (table)[0])

#endif
