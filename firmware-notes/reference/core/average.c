#include "average.h"

#include <string.h>

#include "rare.h"

struct average average;
uint16_t average_count;

/* Sixteen codes fit into the 16 bits of a channel's sum, which an 8-bit machine adds in half the time. */
static uint32_t totals[CHANNELS];

/* 16 / count where that is whole: then the mean is a product. Else 0. */
static uint8_t factor;

OFTEN void clear(void)
{
    if (factor == 0) memset(totals, 0, sizeof totals);
    average = (struct average){ .plate_low = UINT16_MAX };
}

void average_begin(uint16_t conversions)
{
    average_count = conversions;
    factor = 0;
    for (uint8_t whole = 1; whole <= AVERAGE_FOLD; whole++)
        if (whole * conversions == AVERAGE_FOLD) factor = whole;
    average_fold();
    clear();
}

void average_fold(void)
{
    for (uint8_t i = 0; i < CHANNELS; i++) {
        totals[i] += channels[i].sum;
        channels[i].sum = 0;
    }
}

/* The general case, for counts that do not divide 16. */
static RARE uint16_t mean(uint32_t total)
{
    /* 65535 conversions of 4095 with 4 binary places just fit into 32 bits, and the rounding with them. */
    return (uint16_t)(((total << FRACTION_BITS) + average_count / 2) / average_count);
}

uint8_t *average_lay(uint8_t *at, struct channel *first)
{
    struct channel *channel = first;
    uint8_t times = factor;
    do {
        uint16_t code = times != 0 ? (uint16_t)(channel->sum * times) : mean(totals[channel->number]);
        channel->sum = 0;
        at[0] = (uint8_t)code;
        at[1] = (uint8_t)(code >> 8);
        at += 2;
        channel = channel->next;
    } while (channel != first);
    clear();
    return at;
}

bool average_needs_fold(void)
{
    return factor == 0;
}

uint16_t average_spread(void)
{
    return average.plate_high >= average.plate_low ? (uint16_t)(average.plate_high - average.plate_low) : 0;
}
