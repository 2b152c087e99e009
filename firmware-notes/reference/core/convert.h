/* Codes and volts of the nominal straight lines of rig_config.h. A step of a line is kept in 1/16 uV, rounded up: a code is then off by less
 * than 1/100 of a step at the end of the line, and every product fits into 32 bits. */
#ifndef CONVERT_H
#define CONVERT_H

#include <stdint.h>
#include "rig_config.h"

#define MAX_CODE ((1 << DRIVE_BITS) - 1)
_Static_assert(DRIVE_BITS == ADC_BITS && ADC_BITS + FRACTION_BITS == 16, "12-bit converters on both sides");

/* Step of a line in 1/16 uV, by the compiler. */
#define STEP_OF(zero, full) ((uint32_t)(((uint64_t)((full) - (zero)) * 16 + MAX_CODE - 1) / MAX_CODE))
#define DRIVE_STEP STEP_OF(DRIVE_AT_ZERO_UV, DRIVE_AT_FULL_UV)

/* Nearest code of the safe drive; the lowest code whose drive is above 0 V. */
#define SAFE_CODE ((uint16_t)(((uint64_t)(HARD_DRIVE_FLOOR_UV - DRIVE_AT_ZERO_UV) * 16 + DRIVE_STEP / 2) / DRIVE_STEP))
#define FIRST_POSITIVE_CODE ((uint16_t)((uint64_t)(-DRIVE_AT_ZERO_UV) * MAX_CODE / (uint64_t)(DRIVE_AT_FULL_UV - DRIVE_AT_ZERO_UV) + 1))

/* The lines: five channels in link order, and the drive. */
enum { PLATE, GRID, SCREEN, SUPPLY, READBACK, CHANNELS, DRIVE = CHANNELS };

int32_t line_at_zero(uint8_t line);

/* Step in 1/16 uV. */
uint32_t line_step(uint8_t line);

/* uV of a code. */
int32_t line_microvolts(uint8_t line, uint16_t code);

/* Highest code that is not above a voltage, -1 if there is none; nothing beyond the largest code. */
int16_t line_code(uint8_t line, int32_t microvolts);

#endif
