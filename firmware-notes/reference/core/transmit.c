#include "transmit.h"

#include <string.h>

#include "flight.h"
#include "frame_reader.h"
#include "messages.h"

/* A frame on the wire: first code, frame, 0x00. Stuffing adds one byte to anything shorter than 254. */
enum { WIRE_MAX = FRAME_MAX + 2, PAYLOAD_AT = 1 + FRAME_HEADER, PLACES = 4 };

static struct {
    uint8_t sequence;

    /* Bit n set: buffer n is taken. */
    uint8_t taken;

    /* Closed buffers in a ring: those from `sent` to `stuffed` are stuffed, those from there to `closed` are not yet. */
    uint8_t sent, stuffed, closed;
    uint8_t ring[PLACES];

    /* Bytes of each without its check. */
    uint8_t body[TRANSMIT_BUFFERS];
} transmit;

static uint8_t buffers[TRANSMIT_BUFFERS][WIRE_MAX];

struct line transmit_line;

static uint8_t after(uint8_t place)
{
    return (uint8_t)((place + 1) % PLACES);
}

void transmit_reset(void)
{
    memset(&transmit, 0, sizeof transmit);
    transmit_line = (struct line){ 0 };
}

uint8_t *transmit_open(void)
{
    uint8_t bit = 1;
    for (uint8_t i = 0; i < TRANSMIT_BUFFERS; i++, bit = (uint8_t)(bit << 1)) {
        if (transmit.taken & bit) continue;
        transmit.taken |= bit;
        return buffers[i] + PAYLOAD_AT;
    }
    return 0;
}

static uint8_t index_of(const uint8_t *payload)
{
    uint8_t i = 0;
    while (buffers[i] + PAYLOAD_AT != payload) i++;
    return i;
}

static void release(uint8_t index)
{
    transmit.taken &= (uint8_t)~(1 << index);
}

/* Adds the check to a frame whose bytes are all stuffed. */
static void add_check(struct line *line)
{
    uint32_t check = crc32_finish(line->crc);
    for (uint8_t i = 0; i < FRAME_CHECK; i++, line->at++, check >>= 8) {
        *line->at = (uint8_t)check;
        if (*line->at == 0) line_zero(line);
    }
    line_zero(line);
    *line->at = 0;
}

RARE void transmit_next(void)
{
    struct line *line = &transmit_line;
    if (line->left == 0 && line->code_at != 0) {
        add_check(line);
        line->code_at = 0;
        transmit.stuffed = after(transmit.stuffed);
    }
    if (line->code_at == 0 && transmit.stuffed != transmit.closed) {
        uint8_t i = transmit.ring[transmit.stuffed];
        line->code_at = buffers[i];
        line->at = buffers[i] + 1;
        line->crc = CRC32_START;
        line->left = transmit.body[i];
    }
    if (line->to_send == 0 && line->send_at != 0) {
        release(transmit.ring[transmit.sent]);
        line->send_at = 0;
        transmit.sent = after(transmit.sent);
    }
    if (line->send_at == 0 && transmit.sent != transmit.stuffed) {
        uint8_t i = transmit.ring[transmit.sent];
        line->send_at = buffers[i];
        line->to_send = (uint8_t)(transmit.body[i] + FRAME_CHECK + 2);
    }
}

void transmit_drop(uint8_t *payload)
{
    release(index_of(payload));
}

void transmit_close(uint8_t *payload, uint8_t number, uint8_t length)
{
    payload[-2] = (uint8_t)(LINK_VERSION << 5 | number);
    payload[-1] = transmit.sequence++;
    if (number != MESSAGE_FLIGHT_RECORD) flight_note(payload - FRAME_HEADER, length);
    uint8_t i = index_of(payload);
    transmit.body[i] = (uint8_t)(FRAME_HEADER + length);
    transmit.ring[transmit.closed] = i;
    transmit.closed = after(transmit.closed);
    transmit_next();
}

void transmit_forget(void)
{
    /* What is being sent goes out to its end; the rest is given up. */
    uint8_t keep = transmit.sent;
    if (transmit_line.send_at != 0) keep = after(keep);
    for (uint8_t i = keep; i != transmit.closed; i = after(i)) release(transmit.ring[i]);
    transmit.stuffed = transmit.closed = keep;
    transmit_line.left = 0;
    transmit_line.code_at = 0;
}

bool transmit_busy(void)
{
    return transmit.sent != transmit.closed;
}

void transmit_work(uint8_t times)
{
    struct line line = transmit_line;
    for (; times != 0; times--) {
        line_send(&line);
        line_stuff(&line);
        line_go_on(&line);
    }
    transmit_line = line;
}
