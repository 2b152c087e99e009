/* A program of one segment on a connected rig. */
#ifndef PASS_OF_H
#define PASS_OF_H

#include "messages.h"

/* 16 points up from the safe code, plate to supply, four conversions, no dwell. */
struct message_program_begin plain_begin(void);
struct message_program_segment plain_segment(void);

/* Connects, switches both supplies on, sends the program and starts it. */
void run_program(struct message_program_begin begin, struct message_program_segment segment);

#endif
