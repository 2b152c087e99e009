/* Conversions, each checked against the limits; one that breaks a limit trips the rig before anything else happens. */
#ifndef MEASURE_H
#define MEASURE_H

#include <stdbool.h>
#include <stdint.h>

void measure_reset(void);

/* Channels of a round. Gives their number. */
uint8_t measure_mask(uint8_t mask);

/* So many conversions for the average, whole rounds from the first channel of the mask on. False if the rig has tripped. */
bool measure_for_average(uint8_t conversions);

/* One conversion for the limits alone; watch_latest has it. False if the rig has tripped. */
bool measure_one(uint8_t channel);

/* The same of the next channel in turn; of all channels. */
void measure_watch(void);
void measure_watch_all(void);

#endif
