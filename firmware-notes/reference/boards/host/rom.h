/* Constants in program memory: on this board they are in memory like any other. */
#ifndef ROM_H
#define ROM_H

#include <string.h>

#define ROM
#define rom_u8(p) (*(p))
#define rom_u32(p) (*(p))
#define rom_copy memcpy

#endif
