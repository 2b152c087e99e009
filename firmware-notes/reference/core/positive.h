/* Time of positive drive within the last minute, in one bucket a second. The running second and the sixty before it count, up to a second too
 * much: on the safe side. */
#ifndef POSITIVE_H
#define POSITIVE_H

#include <stdbool.h>
#include <stdint.h>

void positive_reset(uint32_t now);

/* The drive has been positive, or not, since the last call; from now on it is as told. */
void positive_set(uint32_t now, bool positive);
bool positive_is(void);

/* One millisecond of the rig clock has passed. */
void positive_tick(uint32_t now);

/* Milliseconds within the last minute as of the last tick or change. */
uint32_t positive_used_ms(void);

/* True when more than `milliseconds` are used. */
bool positive_over(uint16_t milliseconds);

#endif
