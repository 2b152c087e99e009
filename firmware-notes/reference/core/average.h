/* Sums conversions into one sample. */
#ifndef AVERAGE_H
#define AVERAGE_H

#include <stdbool.h>
#include <stdint.h>

void average_clear(void);
void average_add(uint8_t channel, uint16_t code);

/* Mean of a channel of which `count` conversions were added, in 1/16 of a code, rounded to nearest, halves up. count: 1 to 65535. */
uint16_t average_mean(uint8_t channel, uint16_t count);

/* Some conversion was the smallest or the largest code. */
bool average_clipped(void);

/* Largest less smallest plate conversion; 0 if there was none. */
uint16_t average_spread(void);

#endif
