/* Sums conversions into one sample. */
#ifndef AVERAGE_H
#define AVERAGE_H

#include <stdbool.h>
#include <stdint.h>
#include "channel.h"
#include "rare.h"

/* So many codes fit into the sums; then they must be folded. */
enum { AVERAGE_FOLD = 16 };

struct average {
    /* Smallest and largest plate conversion; the smallest is above the largest while there was none. */
    uint16_t plate_low;
    uint16_t plate_high;

    /* Some conversion was the smallest or the largest code. */
    bool clipped;
};
extern struct average average;

/* How many conversions of each channel every sample will have, 1 to 65535. */
void average_begin(uint16_t count);
extern uint16_t average_count;

/* One conversion of a channel, in two steps for two gaps. */
OFTEN void average_add(struct channel *channel, uint16_t code)
{
    channel->sum = (uint16_t)(channel->sum + code);
}

OFTEN void average_note(const struct channel *channel, uint16_t code)
{
    /* Both ends are seen in the low byte first, which is soon done. */
    if ((uint8_t)(code + 1) < 2 && (code == 0 || code == MAX_CODE)) average.clipped = true;
    if (channel->number != PLATE) return;
    if (code < average.plate_low) average.plate_low = code;
    if (code > average.plate_high) average.plate_high = code;
}

/* If so, to be called after each AVERAGE_FOLD conversions of a channel, or fewer. */
bool average_needs_fold(void);
void average_fold(void);

/* Ends a sample and begins the next: lays the means of the channels of the round that begins with `first`, 16 bits each, in 1/16 of a code, rounded to nearest, halves up. Gives the
 * place after them. */
uint8_t *average_lay(uint8_t *at, struct channel *first);

/* Largest less smallest plate conversion; 0 if there was none. */
uint16_t average_spread(void);

#endif
