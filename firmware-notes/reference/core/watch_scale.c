#include "watch_scale.h"

#include "convert.h"
#include "limits.h"
#include "messages.h"
#include "scale.h"

enum { UNITS_PER_CODE = 65535 };

static uint32_t smallest;
static uint32_t widest;

static uint32_t span(uint8_t channel)
{
    return (uint32_t)(channel_at_full(channel) - channel_at_zero(channel));
}

/* Codes of a voltage in 1/65536. */
static int32_t codes(uint8_t channel, int32_t microvolts)
{
    return scale_signed(microvolts, ADC_MAX_CODE * 65536UL, span(channel));
}

static uint16_t weight(uint32_t span_uv, uint32_t ohms)
{
    return (uint16_t)scale_muldiv_up(scale_muldiv(UNITS_PER_CODE, span_uv, widest), smallest, ohms);
}

/* A voltage over a resistor as current units. */
static int32_t units(int32_t microvolts, uint32_t ohms)
{
    return scale_signed(scale_signed(microvolts, smallest, ohms), (uint32_t)ADC_MAX_CODE * UNITS_PER_CODE, widest);
}

static uint32_t drop(int32_t nanoamps, uint32_t ohms)
{
    uint32_t microvolts = scale_muldiv((uint32_t)nanoamps, ohms, 1000);
    return microvolts > 240000000UL ? 240000000UL : microvolts;
}

static int16_t ceil_code(uint8_t channel, int32_t microvolts)
{
    return (int16_t)(channel_code_below(channel, microvolts - 1) + 1);
}

void watch_scale_set(struct watch_scale *s, const struct wiring *w)
{
    s->ceiling_above = channel_code_below(READBACK, limits_get(LIMITS_DRIVE_CEILING) + (int32_t)CEILING_MARGIN_UV);
    s->supply_above = channel_code_below(SUPPLY, limits_get(LIMITS_SUPPLY_MAX));
    s->supply_below = ceil_code(SUPPLY, limits_get(LIMITS_SUPPLY_MIN));
    s->readback_at_zero = codes(READBACK, (int32_t)DRIVE_AT_ZERO_UV - channel_at_zero(READBACK));
    s->readback_tolerance = (uint16_t)scale_muldiv(READBACK_TOLERANCE_UV, ADC_MAX_CODE, span(READBACK));

    int32_t grid_drop = (int32_t)drop(limits_get(LIMITS_GRID_CURRENT), w->stopper_ohms);
    s->grid_at_zero = codes(GRID, (int32_t)DRIVE_AT_ZERO_UV - channel_at_zero(GRID) - grid_drop);

    smallest = w->plate_ohms < w->stopper_ohms ? w->plate_ohms : w->stopper_ohms;
    if (!w->triode && w->screen_ohms < smallest) smallest = w->screen_ohms;
    widest = DRIVE_SPAN_UV;
    for (uint8_t channel = PLATE; channel <= SUPPLY; channel++)
        if (span(channel) > widest) widest = span(channel);

    s->plate_weight = weight(span(PLATE), w->plate_ohms);
    s->supply_weight = weight(span(SUPPLY), w->plate_ohms);
    s->constant = units(channel_at_zero(SUPPLY) - channel_at_zero(PLATE), w->plate_ohms);
    s->screen_weight = 0;
    if (!w->triode) {
        s->screen_weight = weight(span(SCREEN), w->screen_ohms);
        uint32_t both = (uint32_t)s->supply_weight + weight(span(SUPPLY), w->screen_ohms);
        s->supply_weight = both > UINT16_MAX ? UINT16_MAX : (uint16_t)both;
        s->constant += units(channel_at_zero(SUPPLY) - channel_at_zero(SCREEN), w->screen_ohms);
    }
    s->grid_weight = weight(span(GRID), w->stopper_ohms);
    s->drive_weight = weight(DRIVE_SPAN_UV, w->stopper_ohms);
    s->grid_constant = units((int32_t)DRIVE_AT_ZERO_UV - channel_at_zero(GRID), w->stopper_ohms);
    s->cathode_limit = units((int32_t)drop(limits_get(LIMITS_CATHODE_CURRENT), smallest), smallest);
}
