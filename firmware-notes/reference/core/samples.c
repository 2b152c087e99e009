#include "samples.h"

#include "average.h"
#include "messages.h"
#include "program.h"
#include "rare.h"
#include "reports.h"
#include "transmit.h"

/* One tick less than the 20 ms of the protocol. */
enum { HOLD_US = 19000, FLAG_SETTLED = 1, FLAG_CLIPPED = 2 };

static struct {
    /* Of the frame that is open; `head` is null while there is none. */
    struct message_samples *head;
    uint8_t *at;
    uint16_t next_point;

    /* Samples that the open frame can still take. */
    uint8_t room;
    uint8_t capacity;

    /* Of the program. */
    struct channel *first;
    uint16_t frames;
} samples;

void samples_reset(void)
{
    samples.head = 0;
    samples.room = 0;
    samples.frames = 0;
}

void samples_begin(struct channel *first, uint8_t count)
{
    samples_drop();
    samples.first = first;
    samples.frames = 0;
    uint8_t bytes = (uint8_t)(sizeof(struct message_samples_record) + 2U * count);
    samples.capacity = (uint8_t)((PAYLOAD_MAX - sizeof(struct message_samples)) / bytes);
}

static bool open(uint16_t point, uint32_t now)
{
    samples_flush();
    /* Reports go first, so that a slow line cannot starve Status. */
    if (reports_waiting()) return false;
    struct message_samples *head = (struct message_samples *)transmit_open();
    samples.head = head;
    if (head == 0) return false;
    head->program = program.program;
    head->averaged = average_count;
    head->mask = program.mask;
    head->time = now;
    head->first_point = point;
    samples.room = samples.capacity;
    samples.at = (uint8_t *)(head + 1);
    return true;
}

bool samples_add(uint16_t point, uint32_t now, uint16_t drive_code, bool settled)
{
    if (samples.room == 0 || point != samples.next_point || now - samples.head->time > UINT16_MAX) {
        if (!open(point, now)) return false;
    }
    struct message_samples_record *record = (struct message_samples_record *)samples.at;
    record->delay = (uint16_t)((uint16_t)now - (uint16_t)samples.head->time);
    record->drive_code = drive_code;
    record->flags = (uint8_t)((settled ? FLAG_SETTLED : 0) | (average.clipped ? FLAG_CLIPPED : 0));
    record->spread = average_spread();
    /* The sums begin anew with that. */
    samples.at = average_lay((uint8_t *)(record + 1), samples.first);
    samples.room--;
    samples.next_point = (uint16_t)(point + 1);
    return true;
}

void samples_flush(void)
{
    struct message_samples *head = samples.head;
    if (head == 0) return;
    head->frame = samples.frames++;
    head->count = (uint8_t)(samples.capacity - samples.room);
    samples.room = 0;
    samples.head = 0;
    transmit_close((uint8_t *)head, MESSAGE_SAMPLES, (uint8_t)(samples.at - (uint8_t *)head));
}

void samples_drop(void)
{
    if (samples.head != 0) transmit_drop((uint8_t *)samples.head);
    samples.head = 0;
    samples.room = 0;
}

void samples_tick(uint32_t now)
{
    if (samples.head != 0 && (int32_t)(now - samples.head->time) >= HOLD_US) samples_flush();
}

uint16_t samples_frames(void)
{
    return samples.frames;
}
