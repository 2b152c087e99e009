/* Time of positive drive within the last minute, in one bucket for three seconds. The running bucket and the twenty before it count, and each
 * millisecond in which the drive was positive at all: the error is on the safe side. */
#ifndef POSITIVE_H
#define POSITIVE_H

#include <stdbool.h>
#include <stdint.h>

void positive_reset(void);

/* The drive is positive from now on, or not. */
void positive_set(bool positive);

/* One millisecond of the rig clock has passed. */
void positive_tick(void);

/* Milliseconds within the last minute. */
uint16_t positive_used_ms(void);

#endif
