#include "drops.h"

#include "convert.h"
#include "rare.h"

RARE uint16_t drop_codes(int32_t nanoamps, uint32_t ohms, uint8_t fraction)
{
    uint32_t current = (uint32_t)nanoamps;
    /* nA times ohms per code: a step in uV is 1/16 of line_step, and 1000 nV. */
    uint32_t step = line_step(PLATE) / 16 * 1000 / fraction;
    while (current != 0 && ohms > UINT32_MAX / current) {
        current >>= 1;
        step >>= 1;
    }
    if (step == 0) return UINT16_MAX;
    uint32_t codes = current * ohms / step;
    return codes > UINT16_MAX ? UINT16_MAX : (uint16_t)codes;
}

RARE int32_t drop_current(int32_t microvolts, uint32_t ohms)
{
    int32_t r = (int32_t)ohms;
    for (; r > 2000000; r /= 2) microvolts /= 2;
    return microvolts / r * 1000 + microvolts % r * 1000 / r;
}
