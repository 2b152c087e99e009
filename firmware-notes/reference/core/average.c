#include "average.h"

#include "convert.h"

static uint32_t sums[CHANNELS];
static uint16_t plate_low;
static uint16_t plate_high;
static bool clipped;

void average_clear(void)
{
    for (uint8_t channel = 0; channel < CHANNELS; channel++) sums[channel] = 0;
    plate_low = UINT16_MAX;
    plate_high = 0;
    clipped = false;
}

void average_add(uint8_t channel, uint16_t code)
{
    sums[channel] += code;
    if (code == 0 || code == ADC_MAX_CODE) clipped = true;
    if (channel != PLATE) return;
    if (code < plate_low) plate_low = code;
    if (code > plate_high) plate_high = code;
}

uint16_t average_mean(uint8_t channel, uint16_t count)
{
    /* 65535 conversions of 4095 with 4 binary places just fit into 32 bits, and the rounding with them. */
    uint32_t scaled = sums[channel] << FRACTION_BITS;
    if ((count & (count - 1)) == 0) {
        /* A power of two is common and a division costs more than a conversion. */
        scaled += count >> 1;
        for (; count > 1; count >>= 1) scaled >>= 1;
        return (uint16_t)scaled;
    }
    return (uint16_t)((scaled + count / 2) / count);
}

bool average_clipped(void)
{
    return clipped;
}

uint16_t average_spread(void)
{
    return plate_high >= plate_low ? (uint16_t)(plate_high - plate_low) : 0;
}
