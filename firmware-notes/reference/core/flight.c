#include "flight.h"

#include "board.h"
#include "messages.h"
#include "rare.h"

enum { RECORDS = 64, IN_FRAME = (PAYLOAD_MAX - sizeof(struct message_flight_record)) / sizeof(struct message_flight_record_record) };

static struct message_flight_record_record ring[RECORDS];
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

void flight_note(const uint8_t *frame, uint8_t length)
{
    if (reading) return;
    struct message_flight_record_record *record = &ring[next++ % RECORDS];
    record->time = board_now_us();
    record->header = frame[0];
    record->sequence = frame[1];
    record->detail = (uint16_t)((length > 0 ? frame[2] : 0) | (length > 1 ? frame[3] : 0) << 8);
    if (held < RECORDS) held++;
}

void flight_rewind(void)
{
    given = 0;
    reading = true;
}

uint8_t flight_lay(uint8_t *payload)
{
    struct message_flight_record *head = (struct message_flight_record *)payload;
    struct message_flight_record_record *record = (struct message_flight_record_record *)(head + 1);
    head->first = given;
    head->count = 0;
    while (given < held && head->count < IN_FRAME) {
        *record++ = ring[(uint8_t)(next - held + given++) % RECORDS];
        head->count++;
    }
    if (head->count != 0) return (uint8_t)((uint8_t *)record - payload);
    reading = false;
    return 0;
}
