#include "transmit.h"

#include "board.h"
#include "crc32.h"
#include "flight.h"
#include "frame_reader.h"
#include "messages.h"
#include "rare.h"

/* A frame on the wire: first code, frame, 0x00. Stuffing adds one byte to anything shorter than 254. */
enum { WIRE_MAX = FRAME_MAX + 2, PAYLOAD_AT = 1 + FRAME_HEADER, PLACES = 4 };

static uint8_t buffers[TRANSMIT_BUFFERS][WIRE_MAX];
static uint8_t body[TRANSMIT_BUFFERS];

/* Bit n set: buffer n is taken. */
static uint8_t taken;

/* Closed buffers in a ring: those from send_place to stuff_place are stuffed, those from there to close_place are not yet. */
static uint8_t ring[PLACES];
static uint8_t send_place, stuff_place, close_place;
static uint8_t sequence;

struct stuffing transmit_stuffing;

/* The buffer being sent: bytes left, next byte. */
static const uint8_t *send_at;
uint8_t transmit_to_send;

static uint8_t after(uint8_t place)
{
    return (uint8_t)((place + 1) % PLACES);
}

void transmit_reset(void)
{
    taken = 0;
    send_place = stuff_place = close_place = 0;
    sequence = 0;
    transmit_stuffing.left = 0;
    transmit_to_send = 0;
}

uint8_t *transmit_open(void)
{
    for (uint8_t i = 0; i < TRANSMIT_BUFFERS; i++) {
        if (taken & (1 << i)) continue;
        taken = (uint8_t)(taken | 1 << i);
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
    taken = (uint8_t)(taken & ~(1 << index));
}

/* Takes the next closed buffer, if there is one. */
static RARE void begin_stuffing(void)
{
    if (stuff_place == close_place) return;
    uint8_t i = ring[stuff_place];
    uint8_t *first = buffers[i];
    transmit_stuffing = (struct stuffing){ first + 1, first, CRC32_START, body[i] };
}

/* Takes the next stuffed buffer, if there is one. */
static RARE void begin_sending(void)
{
    if (send_place == stuff_place) return;
    uint8_t i = ring[send_place];
    send_at = buffers[i];
    transmit_to_send = (uint8_t)(body[i] + FRAME_CHECK + 2);
}

RARE void transmit_finish(void)
{
    struct stuffing *s = &transmit_stuffing;
    uint32_t check = crc32_finish(s->crc);
    for (uint8_t i = 0; i < FRAME_CHECK; i++, s->at++, check >>= 8) {
        *s->at = (uint8_t)check;
        if (*s->at == 0) stuffing_zero(s);
    }
    stuffing_zero(s);
    *s->at = 0;
    stuff_place = after(stuff_place);
    if (transmit_to_send == 0) begin_sending();
    begin_stuffing();
}

void transmit_drop(uint8_t *payload)
{
    release(index_of(payload));
}

void transmit_close(uint8_t *payload, uint8_t number, uint8_t length)
{
    payload[-2] = (uint8_t)(LINK_VERSION << 5 | number);
    payload[-1] = sequence++;
    if (number != MESSAGE_FLIGHT_RECORD) flight_note(payload - FRAME_HEADER, length);
    uint8_t i = index_of(payload);
    body[i] = (uint8_t)(FRAME_HEADER + length);
    ring[close_place] = i;
    close_place = after(close_place);
    if (transmit_stuffing.left == 0) begin_stuffing();
}

void transmit_forget(void)
{
    /* What is being sent goes out to its end; the rest is given up. */
    uint8_t keep = send_place;
    if (transmit_to_send != 0) keep = after(keep);
    for (uint8_t i = keep; i != close_place; i = after(i)) release(ring[i]);
    stuff_place = close_place = keep;
    transmit_stuffing.left = 0;
}

bool transmit_busy(void)
{
    return send_place != close_place;
}

static RARE void sent(void)
{
    release(ring[send_place]);
    send_place = after(send_place);
    begin_sending();
}

void transmit_send_one(void)
{
    uint8_t left = transmit_to_send;
    if (!board_uart_ready()) return;
    const uint8_t *at = send_at;
    board_uart_put(*at);
    send_at = at + 1;
    transmit_to_send = --left;
    if (left == 0) sent();
}

void transmit_stuff(uint8_t bytes)
{
    if (transmit_stuffing.left == 0) return;
    struct stuffing s = transmit_stuffing;
    for (; bytes != 0; bytes--) stuffing_go_on(&s);
    transmit_stuffing = s;
}
