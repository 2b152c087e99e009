/* The limits in force: the hard ones, then those of the host, never wider, until the next reset. A seal is kept beside them. */
#ifndef LIMITS_H
#define LIMITS_H

#include <stdbool.h>
#include <stdint.h>

void limits_reset(void);

/* The payload of IdentityLimits: the hard limits. */
uint8_t *limits_put_hard(uint8_t *at);

/* A limit by its offset in Limits, in the unit of the field. */
int32_t limits_get(uint8_t offset);

/* Time above 0 V drive in ms within 60 s. */
uint16_t limits_positive_ms(void);

/* CRC-32 of the seven fields before the seal. */
uint32_t limits_seal_of(const uint8_t *fields);

/* True while the limits in memory match their seal. */
bool limits_intact(void);

/* Takes all of a Limits payload or nothing. Gives the index of the first field that is wider than what is in force; -1 if taken. */
int8_t limits_tighten(const uint8_t *payload);

/* A limit as a field of a request: index 0 to 6. */
int32_t limits_field(const uint8_t *payload, uint8_t field);
const uint8_t *limits_in_force(void);

#endif
