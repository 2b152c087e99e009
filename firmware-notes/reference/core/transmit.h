/* Frames to the host. A few buffers go round: filled by whoever reports, then checked and stuffed in place byte by byte, then sent, in the order
 * in which they were closed. The work comes in slices so short that they fit into the gaps of a conversion. */
#ifndef TRANSMIT_H
#define TRANSMIT_H

#include <stdbool.h>
#include <stdint.h>
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

/* The slices: sends one byte, if there is room; checks and stuffs two bytes. */
extern uint8_t transmit_to_send;
extern uint8_t transmit_to_stuff;
void transmit_send_one(void);
void transmit_stuff_two(void);

OFTEN void transmit_send(void)
{
    if (transmit_to_send != 0) transmit_send_one();
}

OFTEN void transmit_stuff(void)
{
    if (transmit_to_stuff != 0) transmit_stuff_two();
}

/* True while a closed buffer is not sent. */
bool transmit_busy(void);

#endif
