/* The limits in force: the hard ones, then those of the host, never wider, until the next reset. A seal is kept beside them. */
#ifndef LIMITS_H
#define LIMITS_H

#include <stdbool.h>
#include <stdint.h>
#include "messages.h"

/* In force, with their seal. */
extern struct message_limits limits;

void limits_reset(void);

/* Lays the payload of IdentityLimits: the hard limits. */
void limits_lay_hard(struct message_identity_limits *payload);

/* CRC-32 of the seven fields before the seal. */
uint32_t limits_seal_of(const struct message_limits *fields);

/* True while the limits in memory match their seal. */
bool limits_intact(void);

/* Takes all limits or none. Gives the index of the first field that is wider than what is in force; -1 if taken. */
int8_t limits_tighten(const struct message_limits *asked);

/* A limit by the index of its field, 0 to 6. */
int32_t limits_field(const struct message_limits *from, uint8_t field);

#endif
