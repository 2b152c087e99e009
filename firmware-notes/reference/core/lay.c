#include "lay.h"

#include <stddef.h>
#include <string.h>

#include "board.h"
#include "channel.h"
#include "convert.h"
#include "latch.h"
#include "limits.h"
#include "messages.h"
#include "outputs.h"
#include "pass.h"
#include "rig.h"
#include "samples.h"
#include "session.h"

enum { FIRST_CHANNEL_PART = 3 };
enum { LATCHED = 1, CAUSE_PRESENT = 2, HEATER_ON = 4, PLATE_RAIL_ON = 8, RUNNING = 16, COMPLETED = 32 };

static uint8_t lay_head(struct message_identity *m)
{
    m->session = session.number;
    uint32_t time[2];
    rig_time(&time[0], &time[1]);
    memcpy(&m->time, time, sizeof time);
    m->boot = board_boot();
    m->sockets = SOCKETS;
    m->channels = CHANNELS;
    m->supplies = board_supplies();
    m->lease = LEASE_MS;
    m->conversion = CONVERSION_US;
    m->segment_capacity = SEGMENT_CAPACITY;
    m->last_reset = board_reset_reason();
    return sizeof *m;
}

static uint8_t lay_channel(struct message_identity_channel *m, uint8_t channel)
{
    m->channel = channel;
    m->bits = ADC_BITS;
    m->fraction_bits = FRACTION_BITS;
    m->at_zero = line_at_zero(channel);
    m->at_full_scale = line_microvolts(channel, MAX_CODE);
    return sizeof *m;
}

uint8_t lay_identity(void *payload, uint8_t part, uint8_t *number)
{
    if (part == 0) {
        *number = MESSAGE_IDENTITY;
        return lay_head(payload);
    }
    if (part == 1) {
        *number = MESSAGE_IDENTITY_TEXT;
        for (uint8_t i = 0; i < sizeof(struct message_identity_text); i++) ((uint8_t *)payload)[i] = board_text(i);
        return sizeof(struct message_identity_text);
    }
    if (part == IDENTITY_PARTS - 1) {
        *number = MESSAGE_IDENTITY_LIMITS;
        limits_lay_hard(payload);
        return sizeof(struct message_identity_limits);
    }
    if (part >= FIRST_CHANNEL_PART) {
        *number = MESSAGE_IDENTITY_CHANNEL;
        return lay_channel(payload, (uint8_t)(part - FIRST_CHANNEL_PART));
    }
    *number = MESSAGE_IDENTITY_DRIVE;
    struct message_identity_drive *drive = payload;
    drive->bits = DRIVE_BITS;
    drive->at_zero = DRIVE_AT_ZERO_UV;
    drive->at_full_scale = DRIVE_AT_FULL_UV;
    return sizeof *drive;
}

uint8_t lay_status(void *payload)
{
    struct message_status *m = payload;
    uint8_t flags = 0;
    if (latch.fired) flags |= LATCHED;
    if (rig_present_cause() != 0) flags |= CAUSE_PRESENT;
    /* The switches stand in the order of the flags. */
    flags |= (uint8_t)(outputs.switches * HEATER_ON);
    if (pass_running()) flags |= RUNNING;
    if (session.completed) flags |= COMPLETED;
    m->session = session.number;
    m->time = board_now_us();
    m->flags = flags;
    m->cause = latch.fired ? latch.cause : 0;
    m->latch = latch.firing;
    memcpy(&m->measured, &latch.measured, sizeof m->measured + sizeof m->limit);
    m->latch_time = latch.time;
    m->drive_code = outputs.drive_code;
    m->supply_code = (uint16_t)(channels[SUPPLY].latest << FRACTION_BITS);
    m->heater_on_for = outputs.heater_ms;
    m->socket = outputs.socket;
    m->program = session.program;
    m->frames = samples_frames();
    return sizeof *m;
}

uint8_t lay_tripped(void *payload)
{
    struct message_tripped *m = payload;
    m->session = session.number;
    memcpy(&m->latch, &latch.firing, sizeof *m - offsetof(struct message_tripped, latch));
    return sizeof *m;
}

uint8_t lay_restarted(void *payload)
{
    struct message_restarted *m = payload;
    m->last_reset = board_reset_reason();
    m->boot = board_boot();
    return sizeof *m;
}
