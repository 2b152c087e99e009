/* Numbers in messages: little-endian, two's complement. */
#ifndef BYTES_H
#define BYTES_H

#include <stdint.h>

static inline uint16_t get_u16(const uint8_t *at)
{
    return (uint16_t)(at[0] | (uint16_t)((uint16_t)at[1] << 8));
}

static inline uint32_t get_u32(const uint8_t *at)
{
    return get_u16(at) | (uint32_t)get_u16(at + 2) << 16;
}

static inline int32_t get_i32(const uint8_t *at)
{
    return (int32_t)get_u32(at);
}

/* Each gives the place after what it has written. */
static inline uint8_t *put_u8(uint8_t *at, uint8_t value)
{
    at[0] = value;
    return at + 1;
}

static inline uint8_t *put_u16(uint8_t *at, uint16_t value)
{
    at[0] = (uint8_t)value;
    at[1] = (uint8_t)(value >> 8);
    return at + 2;
}

uint8_t *put_u32(uint8_t *at, uint32_t value);

static inline uint8_t *put_i32(uint8_t *at, int32_t value)
{
    return put_u32(at, (uint32_t)value);
}

#endif
