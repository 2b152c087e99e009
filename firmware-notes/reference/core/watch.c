#include "watch.h"

#include <string.h>

#include "drops.h"
#include "limits.h"
#include "machine.h"
#include "messages.h"
#include "outputs.h"
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

/* By channel: the cause that its limits give, and how many conversions in a row it takes. The screen has no limit of its own. */
static const struct {
    uint8_t cause;
    uint8_t needed;
} causes[CHANNELS] ROM = {
    { CAUSE_CATHODE_CURRENT, CATHODE_IN_A_ROW }, { CAUSE_GRID_CURRENT, GRID_IN_A_ROW }, { 0, UINT8_MAX },
    { CAUSE_SUPPLY_RANGE, SUPPLY_IN_A_ROW }, { CAUSE_DRIVE_READ_BACK, READBACK_IN_A_ROW },
};

/* Each by itself and not in a structure: an 8-bit machine is faster so, and every conversion comes here.
 * Thresholds in codes; the cathode's in units. */
static int16_t ceiling_above, supply_above, supply_below, grid_drop_above;
static uint16_t cathode_above;

/* While it is not 0, conversions come too soon after the step. */
static uint8_t blind;

/* Conversions in a row above the ceiling. */
static uint8_t over_ceiling;

OFTEN uint16_t part(int16_t drop, uint16_t weight)
{
    if (drop < 0) drop = 0;
    return multiply_high((uint16_t)(drop * QUARTERS), weight);
}

void watch_reset(void)
{
    memset(channels, 0, sizeof channels);
    for (uint8_t i = 0; i <= CHANNELS; i++) {
        struct channel *channel = &channels[i];
        channel->next = channel;
        channel->number = i;
    }
    over_ceiling = 0;
    watch_renew();
    watch_running(false);
    watch_step(SAFE_CODE);
}

/* In ohms, of plate, grid or screen; 0 for the screen that is joined to the plate and has none of its own. */
static RARE uint32_t resistor(uint8_t number)
{
    if (number == PLATE) return program.plate_resistor;
    if (number == GRID) return program.grid_stopper;
    return program.connection == 0 ? program.screen_resistor : 0;
}

void watch_renew(void)
{
    uint32_t least = UINT32_MAX;
    for (uint8_t i = PLATE; i <= SCREEN; i++) {
        uint32_t ohms = resistor(i);
        if (ohms != 0 && ohms < least) least = ohms;
    }
    for (uint8_t i = PLATE; i <= SCREEN; i++) {
        uint32_t ohms = resistor(i);
        /* WHOLE_WEIGHT is the smallest resistor. Rounded up. */
        uint16_t weight = 0;
        if (ohms != 0) {
            weight = scale(least, WHOLE_WEIGHT, ohms);
            if (weight != WHOLE_WEIGHT) weight++;
        }
        channels[i].weight = weight;
        channels[i].part = 0;
    }
    channels[SCREEN].part = part((int16_t)(channels[SCREEN].at_rest - (int16_t)channels[SCREEN].latest), channels[SCREEN].weight);
    ceiling_above = line_code(READBACK, limits.drive_ceiling + (int32_t)CEILING_MARGIN_UV);
    supply_above = line_code(SUPPLY, limits.supply_max);
    uint16_t drop = drop_codes(limits.grid_current, program.grid_stopper, 1);
    grid_drop_above = drop > INT16_MAX ? INT16_MAX : (int16_t)drop;
    cathode_above = drop_codes(limits.cathode_current, least, QUARTERS);
}

void watch_running(bool running)
{
    supply_below = running ? (int16_t)(line_code(SUPPLY, limits.supply_min - 1) + 1) : 0;
}

void watch_step(uint16_t code)
{
    blind = BLIND + 1;
    channels[GRID].at_rest = CODE_AT(GRID_AT_ZERO_UV, GRID_AT_FULL_UV, code);
}

/* One more in a row; saturates, so that a limit broken for hours does not wrap round. */
static bool enough(uint8_t *in_a_row, uint8_t needed)
{
    if (*in_a_row < needed) ++*in_a_row;
    return *in_a_row >= needed;
}

static RARE uint8_t beyond(struct channel *channel)
{
    return enough(&channel->in_a_row, rom_u8(&causes[channel->number].needed)) ? rom_u8(&causes[channel->number].cause) : 0;
}

uint8_t watch_code(struct channel *channel, uint16_t code)
{
    int16_t value = (int16_t)code;
    channel->latest = code;
    if (blind != 0 && channel->number != CHANNELS) blind--;
    switch (channel->number) {
    case GRID:
        if (blind != 0) return 0;
        if (channel->at_rest - value > grid_drop_above) return beyond(channel);
        break;
    case SUPPLY:
        channels[PLATE].at_rest = channels[SCREEN].at_rest = value;
        if (value > supply_above || value < supply_below) return beyond(channel);
        break;
    case READBACK:
        if (value > ceiling_above) return enough(&over_ceiling, CEILING_IN_A_ROW) ? CAUSE_DRIVE_CEILING : 0;
        over_ceiling = 0;
        if (blind != 0) return 0;
        /* Worked out here and not with every step, for few passes ask for the read-back. */
        int16_t off = (int16_t)(CODE_AT(READBACK_AT_ZERO_UV, READBACK_AT_FULL_UV, outputs.drive_code) - value);
        if (off > TOLERANCE || off < -TOLERANCE) return beyond(channel);
        break;
    default:
        return 0;
    }
    channel->in_a_row = 0;
    return 0;
}

uint8_t watch_current(struct channel *channel)
{
    uint16_t current = part((int16_t)(channel->at_rest - (int16_t)channel->latest), channel->weight);
    channel->part = current;
    if (channel->number != PLATE || blind != 0) return 0;
    current = (uint16_t)(current + channels[SCREEN].part + channels[GRID].part);
    if (current > cathode_above) return beyond(channel);
    channel->in_a_row = 0;
    return 0;
}

uint8_t watch_broken(void)
{
    if (over_ceiling >= CEILING_IN_A_ROW) return CAUSE_DRIVE_CEILING;
    for (uint8_t i = 0; i < CHANNELS; i++)
        if (channels[i].in_a_row >= rom_u8(&causes[i].needed)) return rom_u8(&causes[i].cause);
    return 0;
}

static RARE int32_t volts(uint8_t channel)
{
    return line_microvolts(channel, channels[channel].latest);
}

void watch_figures(uint8_t cause, uint16_t drive_code, int32_t *measured, int32_t *limit)
{
    int32_t drive = line_microvolts(DRIVE, drive_code);
    int32_t supply = volts(SUPPLY);
    int32_t value;
    if (cause == CAUSE_GRID_CURRENT || cause == CAUSE_CATHODE_CURRENT) {
        value = drop_current(drive - volts(GRID), program.grid_stopper);
        *limit = limits.grid_current;
        if (cause == CAUSE_CATHODE_CURRENT) {
            if (value < 0) value = 0;
            for (uint8_t i = PLATE; i <= SCREEN; i = (uint8_t)(i + SCREEN - PLATE))
                if (resistor(i) != 0) value += drop_current(supply - volts(i), resistor(i));
            *limit = limits.cathode_current;
        }
    } else if (cause == CAUSE_SUPPLY_RANGE) {
        value = supply;
        *limit = supply > limits.supply_max ? limits.supply_max : limits.supply_min;
    } else {
        value = volts(READBACK);
        *limit = cause == CAUSE_DRIVE_CEILING ? limits.drive_ceiling : drive;
    }
    *measured = value;
}
