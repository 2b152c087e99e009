#include "watch.h"

#include "convert.h"
#include "limits.h"
#include "messages.h"
#include "scale.h"
#include "watch_scale.h"

enum { BLIND = (DRIVE_SETTLED_US - 1) / CONVERSION_US };

static struct watch_scale scale;
static struct wiring wired;
static uint16_t latest[CHANNELS];
static bool is_running;

/* Of the code on the DAC. */
static uint16_t stepped;
static uint8_t blind;
static int16_t grid_below;
static int16_t readback_low;
static int16_t readback_high;
static int32_t drive_part;

/* Parts of the cathode current by the latest conversions. */
static int32_t supply_part;
static int32_t screen_part;
static int32_t grid_part;

static uint8_t over_ceiling, over_grid, over_cathode, off_supply, off_readback;

static inline void keep_supply(uint16_t code)
{
    supply_part = scale.constant + (int32_t)((uint32_t)code * scale.supply_weight);
}

static inline void keep_screen(uint16_t code)
{
    screen_part = (int32_t)((uint32_t)code * scale.screen_weight);
}

static inline void keep_grid(uint16_t code)
{
    grid_part = drive_part - (int32_t)((uint32_t)code * scale.grid_weight);
}

void watch_reset(void)
{
    static const struct wiring none = { DEFAULT_PLATE_OHMS, DEFAULT_SCREEN_OHMS, DEFAULT_STOPPER_OHMS, false };
    over_ceiling = over_grid = over_cathode = off_supply = off_readback = 0;
    for (uint8_t channel = 0; channel < CHANNELS; channel++) latest[channel] = 0;
    is_running = false;
    watch_set(&none);
}

void watch_set(const struct wiring *wiring)
{
    wired = *wiring;
    watch_renew();
}

void watch_renew(void)
{
    watch_scale_set(&scale, &wired);
    watch_step(stepped);
    keep_supply(latest[SUPPLY]);
    keep_screen(latest[SCREEN]);
    keep_grid(latest[GRID]);
}

void watch_running(bool running)
{
    is_running = running;
}

void watch_step(uint16_t code)
{
    stepped = code;
    blind = BLIND;
    grid_below = (int16_t)((scale.grid_at_zero + (int32_t)(code * CODES_PER_STEP(GRID_AT_ZERO_UV, GRID_AT_FULL_UV)) + 65535) >> 16);
    int16_t expected =
        (int16_t)((scale.readback_at_zero + (int32_t)(code * CODES_PER_STEP(READBACK_AT_ZERO_UV, READBACK_AT_FULL_UV)) + 32768) >> 16);
    readback_low = (int16_t)(expected - (int16_t)scale.readback_tolerance);
    readback_high = (int16_t)(expected + (int16_t)scale.readback_tolerance);
    drive_part = scale.grid_constant + (int32_t)((uint32_t)code * scale.drive_weight);
}

/* Saturates, so that a limit broken for hours does not wrap round. */
static inline bool in_a_row(uint8_t *count, bool broken, uint8_t needed)
{
    if (!broken) {
        *count = 0;
        return false;
    }
    if (*count < needed) ++*count;
    return *count >= needed;
}

static inline bool sighted(void)
{
    if (blind == 0) return true;
    blind--;
    return false;
}

uint8_t watch_check(uint8_t channel, uint16_t code)
{
    int16_t value = (int16_t)code;
    latest[channel] = code;
    bool counts = sighted();
    switch (channel) {
    case PLATE: {
        if (!counts) return 0;
        int32_t current = supply_part - (int32_t)((uint32_t)code * scale.plate_weight) - screen_part;
        if (grid_part > 0) current += grid_part;
        return in_a_row(&over_cathode, current > scale.cathode_limit, CATHODE_IN_A_ROW) ? CAUSE_CATHODE_CURRENT : 0;
    }
    case GRID:
        keep_grid(code);
        if (!counts) return 0;
        return in_a_row(&over_grid, value < grid_below, GRID_IN_A_ROW) ? CAUSE_GRID_CURRENT : 0;
    case SCREEN:
        keep_screen(code);
        return 0;
    case SUPPLY:
        keep_supply(code);
        return in_a_row(&off_supply, value > scale.supply_above || (is_running && value < scale.supply_below), SUPPLY_IN_A_ROW)
            ? CAUSE_SUPPLY_RANGE : 0;
    default:
        if (in_a_row(&over_ceiling, value > scale.ceiling_above, CEILING_IN_A_ROW)) return CAUSE_DRIVE_CEILING;
        if (!counts) return 0;
        return in_a_row(&off_readback, value < readback_low || value > readback_high, READBACK_IN_A_ROW) ? CAUSE_DRIVE_READ_BACK : 0;
    }
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

static int32_t volts(uint8_t channel)
{
    return channel_microvolts(channel, latest[channel]);
}

static int32_t nanoamps(int32_t microvolts, uint32_t ohms)
{
    return scale_signed(microvolts, 1000, ohms);
}

void watch_figures(uint8_t cause, int32_t *measured, int32_t *limit)
{
    int32_t grid = nanoamps(drive_microvolts(stepped) - volts(GRID), wired.stopper_ohms);
    switch (cause) {
    case CAUSE_DRIVE_CEILING:
        *measured = volts(READBACK);
        *limit = limits_get(LIMITS_DRIVE_CEILING);
        break;
    case CAUSE_GRID_CURRENT:
        *measured = grid;
        *limit = limits_get(LIMITS_GRID_CURRENT);
        break;
    case CAUSE_CATHODE_CURRENT:
        *measured = nanoamps(volts(SUPPLY) - volts(PLATE), wired.plate_ohms);
        if (!wired.triode) *measured += nanoamps(volts(SUPPLY) - volts(SCREEN), wired.screen_ohms);
        if (grid > 0) *measured += grid;
        *limit = limits_get(LIMITS_CATHODE_CURRENT);
        break;
    case CAUSE_SUPPLY_RANGE:
        *measured = volts(SUPPLY);
        *limit = limits_get((int16_t)latest[SUPPLY] > scale.supply_above ? LIMITS_SUPPLY_MAX : LIMITS_SUPPLY_MIN);
        break;
    case CAUSE_DRIVE_READ_BACK:
        *measured = volts(READBACK);
        *limit = drive_microvolts(stepped);
        break;
    default:
        break;
    }
}
