/* Codes and volts of the nominal straight lines of rig_config.h. */
#ifndef CONVERT_H
#define CONVERT_H

#include <stdint.h>
#include "rig_config.h"

#define DRIVE_MAX_CODE ((1 << DRIVE_BITS) - 1)
#define ADC_MAX_CODE ((1 << ADC_BITS) - 1)
#define DRIVE_SPAN_UV ((uint32_t)(DRIVE_AT_FULL_UV - DRIVE_AT_ZERO_UV))

/* Nearest code of the safe drive, worked out by the compiler. */
#define SAFE_CODE ((uint16_t)(((uint64_t)(HARD_DRIVE_FLOOR_UV - DRIVE_AT_ZERO_UV) * DRIVE_MAX_CODE + DRIVE_SPAN_UV / 2) / DRIVE_SPAN_UV))

/* The lowest code whose drive is above 0 V. */
#define FIRST_POSITIVE_CODE ((uint16_t)((uint64_t)(-DRIVE_AT_ZERO_UV) * DRIVE_MAX_CODE / DRIVE_SPAN_UV + 1))

enum { PLATE, GRID, SCREEN, SUPPLY, READBACK, CHANNELS };

int32_t channel_at_zero(uint8_t channel);
int32_t channel_at_full(uint8_t channel);

/* uV of a DAC code; of a conversion. */
int32_t drive_microvolts(uint16_t code);
int32_t channel_microvolts(uint8_t channel, uint16_t code);

/* Highest DAC code that is not above a drive, and the nearest one; kept within the converter. */
uint16_t drive_code_below(int32_t microvolts);
uint16_t drive_code_near(int32_t microvolts);

/* floor of the code that a voltage would have; -1 if it is below the channel, and at most the largest code. */
int16_t channel_code_below(uint8_t channel, int32_t microvolts);

#endif
