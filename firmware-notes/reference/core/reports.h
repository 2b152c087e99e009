/* What the rig tells: each kind waits as one bit until a buffer is free, and is then laid from the state of that moment. */
#ifndef REPORTS_H
#define REPORTS_H

#include <stdbool.h>
#include <stdint.h>

/* In the order in which they go out. A Status comes after the end of a program that it tells of. */
enum {
    REPORT_IDENTITY = 1,
    REPORT_PROGRAM_END = 2,
    REPORT_TRIPPED = 4,
    REPORT_STATUS = 8,
    REPORT_ANSWER = 16,
    REPORT_FLIGHT = 32,
    REPORT_RESTARTED = 64,
};

void reports_reset(void);
bool reports_waiting(void);

/* Drops what waits, which belongs to nobody any more, and asks for all parts of the identity. */
void reports_identify(void);
void reports_ask(uint8_t report);

/* Ack if the reason is 0, else Nack with the figures of request.h. */
void reports_answer(uint8_t type, uint8_t sequence, uint8_t reason);
void reports_program_ended(bool completed);
void reports_tripped(void);

/* Lays one report, if one waits and a buffer is free. */
void reports_run(void);

#endif
