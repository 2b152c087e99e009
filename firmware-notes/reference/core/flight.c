#include "flight.h"

#include "bytes.h"
#include "messages.h"

enum { RECORDS = 64, IN_FRAME = (PAYLOAD_MAX - FLIGHT_RECORD_BYTES) / FLIGHT_RECORD_RECORD_BYTES };

static struct {
    uint32_t time;
    uint16_t detail;
    uint8_t header;
    uint8_t sequence;
} ring[RECORDS];
static uint8_t next;
static uint8_t held;
static uint8_t given;
static bool reading;

void flight_reset(void)
{
    next = 0;
    held = 0;
    reading = false;
}

void flight_note(uint32_t now, uint8_t header, uint8_t sequence, const uint8_t *payload, uint8_t length)
{
    if (reading) return;
    ring[next].time = now;
    ring[next].header = header;
    ring[next].sequence = sequence;
    ring[next].detail = length >= 2 ? get_u16(payload) : length == 1 ? payload[0] : 0;
    next = (uint8_t)((next + 1) % RECORDS);
    if (held < RECORDS) held++;
}

void flight_rewind(void)
{
    given = 0;
    reading = true;
}

uint8_t flight_lay(uint8_t *payload)
{
    uint8_t count = (uint8_t)(held - given);
    if (count > IN_FRAME) count = IN_FRAME;
    if (count == 0) {
        reading = false;
        return 0;
    }
    uint8_t *at = put_u8(put_u8(payload, given), count);
    for (uint8_t i = 0; i < count; i++) {
        uint8_t place = (uint8_t)((uint8_t)(next - held + given + i) % RECORDS);
        at = put_u32(at, ring[place].time);
        at = put_u8(at, ring[place].header);
        at = put_u8(at, ring[place].sequence);
        at = put_u16(at, ring[place].detail);
    }
    given = (uint8_t)(given + count);
    return (uint8_t)(at - payload);
}
