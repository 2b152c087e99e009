/* Every raw conversion against the limits, in codes and in units worked out beforehand. */
#ifndef WATCH_H
#define WATCH_H

#include <stdbool.h>
#include <stdint.h>

struct wiring {
    uint32_t plate_ohms;
    uint32_t screen_ohms;
    uint32_t stopper_ohms;
    bool triode;
};

void watch_reset(void);

/* Works the limits in force out again, for these resistors. */
void watch_set(const struct wiring *wiring);

/* The same for the resistors as they are, after the limits have changed. */
void watch_renew(void);

/* Only a running program makes a rail below its limit a breach. */
void watch_running(bool running);

/* The drive has just been stepped. */
void watch_step(uint16_t drive_code);

/* One conversion. Gives the cause if that makes enough in a row beyond a limit, else 0. */
uint8_t watch_check(uint8_t channel, uint16_t code);

/* A limit that is broken by enough conversions in a row at present; 0 if none is. */
uint8_t watch_broken(void);

/* What the cause that watch_check has just given was measured as, and its limit, in the units of the table of causes. */
void watch_figures(uint8_t cause, int32_t *measured, int32_t *limit);

/* Latest conversion of a channel. */
uint16_t watch_latest(uint8_t channel);

#endif
