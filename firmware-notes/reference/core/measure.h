/* Conversions, each checked against the limits; one that breaks a limit trips the rig before anything else happens. */
#ifndef MEASURE_H
#define MEASURE_H

#include <stdbool.h>
#include <stdint.h>

void measure_reset(void);

/* Channels of a round. Gives their number. */
uint8_t measure_mask(uint8_t mask);

/* One conversion of each channel of the mask, for the average. False if the rig has tripped. */
bool measure_round(void);

/* One conversion of the plate for settling. False if the rig has tripped. */
bool measure_plate(uint16_t *code);

/* One conversion of the next channel in turn, for the limits alone. True if that was the last channel. */
bool measure_watch(void);

#endif
