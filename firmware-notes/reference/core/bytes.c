#include "bytes.h"

uint8_t *put_u32(uint8_t *at, uint32_t value)
{
    return put_u16(put_u16(at, (uint16_t)value), (uint16_t)(value >> 16));
}
