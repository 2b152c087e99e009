#include "convert.h"

#include "rom.h"
#include "scale.h"

static const uint32_t lines[CHANNELS][2] ROM = {
    { (uint32_t)PLATE_AT_ZERO_UV, (uint32_t)PLATE_AT_FULL_UV },
    { (uint32_t)GRID_AT_ZERO_UV, (uint32_t)GRID_AT_FULL_UV },
    { (uint32_t)SCREEN_AT_ZERO_UV, (uint32_t)SCREEN_AT_FULL_UV },
    { (uint32_t)SUPPLY_AT_ZERO_UV, (uint32_t)SUPPLY_AT_FULL_UV },
    { (uint32_t)READBACK_AT_ZERO_UV, (uint32_t)READBACK_AT_FULL_UV },
};

int32_t channel_at_zero(uint8_t channel)
{
    return (int32_t)rom_u32(&lines[channel][0]);
}

int32_t channel_at_full(uint8_t channel)
{
    return (int32_t)rom_u32(&lines[channel][1]);
}

int32_t drive_microvolts(uint16_t code)
{
    return DRIVE_AT_ZERO_UV + (int32_t)scale_muldiv(DRIVE_SPAN_UV, code, DRIVE_MAX_CODE);
}

int32_t channel_microvolts(uint8_t channel, uint16_t code)
{
    int32_t zero = channel_at_zero(channel);
    return zero + (int32_t)scale_muldiv((uint32_t)(channel_at_full(channel) - zero), code, ADC_MAX_CODE);
}

static uint16_t clamp_drive(uint32_t code)
{
    return code > DRIVE_MAX_CODE ? DRIVE_MAX_CODE : (uint16_t)code;
}

uint16_t drive_code_below(int32_t microvolts)
{
    if (microvolts <= DRIVE_AT_ZERO_UV) return 0;
    return clamp_drive(scale_muldiv((uint32_t)(microvolts - DRIVE_AT_ZERO_UV), DRIVE_MAX_CODE, DRIVE_SPAN_UV));
}

uint16_t drive_code_near(int32_t microvolts)
{
    if (microvolts <= DRIVE_AT_ZERO_UV) return 0;
    uint32_t halves = scale_muldiv((uint32_t)(microvolts - DRIVE_AT_ZERO_UV), 2UL * DRIVE_MAX_CODE, DRIVE_SPAN_UV);
    return clamp_drive((halves + 1) / 2);
}

int16_t channel_code_below(uint8_t channel, int32_t microvolts)
{
    int32_t zero = channel_at_zero(channel);
    if (microvolts < zero) return -1;
    uint32_t code = scale_muldiv((uint32_t)(microvolts - zero), ADC_MAX_CODE, (uint32_t)(channel_at_full(channel) - zero));
    return code > ADC_MAX_CODE ? ADC_MAX_CODE : (int16_t)code;
}
