#include "samples.h"

#include "average.h"
#include "bytes.h"
#include "convert.h"
#include "messages.h"
#include "reports.h"
#include "transmit.h"

/* One tick less than the 20 ms of the protocol. */
enum { HOLD_US = 19000, FLAG_SETTLED = 1, FLAG_CLIPPED = 2 };

static uint8_t *payload;
static uint8_t *at;
static uint16_t program_number;
static uint16_t frames;
static uint16_t count_averaged;
static uint16_t next_point;
static uint32_t oldest;
static uint8_t channel_mask;
static uint8_t capacity;
static uint8_t held;

void samples_begin(uint16_t program, uint8_t mask, uint16_t averaged)
{
    samples_drop();
    program_number = program;
    channel_mask = mask;
    count_averaged = averaged;
    frames = 0;
    uint8_t bytes = SAMPLES_RECORD_BYTES;
    for (uint8_t channel = 0; channel < CHANNELS; channel++)
        if (mask & (1 << channel)) bytes = (uint8_t)(bytes + 2);
    capacity = (uint8_t)((PAYLOAD_MAX - SAMPLES_BYTES) / bytes);
}

bool samples_ready(uint16_t point, uint32_t now)
{
    if (payload != 0 && (held == capacity || point != next_point || now - oldest > UINT16_MAX)) samples_flush();
    if (payload != 0) return true;
    /* Reports go first, so that a slow line cannot starve Status. */
    if (reports_waiting()) return false;
    payload = transmit_open();
    if (payload == 0) return false;
    held = 0;
    at = payload + SAMPLES_BYTES;
    oldest = now;
    put_u16(payload + SAMPLES_FIRST_POINT, point);
    return true;
}

void samples_add(uint16_t point, uint32_t now, uint16_t drive_code, bool settled)
{
    at = put_u16(at, (uint16_t)(now - oldest));
    at = put_u16(at, drive_code);
    at = put_u8(at, (uint8_t)((settled ? FLAG_SETTLED : 0) | (average_clipped() ? FLAG_CLIPPED : 0)));
    at = put_u16(at, average_spread());
    for (uint8_t channel = 0; channel < CHANNELS; channel++)
        if (channel_mask & (1 << channel)) at = put_u16(at, average_mean(channel, count_averaged));
    held++;
    next_point = (uint16_t)(point + 1);
}

void samples_flush(void)
{
    if (payload == 0) return;
    put_u16(payload + SAMPLES_PROGRAM, program_number);
    put_u16(payload + SAMPLES_FRAME, frames++);
    put_u32(payload + SAMPLES_TIME, oldest);
    put_u16(payload + SAMPLES_AVERAGED, count_averaged);
    payload[SAMPLES_MASK] = channel_mask;
    payload[SAMPLES_COUNT] = held;
    transmit_close(payload, MESSAGE_SAMPLES, (uint8_t)(at - payload));
    payload = 0;
}

void samples_drop(void)
{
    if (payload != 0) transmit_drop(payload);
    payload = 0;
}

void samples_tick(uint32_t now)
{
    if (payload != 0 && now - oldest >= HOLD_US) samples_flush();
}

uint16_t samples_frames(void)
{
    return frames;
}
