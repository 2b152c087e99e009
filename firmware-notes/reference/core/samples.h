/* Gathers samples into Samples frames: consecutive points, ends within 65535 us of the first one's, none waiting longer than 20 ms. */
#ifndef SAMPLES_H
#define SAMPLES_H

#include <stdbool.h>
#include <stdint.h>
#include "channel.h"

void samples_reset(void);

/* A new program, for which average_begin has been called: the first channel of its round and their number. */
void samples_begin(struct channel *first, uint8_t count);

/* Takes the sample that average.h holds. False if there is no room for it now: no buffer is free that no report needs. */
bool samples_add(uint16_t point, uint32_t now, uint16_t drive_code, bool settled);

/* Closes the open frame, if there is one. */
void samples_flush(void);

/* Drops the open frame. */
void samples_drop(void);

/* Closes it if its oldest sample has waited long enough. */
void samples_tick(uint32_t now);

/* Frames closed for the program. */
uint16_t samples_frames(void);

#endif
