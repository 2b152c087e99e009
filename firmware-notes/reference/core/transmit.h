/* Frames to the host. A few buffers go round: filled by whoever reports, then checked and stuffed in place byte by byte, then sent, in the order
 * in which they were closed. The work comes in slices so short that they fit into the gaps of a conversion. */
#ifndef TRANSMIT_H
#define TRANSMIT_H

#include <stdbool.h>
#include <stdint.h>
#include "crc32.h"
#include "rare.h"

enum { TRANSMIT_BUFFERS = 3 };

void transmit_reset(void);

/* Room for a payload; null if no buffer is free. It stays open until closed. */
uint8_t *transmit_open(void);

/* Queues an open buffer as a message.
 * payload: what transmit_open gave. length: bytes of payload, up to 122. */
void transmit_close(uint8_t *payload, uint8_t number, uint8_t length);

/* Drops an open buffer. */
void transmit_drop(uint8_t *payload);

/* Drops whatever has not begun to go out. */
void transmit_forget(void);

/* True while a closed buffer is not sent. */
bool transmit_busy(void);

/* Sends one byte, if there is one and room for it. */
extern uint8_t transmit_to_send;
void transmit_send_one(void);

OFTEN void transmit_send(void)
{
    if (transmit_to_send != 0) transmit_send_one();
}

/* The frame that is being checked and stuffed: next byte, place of the latest code, check so far, bytes left. A loop that stuffs a byte now and
 * then works on a copy, which the compiler keeps in registers, and gives it back. */
struct stuffing {
    uint8_t *at;
    uint8_t *code_at;
    uint32_t crc;
    uint8_t left;
};
extern struct stuffing transmit_stuffing;

/* Adds the check to a frame whose bytes are all stuffed, and takes the next frame. */
void transmit_finish(void);

/* A byte stands at its place already; a zero becomes the code of what follows it, and the code before gets to know how far it is. */
OFTEN void stuffing_zero(struct stuffing *s)
{
    *s->code_at = (uint8_t)(s->at - s->code_at);
    s->code_at = s->at;
}

/* One byte, if there is one. */
OFTEN void stuffing_go_on(struct stuffing *s)
{
    if (s->left == 0) return;
    uint8_t byte = *s->at;
    s->crc = crc32_update(s->crc, byte);
    if (byte == 0) stuffing_zero(s);
    s->at++;
    if (--s->left != 0) return;
    transmit_stuffing = *s;
    transmit_finish();
    *s = transmit_stuffing;
}

/* Up to so many bytes. */
void transmit_stuff(uint8_t bytes);

#endif
