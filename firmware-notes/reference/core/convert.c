#include "convert.h"

#include "machine.h"
#include "rare.h"

static const struct {
    uint32_t zero;
    uint32_t step;
} lines[CHANNELS + 1] ROM = {
#define LINE(zero, full) { (uint32_t)(zero), STEP_OF(zero, full) }
    LINE(PLATE_AT_ZERO_UV, PLATE_AT_FULL_UV),
    LINE(GRID_AT_ZERO_UV, GRID_AT_FULL_UV),
    LINE(SCREEN_AT_ZERO_UV, SCREEN_AT_FULL_UV),
    LINE(SUPPLY_AT_ZERO_UV, SUPPLY_AT_FULL_UV),
    LINE(READBACK_AT_ZERO_UV, READBACK_AT_FULL_UV),
    LINE(DRIVE_AT_ZERO_UV, DRIVE_AT_FULL_UV),
};

int32_t line_at_zero(uint8_t line)
{
    return (int32_t)rom_u32(&lines[line].zero);
}

uint32_t line_step(uint8_t line)
{
    return rom_u32(&lines[line].step);
}

RARE int32_t line_microvolts(uint8_t line, uint16_t code)
{
    return line_at_zero(line) + (int32_t)(line_step(line) * code / 16);
}

RARE int16_t line_code(uint8_t line, int32_t microvolts)
{
    int32_t above = microvolts - line_at_zero(line);
    if (above < 0) return -1;
    uint32_t code = (uint32_t)above * 16 / line_step(line);
    return code > MAX_CODE ? MAX_CODE : (int16_t)code;
}
