/* The newest 64 messages in both directions, read out after a trip. It stands still while it is read. */
#ifndef FLIGHT_H
#define FLIGHT_H

#include <stdbool.h>
#include <stdint.h>

void flight_reset(void);
void flight_note(uint32_t now, uint8_t header, uint8_t sequence, const uint8_t *payload, uint8_t length);

/* Begins to read out, from the oldest record. */
void flight_rewind(void);

/* Lays the payload of the next FlightRecord; 0 bytes when all is read, and the recorder goes on. */
uint8_t flight_lay(uint8_t *payload);

#endif
