#include "average.h"

#include <string.h>

#include "convert.h"
#include "rare.h"

/* Sixteen codes fit into 16 bits, which an 8-bit machine adds in half the time. */
static uint16_t sums[CHANNELS];
static uint32_t totals[CHANNELS];
static uint16_t plate_low;
static uint16_t plate_high;
static uint16_t count;

/* 16 / count where that is whole: then the mean is a product. Else 0. */
static uint8_t factor;
static bool clipped;

void average_begin(uint16_t conversions)
{
    count = conversions;
    factor = 0;
    for (uint8_t whole = 1; whole <= AVERAGE_FOLD; whole++)
        if (whole * conversions == AVERAGE_FOLD) factor = whole;
    memset(totals, 0, sizeof totals);
    average_clear();
}

void average_clear(void)
{
    /* Faster than a loop: this comes with every sample. */
    sums[PLATE] = sums[GRID] = sums[SCREEN] = sums[SUPPLY] = sums[READBACK] = 0;
    if (factor == 0) memset(totals, 0, sizeof totals);
    plate_low = UINT16_MAX;
    plate_high = 0;
    clipped = false;
}

void average_add(uint8_t channel, uint16_t code)
{
    sums[channel] = (uint16_t)(sums[channel] + code);
    if ((uint16_t)(code - 1) >= MAX_CODE - 1) clipped = true;
    if (channel != PLATE) return;
    if (code < plate_low) plate_low = code;
    if (code > plate_high) plate_high = code;
}

void average_fold(void)
{
    for (uint8_t channel = 0; channel < CHANNELS; channel++) totals[channel] += sums[channel];
    memset(sums, 0, sizeof sums);
}

/* The general case, for counts that do not divide 16. */
static RARE uint16_t mean(uint8_t channel)
{
    /* 65535 conversions of 4095 with 4 binary places just fit into 32 bits, and the rounding with them. */
    return (uint16_t)(((totals[channel] << FRACTION_BITS) + count / 2) / count);
}

uint8_t *average_lay(uint8_t *at, uint8_t mask)
{
    const uint16_t *sum = sums;
    uint8_t times = factor;
    for (uint8_t bit = 1; bit <= mask; bit = (uint8_t)(bit << 1), sum++) {
        if (!(mask & bit)) continue;
        uint16_t code = times != 0 ? (uint16_t)(*sum * times) : mean((uint8_t)(sum - sums));
        *at++ = (uint8_t)code;
        *at++ = (uint8_t)(code >> 8);
    }
    return at;
}

bool average_needs_fold(void)
{
    return factor == 0;
}

bool average_clipped(void)
{
    return clipped;
}

uint16_t average_spread(void)
{
    return plate_high >= plate_low ? (uint16_t)(plate_high - plate_low) : 0;
}
