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

/* The buffer being stuffed: bytes left, next byte, place of the latest code, check so far. */
uint8_t transmit_to_stuff;
static uint8_t *stuff_at;
static uint8_t *code_at;
static uint32_t crc;

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
    transmit_to_stuff = 0;
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

/* A byte stands at its place already; a zero becomes the code of what follows it, and the code before gets to know how far it is. */
static inline void stuff_zero(uint8_t *at)
{
    *code_at = (uint8_t)(at - code_at);
    code_at = at;
}

/* Takes the next closed buffer, if there is one. */
static RARE void begin_stuffing(void)
{
    if (stuff_place == close_place) return;
    uint8_t i = ring[stuff_place];
    code_at = buffers[i];
    stuff_at = code_at + 1;
    transmit_to_stuff = body[i];
    crc = CRC32_START;
}

/* Takes the next stuffed buffer, if there is one. */
static RARE void begin_sending(void)
{
    if (send_place == stuff_place) return;
    uint8_t i = ring[send_place];
    send_at = buffers[i];
    transmit_to_send = (uint8_t)(body[i] + FRAME_CHECK + 2);
}

static RARE void finish(uint8_t *at)
{
    uint32_t check = crc32_finish(crc);
    for (uint8_t i = 0; i < FRAME_CHECK; i++, at++, check >>= 8) {
        *at = (uint8_t)check;
        if (*at == 0) stuff_zero(at);
    }
    stuff_zero(at);
    *at = 0;
    stuff_place = after(stuff_place);
    if (transmit_to_send == 0) begin_sending();
    begin_stuffing();
}

static RARE void sent(void)
{
    release(ring[send_place]);
    send_place = after(send_place);
    begin_sending();
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
    if (transmit_to_stuff == 0) begin_stuffing();
}

void transmit_forget(void)
{
    /* What is being sent goes out to its end; the rest is given up. */
    uint8_t keep = send_place;
    if (transmit_to_send != 0) keep = after(keep);
    for (uint8_t i = keep; i != close_place; i = after(i)) release(ring[i]);
    stuff_place = close_place = keep;
    transmit_to_stuff = 0;
}

bool transmit_busy(void)
{
    return send_place != close_place;
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

void transmit_stuff_two(void)
{
    uint8_t left = transmit_to_stuff;
    uint8_t *at = stuff_at;
    uint32_t sum = crc;
    /* Two at a time, for what is kept between slices takes as long to fetch as one byte to check. */
    uint8_t end = (uint8_t)(left - 1) & 0xFE;
    do {
        uint8_t byte = *at;
        sum = crc32_update(sum, byte);
        if (byte == 0) stuff_zero(at);
        at++;
    } while (--left != end);
    crc = sum;
    stuff_at = at;
    transmit_to_stuff = left;
    if (left == 0) finish(at);
}
