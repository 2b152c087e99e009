/* Every raw conversion against the limits, in codes and units worked out beforehand.
 *
 * Cathode current = (supply - plate) / Rp + (supply - screen) / Rs + max(0, (drive - grid) / Rg), without the screen's part for a triode
 * connection. It is reckoned in quarter steps of the plate channel over the smallest resistor of the three. */
#ifndef WATCH_H
#define WATCH_H

#include <stdbool.h>
#include <stdint.h>

void watch_reset(void);

/* Works everything out again after the limits or the resistors of the program have changed. */
void watch_renew(void);

/* Only a running program makes a rail below its limit a breach. */
void watch_running(bool running);

/* The drive has just been stepped. */
void watch_step(uint16_t drive_code);

/* Whether the conversion that has just ended came long enough after a step; else it counts for ceiling and rail alone. Once for each conversion. */
bool watch_sees(void);

/* One conversion of a channel. Each gives the cause if that makes enough in a row beyond a limit, else 0. */
uint8_t watch_plate(uint16_t code, bool counts);
uint8_t watch_grid(uint16_t code, bool counts);
void watch_screen(uint16_t code);
uint8_t watch_supply(uint16_t code);
uint8_t watch_readback(uint16_t code, bool counts);

/* A limit that is broken by enough conversions in a row at present; 0 if none is. */
uint8_t watch_broken(void);

/* What the cause that has just been given was measured as, and its limit, in the units of the table of causes. */
void watch_figures(uint8_t cause, int32_t *measured, int32_t *limit);

/* Latest conversion of a channel. */
uint16_t watch_latest(uint8_t channel);

#endif
