/* Payloads of the reports, laid from the state of the moment. Each gives its length. */
#ifndef LAY_H
#define LAY_H

#include <stdint.h>

enum { IDENTITY_PARTS = 4 + 5 };

/* Part 0 Identity, 1 text, 2 drive, 3 to 7 channels, 8 limits. `number` gets the number of the message. */
uint8_t lay_identity(void *payload, uint8_t part, uint8_t *number);
uint8_t lay_status(void *payload);
uint8_t lay_tripped(void *payload);
uint8_t lay_restarted(void *payload);

#endif
