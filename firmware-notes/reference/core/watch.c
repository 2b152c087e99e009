#include "watch.h"

#include "convert.h"
#include "drops.h"
#include "limits.h"
#include "machine.h"
#include "messages.h"
#include "program.h"
#include "rare.h"

enum { BLIND = (DRIVE_SETTLED_US - 1) / CONVERSION_US, QUARTERS = 4, WHOLE_WEIGHT = 65535 };

_Static_assert(PLATE_AT_ZERO_UV == SUPPLY_AT_ZERO_UV && PLATE_AT_FULL_UV == SUPPLY_AT_FULL_UV && SCREEN_AT_ZERO_UV == SUPPLY_AT_ZERO_UV
    && SCREEN_AT_FULL_UV == SUPPLY_AT_FULL_UV, "plate, screen and supply have the same divider: drops are differences of their codes");
_Static_assert(GRID_AT_FULL_UV - GRID_AT_ZERO_UV == PLATE_AT_FULL_UV - PLATE_AT_ZERO_UV, "the grid has the same step, another zero");

/* Code that another line has at a DAC code: at 0, and the way for one step, both in 1/65536. The whole steps are taken apart, for 16 bits
 * multiply in half the time of 32. */
#define AT_ZERO(zero, full) ((int32_t)(((int64_t)DRIVE_AT_ZERO_UV - (zero)) * MAX_CODE * 65536 / ((full) - (zero)) + 32768))
#define PER_STEP(zero, full) ((uint32_t)((uint64_t)(DRIVE_AT_FULL_UV - DRIVE_AT_ZERO_UV) * 65536ULL / (uint64_t)((full) - (zero))))
#define CODE_AT(zero, full, code) ((int16_t)((code) * (uint16_t)(PER_STEP(zero, full) >> 16) \
    + (uint16_t)((AT_ZERO(zero, full) + (int32_t)((uint32_t)(code) * (uint16_t)PER_STEP(zero, full))) >> 16)))

/* Half a volt of the read-back in codes. */
#define TOLERANCE ((int16_t)((uint64_t)READBACK_TOLERANCE_UV * MAX_CODE / (READBACK_AT_FULL_UV - READBACK_AT_ZERO_UV)))

static uint16_t latest[CHANNELS];
static bool is_running;

/* Thresholds in codes; the cathode's in units. */
static int16_t ceiling_above, supply_above, supply_below, grid_drop_above;
static uint16_t cathode_above;

/* WHOLE_WEIGHT is the smallest resistor. */
static uint16_t plate_weight, screen_weight, grid_weight;

/* Of the code on the DAC. */
static uint16_t stepped;
static uint8_t blind;
static int16_t grid_without_current, readback_expected;

/* By the latest conversions. */
static uint16_t screen_part, grid_part;

static uint8_t over_ceiling, over_grid, over_cathode, off_supply, off_readback;

OFTEN uint16_t part(int16_t drop, uint16_t weight)
{
    if (drop < 0) return 0;
    return multiply_high((uint16_t)(drop * QUARTERS), weight);
}

void watch_reset(void)
{
    over_ceiling = over_grid = over_cathode = off_supply = off_readback = 0;
    is_running = false;
    watch_renew();
    watch_step(SAFE_CODE);
}

static uint32_t smallest(void)
{
    uint32_t ohms = program.plate_resistor;
    if (program.grid_stopper < ohms) ohms = program.grid_stopper;
    if (program.connection == 0 && program.screen_resistor < ohms) ohms = program.screen_resistor;
    return ohms;
}

/* Rounded up. */
static RARE uint16_t weight(uint32_t least, uint32_t ohms)
{
    while (least > UINT32_MAX / WHOLE_WEIGHT) {
        least >>= 1;
        ohms >>= 1;
    }
    uint32_t rounded = (least * WHOLE_WEIGHT) / ohms + 1;
    return rounded > UINT16_MAX ? UINT16_MAX : (uint16_t)rounded;
}

void watch_renew(void)
{
    uint32_t least = smallest();
    ceiling_above = line_code(READBACK, limits.drive_ceiling + (int32_t)CEILING_MARGIN_UV);
    supply_above = line_code(SUPPLY, limits.supply_max);
    supply_below = (int16_t)(line_code(SUPPLY, limits.supply_min - 1) + 1);
    uint16_t drop = drop_codes(limits.grid_current, program.grid_stopper, 1);
    grid_drop_above = drop > INT16_MAX ? INT16_MAX : (int16_t)drop;
    cathode_above = drop_codes(limits.cathode_current, least, QUARTERS);
    plate_weight = weight(least, program.plate_resistor);
    grid_weight = weight(least, program.grid_stopper);
    screen_weight = program.connection == 0 ? weight(least, program.screen_resistor) : 0;
    screen_part = part((int16_t)(latest[SUPPLY] - latest[SCREEN]), screen_weight);
    grid_part = 0;
}

void watch_running(bool running)
{
    is_running = running;
}

void watch_step(uint16_t code)
{
    stepped = code;
    blind = BLIND;
    grid_without_current = CODE_AT(GRID_AT_ZERO_UV, GRID_AT_FULL_UV, code);
    readback_expected = CODE_AT(READBACK_AT_ZERO_UV, READBACK_AT_FULL_UV, code);
}

/* One more in a row; saturates, so that a limit broken for hours does not wrap round. */
static RARE uint8_t broken(uint8_t *in_a_row, uint8_t needed, uint8_t cause)
{
    if (*in_a_row < needed) ++*in_a_row;
    return *in_a_row >= needed ? cause : 0;
}

bool watch_sees(void)
{
    if (blind == 0) return true;
    blind--;
    return false;
}

uint8_t watch_plate(uint16_t code, bool counts)
{
    latest[PLATE] = code;
    if (!counts) return 0;
    if (part((int16_t)(latest[SUPPLY] - code), plate_weight) + screen_part + grid_part > cathode_above)
        return broken(&over_cathode, CATHODE_IN_A_ROW, CAUSE_CATHODE_CURRENT);
    over_cathode = 0;
    return 0;
}

uint8_t watch_grid(uint16_t code, bool counts)
{
    latest[GRID] = code;
    int16_t drop = (int16_t)(grid_without_current - (int16_t)code);
    grid_part = part(drop, grid_weight);
    if (!counts) return 0;
    if (drop > grid_drop_above) return broken(&over_grid, GRID_IN_A_ROW, CAUSE_GRID_CURRENT);
    over_grid = 0;
    return 0;
}

void watch_screen(uint16_t code)
{
    latest[SCREEN] = code;
    screen_part = part((int16_t)(latest[SUPPLY] - code), screen_weight);
}

uint8_t watch_supply(uint16_t code)
{
    latest[SUPPLY] = code;
    int16_t value = (int16_t)code;
    if (value > supply_above || (value < supply_below && is_running)) return broken(&off_supply, SUPPLY_IN_A_ROW, CAUSE_SUPPLY_RANGE);
    off_supply = 0;
    return 0;
}

uint8_t watch_readback(uint16_t code, bool counts)
{
    latest[READBACK] = code;
    if ((int16_t)code > ceiling_above) return broken(&over_ceiling, CEILING_IN_A_ROW, CAUSE_DRIVE_CEILING);
    over_ceiling = 0;
    if (!counts) return 0;
    int16_t off = (int16_t)(readback_expected - (int16_t)code);
    if (off > TOLERANCE || off < -TOLERANCE) return broken(&off_readback, READBACK_IN_A_ROW, CAUSE_DRIVE_READ_BACK);
    off_readback = 0;
    return 0;
}

uint8_t watch_broken(void)
{
    if (over_ceiling >= CEILING_IN_A_ROW) return CAUSE_DRIVE_CEILING;
    if (over_grid >= GRID_IN_A_ROW) return CAUSE_GRID_CURRENT;
    if (over_cathode >= CATHODE_IN_A_ROW) return CAUSE_CATHODE_CURRENT;
    if (off_supply >= SUPPLY_IN_A_ROW) return CAUSE_SUPPLY_RANGE;
    if (off_readback >= READBACK_IN_A_ROW) return CAUSE_DRIVE_READ_BACK;
    return 0;
}

uint16_t watch_latest(uint8_t channel)
{
    return latest[channel];
}

static RARE int32_t volts(uint8_t channel)
{
    return line_microvolts(channel, latest[channel]);
}

RARE void watch_figures(uint8_t cause, int32_t *measured, int32_t *limit)
{
    int32_t drive = line_microvolts(DRIVE, stepped);
    int32_t current = drop_current(drive - volts(GRID), program.grid_stopper);
    int32_t supply = volts(SUPPLY);
    if (cause == CAUSE_GRID_CURRENT) {
        *limit = limits.grid_current;
    } else if (cause == CAUSE_CATHODE_CURRENT) {
        if (current < 0) current = 0;
        current += drop_current(supply - volts(PLATE), program.plate_resistor);
        if (program.connection == 0) current += drop_current(supply - volts(SCREEN), program.screen_resistor);
        *limit = limits.cathode_current;
    } else if (cause == CAUSE_SUPPLY_RANGE) {
        current = supply;
        *limit = supply > limits.supply_max ? limits.supply_max : limits.supply_min;
    } else {
        current = volts(READBACK);
        *limit = cause == CAUSE_DRIVE_CEILING ? limits.drive_ceiling : drive;
    }
    *measured = current;
}
