/* What watch.c compares with, worked out from limits and resistors.
 *
 * Cathode current = (supply - plate) / Rp + (supply - screen) / Rs + max(0, (drive - grid) / Rg), without the screen's part for a triode
 * connection. In units that make the steepest channel over the smallest resistor 65535 a code, each part is a code times a weight of 16 bits.
 * Weights are rounded up: the current comes out too large by at most half a unit a code, which is 0.1 % for resistors 100 to 1. */
#ifndef WATCH_SCALE_H
#define WATCH_SCALE_H

#include <stdint.h>
#include "watch.h"

struct watch_scale {
    int16_t ceiling_above;
    int16_t supply_above;
    int16_t supply_below;
    /* Threshold of the grid code at DAC code 0, and the read-back code at DAC code 0; both in 1/65536 of a code. */
    int32_t grid_at_zero;
    int32_t readback_at_zero;
    uint16_t readback_tolerance;
    uint16_t supply_weight;
    uint16_t plate_weight;
    uint16_t screen_weight;
    uint16_t grid_weight;
    uint16_t drive_weight;
    int32_t constant;
    int32_t grid_constant;
    int32_t cathode_limit;
};

/* Codes a DAC step moves the read-back and the threshold of the grid, in 1/65536. */
#define CODES_PER_STEP(zero, full) ((uint32_t)(((uint64_t)DRIVE_SPAN_UV * ADC_MAX_CODE / DRIVE_MAX_CODE * 65536ULL) / (uint64_t)((full) - (zero))))

void watch_scale_set(struct watch_scale *scale, const struct wiring *wiring);

#endif
