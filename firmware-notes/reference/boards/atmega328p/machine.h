/* What the core leaves to the machine: constants in program memory, and two steps of arithmetic that the compiler does slowly. */
#ifndef MACHINE_H
#define MACHINE_H

#include <avr/pgmspace.h>

#include "rare.h"

#define ROM PROGMEM
#define rom_u8(p) pgm_read_byte(p)
#define rom_u32(p) pgm_read_dword(p)
#define rom_copy memcpy_P

/* One byte of a CRC-32 by the table of core/crc32.c. The compiler takes twice the time and four more registers, and every byte of the link comes
 * here. */
OFTEN uint32_t rom_crc32(uint32_t crc, uint8_t byte, const uint8_t (*table)[256])
{
    uint16_t entry = byte;
    __asm__("eor %A1, %A0\n\tldi %B1, hi8(%2)\n\t"
            "mov %A0, %B0\n\tlpm r0, Z\n\teor %A0, r0\n\tinc r31\n\t"
            "mov %B0, %C0\n\tlpm r0, Z\n\teor %B0, r0\n\tinc r31\n\t"
            "mov %C0, %D0\n\tlpm r0, Z\n\teor %C0, r0\n\tinc r31\n\t"
            "lpm %D0, Z"
            : "+r"(crc), "+z"(entry) : "i"(table) : "r0");
    return crc;
}
/* The high half of a product. The carry of the low half is kept; a call of the library would take twice the time. */
OFTEN uint16_t multiply_high(uint16_t a, uint16_t b)
{
    uint16_t high;
    uint8_t low;
    uint8_t zero;
    __asm__("clr %2\n\t"
            "mul %B3, %B4\n\tmovw %A0, r0\n\t"
            "mul %A3, %A4\n\tmov %1, r1\n\t"
            "mul %A3, %B4\n\tadd %1, r0\n\tadc %A0, r1\n\tadc %B0, %2\n\t"
            "mul %B3, %A4\n\tadd %1, r0\n\tadc %A0, r1\n\tadc %B0, %2\n\t"
            "clr r1"
            : "=&r"(high), "=&r"(low), "=&r"(zero) : "r"(a), "r"(b) : "r0");
    return high;
}

#define ROM_CRC32(crc, byte, table) rom_crc32(crc, byte, (table))

#endif
