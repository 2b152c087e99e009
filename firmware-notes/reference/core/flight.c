#include "flight.h"

#include <string.h>

#include "board.h"
#include "messages.h"
#include "rare.h"

enum { RECORDS = 64, IN_FRAME = (PAYLOAD_MAX - sizeof(struct message_flight_record)) / sizeof(struct message_flight_record_record) };

static struct {
    uint8_t next;
    uint8_t held;
    uint8_t given;
    bool reading;
    struct message_flight_record_record ring[RECORDS];
} flight;

void flight_reset(void)
{
    flight.next = 0;
    flight.held = 0;
    flight.reading = false;
}

void flight_note(const uint8_t *frame, uint8_t length)
{
    if (flight.reading) return;
    struct message_flight_record_record *record = &flight.ring[flight.next++ % RECORDS];
    record->time = board_now_us();
    /* Header, sequence and the first two bytes of the payload, as they stand in the frame. */
    record->detail = 0;
    memcpy(&record->header, frame, length < 2 ? 2U + length : 4U);
    if (flight.held < RECORDS) flight.held++;
}

void flight_rewind(void)
{
    flight.given = 0;
    flight.reading = true;
}

uint8_t flight_lay(uint8_t *payload)
{
    struct message_flight_record *head = (struct message_flight_record *)payload;
    struct message_flight_record_record *record = (struct message_flight_record_record *)(head + 1);
    head->first = flight.given;
    head->count = 0;
    while (flight.given < flight.held && head->count < IN_FRAME) {
        *record++ = flight.ring[(uint8_t)(flight.next - flight.held + flight.given++) % RECORDS];
        head->count++;
    }
    if (head->count != 0) return (uint8_t)((uint8_t *)record - payload);
    flight.reading = false;
    return 0;
}
