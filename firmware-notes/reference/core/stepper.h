/* The codes of a program, point after point: from + round((to - from) i / (n - 1)), halves away from zero, by addition alone. */
#ifndef STEPPER_H
#define STEPPER_H

#include <stdbool.h>
#include <stdint.h>

/* To the first point of the first segment. */
void stepper_begin(void);

uint16_t stepper_code(void);
uint16_t stepper_point(void);

/* To the next point; false when there is none. */
bool stepper_next(void);

#endif
