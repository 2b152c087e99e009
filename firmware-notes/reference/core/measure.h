/* Conversions, each checked against the limits; one that breaks a limit trips the rig before anything else happens. */
#ifndef MEASURE_H
#define MEASURE_H

#include <stdbool.h>
#include <stdint.h>
#include "channel.h"

void measure_reset(void);

/* Joins the channels of a mask into a round. Gives the first and their number. */
struct channel *measure_round(uint8_t mask, uint8_t *count);

/* So many conversions for the average, whole rounds from the first channel of a round on. False if the rig has tripped. */
bool measure_for_average(struct channel *first, uint8_t conversions);

/* One conversion for the limits alone. False if the rig has tripped. */
bool measure_one(uint8_t channel);

/* The same of the next channel in turn; of all channels. */
void measure_watch(void);
void measure_watch_all(void);

#endif
