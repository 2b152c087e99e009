/* The only place that drives anything. */
#ifndef OUTPUTS_H
#define OUTPUTS_H

#include <stdbool.h>
#include <stdint.h>

struct outputs {
    uint16_t drive_code;
    uint8_t switches;
    uint8_t socket;
    uint32_t heater_ms;
};

extern struct outputs outputs;

/* Safe code first, then both supplies off. */
void outputs_reset(void);

void outputs_drive(uint16_t code);
bool outputs_at_safe(void);
void outputs_switch(uint8_t switches);
void outputs_select(uint8_t socket);

/* Drive to safe and plate rail off, whatever was believed of them; the heater stays. */
void outputs_make_safe(void);
void outputs_heater_off(void);

/* One millisecond of the rig clock has passed. */
void outputs_tick(void);

#endif
