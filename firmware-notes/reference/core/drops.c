#include "drops.h"

#include "convert.h"
#include "rare.h"

RARE uint16_t scale(uint32_t a, uint32_t b, uint32_t c)
{
    while (a != 0 && b > UINT32_MAX / a) {
        a >>= 1;
        c >>= 1;
    }
    uint32_t quotient = c == 0 ? UINT32_MAX : a * b / c;
    return quotient > UINT16_MAX ? UINT16_MAX : (uint16_t)quotient;
}

uint16_t drop_codes(int32_t nanoamps, uint32_t ohms, uint8_t fraction)
{
    /* nV: a step in uV is 1/16 of line_step. */
    return scale((uint32_t)nanoamps, ohms, line_step(PLATE) / 16 * 1000 / fraction);
}

RARE int32_t drop_current(int32_t microvolts, uint32_t ohms)
{
    int32_t r = (int32_t)ohms;
    for (; r > 2000000; r /= 2) microvolts /= 2;
    return microvolts / r * 1000 + microvolts % r * 1000 / r;
}
