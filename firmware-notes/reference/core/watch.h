/* Every raw conversion against the limits, in codes and units worked out beforehand.
 *
 * Cathode current = (supply - plate) / Rp + (supply - screen) / Rs + max(0, (drive - grid) / Rg), without the screen's part for a triode
 * connection. It is reckoned in quarter steps of the plate channel over the smallest resistor of the three. */
#ifndef WATCH_H
#define WATCH_H

#include <stdbool.h>
#include <stdint.h>
#include "channel.h"

void watch_reset(void);

/* Works everything out again after the limits or the resistors of the program have changed. */
void watch_renew(void);

/* Only a running program makes a rail below its limit a breach. */
void watch_running(bool running);

/* The drive has just been stepped. */
void watch_step(uint16_t drive_code);

/* One conversion of a channel, in two steps that each fit into a gap of the next one: first the limits that need no product, then the cathode
 * current, of which plate, grid and screen carry a part. Each gives the cause if that makes enough in a row beyond a limit, else 0. A conversion
 * that comes too soon after a step counts for ceiling and rail alone. */
uint8_t watch_code(struct channel *channel, uint16_t code);
uint8_t watch_current(struct channel *channel);

/* A limit that is broken by enough conversions in a row at present; 0 if none is. */
uint8_t watch_broken(void);

/* What the cause that has just been given was measured as, with that code on the DAC, and its limit, in the units of the table of causes. */
void watch_figures(uint8_t cause, uint16_t drive_code, int32_t *measured, int32_t *limit);

#endif
