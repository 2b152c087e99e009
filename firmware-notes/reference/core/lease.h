/* The host's hold on the outputs, and how long it has been silent. Counted in ticks of 1 ms of the line's clock. */
#ifndef LEASE_H
#define LEASE_H

#include <stdbool.h>
#include <stdint.h>

void lease_reset(void);
void lease_renew(void);
bool lease_held(void);

/* Any good message of the host. */
void lease_heard(void);

/* Milliseconds since then, up to 65535. */
uint16_t lease_silence_ms(void);

/* One millisecond has passed. True when the lease has just run out. */
bool lease_tick(void);

#endif
