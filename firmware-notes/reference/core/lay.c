#include "lay.h"

#include "board.h"
#include "bytes.h"
#include "convert.h"
#include "latch.h"
#include "limits.h"
#include "messages.h"
#include "outputs.h"
#include "pass.h"
#include "rig.h"
#include "samples.h"
#include "session.h"
#include "watch.h"

enum { FIRST_CHANNEL_PART = 3 };
enum { LATCHED = 1, CAUSE_PRESENT = 2, HEATER_ON = 4, PLATE_RAIL_ON = 8, RUNNING = 16, COMPLETED = 32 };

static uint8_t *lay_head(uint8_t *at)
{
    uint32_t high = rig_time_high();
    uint32_t low = board_now_us();
    at = put_u16(at, session.number);
    at = put_u32(at, low);
    at = put_u32(at, high);
    at = put_u16(at, board_boot());
    at = put_u8(at, SOCKETS);
    at = put_u8(at, CHANNELS);
    at = put_u8(at, board_supplies());
    at = put_u16(at, LEASE_MS);
    at = put_u16(at, CONVERSION_US);
    at = put_u8(at, SEGMENT_CAPACITY);
    return put_u8(at, board_reset_reason());
}

uint8_t *lay_identity(uint8_t *at, uint8_t part, uint8_t *number)
{
    uint8_t channel = (uint8_t)(part - FIRST_CHANNEL_PART);
    switch (part) {
    case 0:
        *number = MESSAGE_IDENTITY;
        return lay_head(at);
    case 1:
        *number = MESSAGE_IDENTITY_TEXT;
        for (uint8_t i = 0; i < IDENTITY_TEXT_BYTES; i++) at = put_u8(at, board_text(i));
        return at;
    case 2:
        *number = MESSAGE_IDENTITY_DRIVE;
        at = put_u8(at, DRIVE_BITS);
        at = put_i32(at, DRIVE_AT_ZERO_UV);
        return put_i32(at, DRIVE_AT_FULL_UV);
    case IDENTITY_PARTS - 1:
        *number = MESSAGE_IDENTITY_LIMITS;
        return limits_put_hard(at);
    default:
        *number = MESSAGE_IDENTITY_CHANNEL;
        at = put_u8(at, channel);
        at = put_u8(at, ADC_BITS);
        at = put_u8(at, FRACTION_BITS);
        at = put_i32(at, channel_at_zero(channel));
        return put_i32(at, channel_at_full(channel));
    }
}

uint8_t *lay_status(uint8_t *at)
{
    uint8_t flags = 0;
    if (latch.fired) flags |= LATCHED;
    if (rig_present_cause() != 0) flags |= CAUSE_PRESENT;
    if (outputs.switches & SWITCH_HEATER) flags |= HEATER_ON;
    if (outputs.switches & SWITCH_PLATE_RAIL) flags |= PLATE_RAIL_ON;
    if (pass_running()) flags |= RUNNING;
    if (session.completed) flags |= COMPLETED;
    uint32_t heater_ms = outputs.heater_ms;
    if (flags & HEATER_ON && heater_ms == 0) heater_ms = 1;
    at = put_u16(at, session.number);
    at = put_u32(at, board_now_us());
    at = put_u8(at, flags);
    at = put_u8(at, latch.fired ? latch.cause : 0);
    at = put_u16(at, latch.firing);
    at = put_i32(at, latch.measured);
    at = put_i32(at, latch.limit);
    at = put_u32(at, latch.time);
    at = put_u16(at, outputs.drive_code);
    at = put_u16(at, (uint16_t)(watch_latest(SUPPLY) << FRACTION_BITS));
    at = put_u32(at, heater_ms);
    at = put_u8(at, outputs.socket);
    at = put_u16(at, session.program);
    return put_u16(at, samples_frames());
}

uint8_t *lay_tripped(uint8_t *at)
{
    at = put_u16(at, session.number);
    at = put_u16(at, latch.firing);
    at = put_u8(at, latch.cause);
    at = put_u32(at, latch.time);
    at = put_i32(at, latch.measured);
    return put_i32(at, latch.limit);
}

uint8_t *lay_restarted(uint8_t *at)
{
    return put_u16(put_u8(at, board_reset_reason()), board_boot());
}
