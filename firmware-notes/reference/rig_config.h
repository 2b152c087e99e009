/* What a builder edits: what a code means in volts, the hard limits, and what the rig has. Extra-low voltage only.
 * Nothing a host sends goes beyond the hard limits. Both boards share this file. */
#ifndef RIG_CONFIG_H
#define RIG_CONFIG_H

/* Drive before the grid stopper, in uV, at DAC code 0 and at the largest code. */
#define DRIVE_BITS 12
#define DRIVE_AT_ZERO_UV (-16000000L)
#define DRIVE_AT_FULL_UV 32000000L

/* Channels in link order: uV at code 0 and at the largest code. The drive read-back must reach over the whole drive. */
#define ADC_BITS 12
#define FRACTION_BITS 4
#define PLATE_AT_ZERO_UV 0L
#define PLATE_AT_FULL_UV 40950000L
#define GRID_AT_ZERO_UV (-20480000L)
#define GRID_AT_FULL_UV 20470000L
#define SCREEN_AT_ZERO_UV 0L
#define SCREEN_AT_FULL_UV 40950000L
#define SUPPLY_AT_ZERO_UV 0L
#define SUPPLY_AT_FULL_UV 40950000L
#define READBACK_AT_ZERO_UV (-20480000L)
#define READBACK_AT_FULL_UV 40945000L

/* Hard limits in the units of IdentityLimits. The floor is the safe drive. */
#define HARD_DRIVE_FLOOR_UV (-14000000L)
#define HARD_DRIVE_CEILING_UV 26000000L
#define HARD_GRID_CURRENT_NA 8000000L
#define HARD_CATHODE_CURRENT_NA 30000000L
#define HARD_SUPPLY_MIN_UV 0L
#define HARD_SUPPLY_MAX_UV 40000000L
#define HARD_POSITIVE_TIME_MS 40000U

#define MAX_HEATER_UV 15000000L
#define SOCKETS 4
#define SEGMENT_CAPACITY 16
#define LEASE_MS 300
#define CONVERSION_US 19
#define HEATER_TIMEOUT_MS 60000U

/* Wiring until a program says otherwise: resistors in ohms. */
#define DEFAULT_PLATE_OHMS 10000UL
#define DEFAULT_SCREEN_OHMS 100UL
#define DEFAULT_STOPPER_OHMS 4700UL

/* Conversions in a row that break a limit before the latch fires, as in the table of causes. */
#define CEILING_IN_A_ROW 1
#define GRID_IN_A_ROW 4
#define CATHODE_IN_A_ROW 4
#define SUPPLY_IN_A_ROW 8
#define READBACK_IN_A_ROW 4

/* Converter error and noise at the ceiling itself, and how far the read-back may be off. */
#define CEILING_MARGIN_UV 100000L
#define READBACK_TOLERANCE_UV 500000L

/* The drive amplifier is at rest this long after a step. */
#define DRIVE_SETTLED_US 50

#endif
