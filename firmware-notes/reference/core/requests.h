/* What each message of the host does. Every request is absolute, so that a repeat does no harm. */
#ifndef REQUESTS_H
#define REQUESTS_H

#include <stdbool.h>
#include <stdint.h>

/* A frame whose check was good, without it. */
void requests_take(const uint8_t *frame, uint8_t length);

/* A new session: its requests are numbered anew. */
void requests_begin(void);

/* True if a host may send a message with such a payload: known number, right length, every field in its range. */
bool requests_make_sense(uint8_t number, const uint8_t *payload, uint8_t length);

#endif
