/* Gathers samples into Samples frames: consecutive points, ends within 65535 us of the first one's, none waiting longer than 20 ms. */
#ifndef SAMPLES_H
#define SAMPLES_H

#include <stdbool.h>
#include <stdint.h>

/* A new program, or none. */
void samples_begin(uint16_t program, uint8_t mask, uint16_t averaged);

/* True if the next sample can be taken: a frame is open with room, or a buffer is free that no report needs. */
bool samples_ready(uint16_t point, uint32_t now);

/* Takes the sample that average.h holds. samples_ready has just said yes. */
void samples_add(uint16_t point, uint32_t now, uint16_t drive_code, bool settled);

/* Closes the open frame, if there is one. */
void samples_flush(void);

/* Drops the open frame. */
void samples_drop(void);

/* Closes it if its oldest sample has waited long enough. */
void samples_tick(uint32_t now);

/* Frames closed for the program. */
uint16_t samples_frames(void);

#endif
