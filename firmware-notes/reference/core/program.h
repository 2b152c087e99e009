/* The program that a host puts together: one header and its segments. */
#ifndef PROGRAM_H
#define PROGRAM_H

#include <stdint.h>
#include "messages.h"

struct segment {
    uint16_t from;
    uint16_t to;
    uint16_t points;
    uint16_t first_point;
};

/* As the host sent it; its number is 0 while there is none, and its resistors those of rig_config.h. */
extern struct message_program_begin program;

void program_reset(void);

/* Highest DAC code that the drive ceiling in force allows. */
uint16_t program_highest_code(void);

/* Each gives 0, or the reason of a refusal whose figures are in request.h. Fields are in their ranges. */
uint8_t program_begin(const struct message_program_begin *asked);
uint8_t program_segment(const struct message_program_segment *asked);

/* Whether all parts of the program of that number have come and fit together. */
uint8_t program_complete(uint16_t number);

const struct segment *program_part(uint8_t index);

#endif
