#include "scale.h"

/* Long division of the 64-bit product, one bit a turn: slow and small, for limits and programs only. */
static uint32_t divide(uint32_t a, uint32_t b, uint32_t c, uint32_t *rest)
{
    uint32_t high = 0;
    uint32_t low = 0;
    for (uint8_t bit = 0; bit < 32; bit++) {
        high = (high << 1) | (low >> 31);
        low <<= 1;
        if (a & 0x80000000UL) {
            low += b;
            if (low < b) high++;
        }
        a <<= 1;
    }
    if (high >= c) {
        *rest = 0;
        return UINT32_MAX;
    }
    uint32_t result = 0;
    for (uint8_t bit = 0; bit < 32; bit++) {
        uint8_t over = (uint8_t)(high >> 31);
        high = (high << 1) | (low >> 31);
        low <<= 1;
        result <<= 1;
        if (over || high >= c) {
            high -= c;
            result |= 1;
        }
    }
    *rest = high;
    return result;
}

uint32_t scale_muldiv(uint32_t a, uint32_t b, uint32_t c)
{
    uint32_t rest;
    return divide(a, b, c, &rest);
}

uint32_t scale_muldiv_up(uint32_t a, uint32_t b, uint32_t c)
{
    uint32_t rest;
    uint32_t result = divide(a, b, c, &rest);
    return rest != 0 && result != UINT32_MAX ? result + 1 : result;
}

int32_t scale_signed(int32_t a, uint32_t b, uint32_t c)
{
    uint32_t size = a < 0 ? scale_muldiv_up(0UL - (uint32_t)a, b, c) : scale_muldiv((uint32_t)a, b, c);
    if (size > INT32_MAX) size = INT32_MAX;
    return a < 0 ? -(int32_t)size : (int32_t)size;
}
