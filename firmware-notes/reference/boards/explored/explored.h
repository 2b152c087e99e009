/* The core as a library whose whole state can be taken out, put back and compared, for the explorer of tests/SweepRig.Wire/Exploration.
 * Between two calls the core's main loop has nothing to do but wait. */
#ifndef EXPLORED_H
#define EXPLORED_H

#include <stdbool.h>
#include <stdint.h>

#define SHOWN __attribute__((visibility("default")))

/* What stands around the rig: codes of the channels (the read-back follows the DAC if `follows`), and the emergency stop. */
struct explored_world {
    uint16_t codes[5];
    uint8_t follows;
    uint8_t stop;
};

/* What somebody sees who looks at the outputs and into the latch. The ceiling is that of the limits and, while one runs, of the program. */
struct explored_seen {
    int32_t drive_uv;
    int32_t ceiling_uv;
    int32_t safe_uv;
    uint8_t switches;
    uint8_t running;
    uint8_t latched;
    uint8_t cause;
    uint8_t present;
};

/* Numbers that the latest firing of the latch, and the session, if there is one, have in every state that is given. */
enum { FIRING = 100, SESSION = 1 };

/* Bytes of the state. */
SHOWN uint32_t explored_size(void);

/* State after a reset, with all rests of an earlier one gone but the code on the DAC, which has a memory of its own. */
SHOWN void explored_reset(uint8_t reason, const struct explored_world *world);

SHOWN void explored_load(const uint8_t *state);

/* Brings what cannot matter any more (the time of day of the clocks, sent bytes, what is reported only) to fixed values, gives the state, and
 * by how much sequences of requests and firings of the latch have been moved back, and which number the session had. Left out with that: the budget of time above 0 V,
 * the heater's time-out and the pause of Status, which all take longer than 400 ms of silence. */
SHOWN void explored_save(uint8_t *state, uint8_t *sequence, int16_t *firings, uint8_t *number);

/* The state as it is. */
SHOWN void explored_copy(uint8_t *state);

/* Each lets the core do what is due, and gives the bytes that it sent, at most `room`. */
SHOWN uint32_t explored_surround(const struct explored_world *world, uint8_t *sent, uint32_t room);
SHOWN uint32_t explored_hear(const uint8_t *bytes, uint32_t count, uint8_t *sent, uint32_t room);
SHOWN uint32_t explored_wait(uint32_t microseconds, uint8_t *sent, uint32_t room);

SHOWN void explored_look(struct explored_seen *seen);

/* By views.c: parts of the core that keep their state to themselves, brought to fixed values. `now` is what their times are counted from. */
void view_flight(uint32_t now);
void view_lease(uint32_t now);
void view_pass(uint32_t now);
void view_positive(uint32_t now);
void view_reports(uint32_t now);
void view_rig(uint32_t now);
void view_samples(uint32_t now);
void view_transmit(uint32_t now);
uint8_t view_requests(void);

#endif
