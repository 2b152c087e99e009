/* What is known of each channel of the converter. One record each, for its conversions are checked and summed where every cycle counts, and a
 * record is found by one address. */
#ifndef CHANNEL_H
#define CHANNEL_H

#include <stdint.h>
#include "convert.h"

struct channel {
    /* The one after it in a round. */
    struct channel *next;
    uint8_t number;

    /* Latest conversion. */
    uint16_t latest;

    /* Of the conversions for the sample that is being averaged. */
    uint16_t sum;

    /* What its code is below this is its drop: the code it has while no current flows. */
    int16_t at_rest;

    /* Conversions in a row beyond its limits. */
    uint8_t in_a_row;

    /* Of its resistor among those of the cathode current, and the part of that current by the latest conversion: watch.c. */
    uint16_t weight;
    uint16_t part;
};

/* The last stands for none: its conversions are good. */
extern struct channel channels[CHANNELS + 1];

#endif
