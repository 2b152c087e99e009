/* The program that a host puts together: one header and its segments. */
#ifndef PROGRAM_H
#define PROGRAM_H

#include <stdint.h>
#include "request.h"
#include "watch.h"

struct segment {
    uint16_t from;
    uint16_t to;
    uint16_t points;
    uint16_t first_point;
};

struct program {
    uint16_t number;
    uint16_t points;
    uint8_t segments;
    uint8_t mask;
    uint16_t ceiling;
    uint32_t dwell;
    uint16_t conversions;
    uint8_t mains_periods;
    uint8_t mains_hertz;
    uint16_t settle_tolerance;
    uint32_t settle_timeout;
    struct wiring wiring;
};

extern struct program program;

void program_reset(void);

/* Payloads whose fields are in range. */
struct refusal program_begin(const uint8_t *payload);
struct refusal program_segment(const uint8_t *payload);

/* Whether all parts of the program of that number have come and fit together. */
struct refusal program_complete(uint16_t number);

const struct segment *program_part(uint8_t index);

#endif
