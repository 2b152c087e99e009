/* What the core leaves to the machine: constants in program memory, and two steps of arithmetic. This one has no ways of its own. */
#ifndef MACHINE_H
#define MACHINE_H

#include <stdint.h>
#include <string.h>

#define ROM
#define rom_u8(p) (*(p))
#define rom_u32(p) (*(p))
#define rom_copy memcpy

/* The high half of a product. */
static inline uint16_t multiply_high(uint16_t a, uint16_t b)
{
    return (uint16_t)((uint32_t)a * b >> 16);
}

#endif
