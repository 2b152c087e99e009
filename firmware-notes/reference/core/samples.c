#include "samples.h"

#include "average.h"
#include "convert.h"
#include "messages.h"
#include "rare.h"
#include "reports.h"
#include "transmit.h"

/* One tick less than the 20 ms of the protocol. */
enum { HOLD_US = 19000, FLAG_SETTLED = 1, FLAG_CLIPPED = 2 };

/* Of the frame that is open; `head` is null while there is none. */
static struct message_samples *head;
static uint8_t *at;
static uint16_t next_point;
static uint32_t oldest;

static uint16_t program_number;
static uint16_t frames;
static uint16_t count_averaged;
static uint8_t channel_mask;
static uint8_t capacity;

/* Samples that the open frame can still take. */
static uint8_t room;

void samples_reset(void)
{
    head = 0;
    room = 0;
    frames = 0;
}

void samples_begin(uint16_t program, uint8_t mask, uint16_t averaged)
{
    samples_drop();
    program_number = program;
    channel_mask = mask;
    count_averaged = averaged;
    frames = 0;
    uint8_t bytes = sizeof(struct message_samples_record);
    for (; mask != 0; mask &= (uint8_t)(mask - 1)) bytes = (uint8_t)(bytes + 2);
    capacity = (uint8_t)((PAYLOAD_MAX - sizeof(struct message_samples)) / bytes);
}

static RARE bool open(uint16_t point, uint32_t now)
{
    samples_flush();
    /* Reports go first, so that a slow line cannot starve Status. */
    if (reports_waiting()) return false;
    head = (struct message_samples *)transmit_open();
    if (head == 0) return false;
    head->program = program_number;
    head->averaged = count_averaged;
    head->mask = channel_mask;
    head->time = now;
    oldest = now;
    room = capacity;
    head->first_point = point;
    at = (uint8_t *)(head + 1);
    return true;
}

bool samples_add(uint16_t point, uint32_t now, uint16_t drive_code, bool settled)
{
    if (room == 0 || point != next_point || now - oldest > UINT16_MAX) {
        if (!open(point, now)) return false;
    }
    struct message_samples_record *record = (struct message_samples_record *)at;
    record->delay = (uint16_t)((uint16_t)now - (uint16_t)oldest);
    record->drive_code = drive_code;
    record->flags = (uint8_t)((settled ? FLAG_SETTLED : 0) | (average_clipped() ? FLAG_CLIPPED : 0));
    record->spread = average_spread();
    at = average_lay((uint8_t *)(record + 1), channel_mask);
    room--;
    next_point = (uint16_t)(point + 1);
    return true;
}

void samples_flush(void)
{
    if (head == 0) return;
    head->frame = frames++;
    head->count = (uint8_t)(capacity - room);
    room = 0;
    transmit_close((uint8_t *)head, MESSAGE_SAMPLES, (uint8_t)(at - (uint8_t *)head));
    head = 0;
}

void samples_drop(void)
{
    if (head != 0) transmit_drop((uint8_t *)head);
    head = 0;
    room = 0;
}

void samples_tick(uint32_t now)
{
    if (head != 0 && (int32_t)(now - oldest) >= HOLD_US) samples_flush();
}

uint16_t samples_frames(void)
{
    return frames;
}
