/* Constants in program memory. */
#ifndef ROM_H
#define ROM_H

#include <avr/pgmspace.h>

#define ROM PROGMEM
#define rom_u8(p) pgm_read_byte(p)
#define rom_u32(p) pgm_read_dword(p)

#endif
