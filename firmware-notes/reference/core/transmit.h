/* Frames to the host. A few buffers go round: filled by whoever reports, then checked and stuffed in place byte by byte, then sent, in the order
 * in which they were closed. The work comes in slices so short that they fit into the gaps of a conversion. */
#ifndef TRANSMIT_H
#define TRANSMIT_H

#include <stdbool.h>
#include <stdint.h>
#include "board.h"
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

/* Sends and stuffs a byte, so many times, if there is one and room for it. */
void transmit_work(uint8_t times);

/* The work under way. A loop that does some of it now and then works on a copy, which the compiler keeps in registers, and gives it back. */
struct line {
    /* The frame that is being checked and stuffed: next byte, place of the latest code (null if there is no frame), check so far, bytes left. */
    uint8_t *at;
    uint8_t *code_at;
    uint32_t crc;
    uint8_t left;

    /* The one that goes out: bytes left, next byte (null if there is none). */
    uint8_t to_send;
    const uint8_t *send_at;
};
extern struct line transmit_line;

/* Takes the next frames in the place of those that have ended. */
void transmit_next(void);

OFTEN void line_send(struct line *line)
{
    if (line->to_send == 0 || !board_uart_ready()) return;
    board_uart_put(*line->send_at++);
    line->to_send--;
}

/* A byte stands at its place already; a zero becomes the code of what follows it, and the code before gets to know how far it is. */
OFTEN void line_zero(struct line *line)
{
    *line->code_at = (uint8_t)(line->at - line->code_at);
    line->code_at = line->at;
}

OFTEN void line_stuff(struct line *line)
{
    if (line->left == 0) return;
    uint8_t byte = *line->at;
    line->crc = crc32_update(line->crc, byte);
    if (byte == 0) line_zero(line);
    line->at++;
    line->left--;
}

OFTEN void line_go_on(struct line *line)
{
    if ((line->left != 0 || line->code_at == 0) && (line->to_send != 0 || line->send_at == 0)) return;
    transmit_line = *line;
    transmit_next();
    *line = transmit_line;
}

#endif
