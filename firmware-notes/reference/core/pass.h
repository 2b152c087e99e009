/* One pass by the rig's own clock: step, dwell, settle, average, next point. */
#ifndef PASS_H
#define PASS_H

#include <stdbool.h>
#include <stdint.h>

/* Starts the program in program.h, whose parts have been checked. */
void pass_start(uint32_t now);

bool pass_running(void);

/* Does what is due. */
void pass_act(void);

/* Ends the pass; drive and reports are the caller's. */
void pass_forget(void);

/* When it ended. */
uint32_t pass_ended_at(void);

#endif
