/* The whole rig: main loop, trips, and what a pass and a host may ask. */
#ifndef RIG_H
#define RIG_H

#include <stdbool.h>
#include <stdint.h>
#include "latch.h"

/* First of all puts the safe code on the DAC. */
void rig_start(void);

/* One turn of the main loop. */
void rig_poll(void);

/* Puts a code on the DAC after checking it against every ceiling. False if that has tripped. */
bool rig_step(uint16_t code);

/* The last point is measured. */
void rig_pass_done(void);

/* A conversion has broken a limit. */
void rig_breach(uint8_t cause);

/* A cause without figures. */
void rig_trip(uint8_t cause);

/* Ends a running program: drive to safe, supplies as they are. */
void rig_stop(void);

/* Starts the program that has been put together. */
void rig_run_program(void);

/* Something that would fire the latch now; 0 if there is nothing. */
uint8_t rig_present_cause(void);

/* The rig clock in 64 bits. */
void rig_time(uint32_t *low, uint32_t *high);

#endif
