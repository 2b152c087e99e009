#include "transmit.h"

#include "board.h"
#include "crc32.h"
#include "flight.h"
#include "frame_reader.h"
#include "messages.h"

/* A frame on the wire: first code, frame, 0x00. */
enum { WIRE_MAX = FRAME_MAX + 2, PAYLOAD_AT = 1 + FRAME_HEADER };

static uint8_t buffers[TRANSMIT_BUFFERS][WIRE_MAX];
static bool taken[TRANSMIT_BUFFERS];
static uint8_t body[TRANSMIT_BUFFERS];

/* Closed buffers, oldest first. */
static uint8_t queue[TRANSMIT_BUFFERS];
static uint8_t queued;
static uint8_t sequence;

/* The buffer being stuffed: next byte, end of what is checked, place of the latest code. */
static uint8_t *stuff_at;
static uint8_t *stuff_end;
static uint8_t *code_at;
static uint32_t crc;
static uint8_t stuffing;

/* The buffer being sent. */
static const uint8_t *send_at;
static uint8_t send_left;
static uint8_t sending;

/* A frame that is stuffed and waits for the one before it to be sent. */
static uint8_t ready_length;
static uint8_t ready;

enum { NONE = 0xFF };

void transmit_reset(void)
{
    for (uint8_t i = 0; i < TRANSMIT_BUFFERS; i++) taken[i] = false;
    queued = 0;
    sequence = 0;
    stuff_at = 0;
    stuffing = NONE;
    send_left = 0;
    sending = NONE;
    ready = NONE;
}

bool transmit_busy(void)
{
    return queued > 0 || stuffing != NONE || ready != NONE || sending != NONE;
}

uint8_t transmit_free(void)
{
    uint8_t count = 0;
    for (uint8_t i = 0; i < TRANSMIT_BUFFERS; i++)
        if (!taken[i]) count++;
    return count;
}

uint8_t *transmit_open(void)
{
    for (uint8_t i = 0; i < TRANSMIT_BUFFERS; i++) {
        if (taken[i]) continue;
        taken[i] = true;
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

void transmit_drop(uint8_t *payload)
{
    taken[index_of(payload)] = false;
}

void transmit_close(uint8_t *payload, uint8_t number, uint8_t length)
{
    payload[-2] = (uint8_t)(LINK_VERSION << 5 | number);
    payload[-1] = sequence++;
    if (number != MESSAGE_FLIGHT_RECORD) flight_note(board_now_us(), payload[-2], payload[-1], payload, length);
    uint8_t i = index_of(payload);
    body[i] = (uint8_t)(FRAME_HEADER + length);
    queue[queued++] = i;
}

void transmit_forget(void)
{
    for (uint8_t i = 0; i < queued; i++) taken[queue[i]] = false;
    queued = 0;
    if (stuffing != NONE) taken[stuffing] = false;
    stuffing = NONE;
    stuff_at = 0;
    if (ready != NONE) taken[ready] = false;
    ready = NONE;
}

static void stuff(uint8_t byte)
{
    if (byte == 0) {
        *code_at = (uint8_t)(stuff_at - code_at);
        code_at = stuff_at++;
    } else {
        *stuff_at++ = byte;
    }
}

static void finish_stuffing(void)
{
    crc = crc32_finish(crc);
    for (uint8_t i = 0; i < FRAME_CHECK; i++) {
        stuff((uint8_t)crc);
        crc >>= 8;
    }
    *code_at = (uint8_t)(stuff_at - code_at);
    *stuff_at++ = 0;
    ready_length = (uint8_t)(stuff_at - buffers[stuffing]);
    ready = stuffing;
    stuffing = NONE;
    stuff_at = 0;
}

static void next(void)
{
    if (send_left == 0 && sending != NONE) {
        taken[sending] = false;
        sending = NONE;
    }
    if (send_left == 0 && ready != NONE) {
        sending = ready;
        send_at = buffers[ready];
        send_left = ready_length;
        ready = NONE;
    }
    if (stuffing == NONE && ready == NONE && queued > 0) {
        stuffing = queue[0];
        queued--;
        for (uint8_t i = 0; i < queued; i++) queue[i] = queue[i + 1];
        code_at = buffers[stuffing];
        stuff_at = code_at + 1;
        stuff_end = stuff_at + body[stuffing];
        crc = CRC32_START;
    }
}

void transmit_slice(void)
{
    if (send_left != 0 && board_uart_ready()) {
        board_uart_put(*send_at++);
        send_left--;
    }
    if (stuff_at == 0) {
        next();
    } else if (stuff_at == stuff_end) {
        finish_stuffing();
    } else {
        uint8_t byte = *stuff_at;
        crc = crc32_update(crc, byte);
        stuff(byte);
    }
}
