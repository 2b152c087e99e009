/* Sums conversions into one sample. */
#ifndef AVERAGE_H
#define AVERAGE_H

#include <stdbool.h>
#include <stdint.h>

/* So many codes fit into the sums; then they must be folded. */
enum { AVERAGE_FOLD = 16 };

/* How many conversions of each channel every sample will have, 1 to 65535. */
void average_begin(uint16_t count);
void average_clear(void);
void average_add(uint8_t channel, uint16_t code);

/* If so, to be called after each AVERAGE_FOLD conversions of a channel, or fewer. */
bool average_needs_fold(void);
void average_fold(void);

/* Lays the means of the channels of a mask, 16 bits each, in 1/16 of a code, rounded to nearest, halves up. Gives the place after them. */
uint8_t *average_lay(uint8_t *at, uint8_t mask);

/* Some conversion was the smallest or the largest code. */
bool average_clipped(void);

/* Largest less smallest plate conversion; 0 if there was none. */
uint16_t average_spread(void);

#endif
