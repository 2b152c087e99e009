/* Payloads of the reports. Each gives the place after what it has laid. */
#ifndef LAY_H
#define LAY_H

#include <stdint.h>

enum { IDENTITY_PARTS = 4 + 5 };

/* Part 0 Identity, 1 text, 2 drive, 3 to 7 channels, 8 limits. `number` gets the number of the message. */
uint8_t *lay_identity(uint8_t *at, uint8_t part, uint8_t *number);
uint8_t *lay_status(uint8_t *at);
uint8_t *lay_tripped(uint8_t *at);
uint8_t *lay_restarted(uint8_t *at);

#endif
