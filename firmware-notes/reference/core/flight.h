/* The newest 64 messages in both directions, read out after a trip. It stands still while it is read. */
#ifndef FLIGHT_H
#define FLIGHT_H

#include <stdint.h>

void flight_reset(void);

/* frame: version and number, sequence, payload; length: bytes of payload. */
void flight_note(const uint8_t *frame, uint8_t length);

/* Begins to read out, from the oldest record. */
void flight_rewind(void);

/* Lays the payload of the next FlightRecord and gives its length; 0 when all is read, and the recorder goes on. */
uint8_t flight_lay(uint8_t *payload);

#endif
