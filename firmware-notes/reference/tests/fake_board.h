/* A board in memory: the time goes on by conversions and rests, what the channels read is set by the test, and the line is two queues. */
#ifndef FAKE_BOARD_H
#define FAKE_BOARD_H

#include <stdbool.h>
#include <stdint.h>

struct fake {
    uint32_t now;
    uint16_t dac;
    uint32_t dac_writes;
    uint32_t conversions[5];
    /* Codes that the channels read; the read-back follows the DAC unless held. */
    uint16_t codes[5];
    bool readback_held;
    /* Hum on the plate: amplitude in codes, and frequency. */
    uint16_t hum_codes;
    uint8_t hum_hertz;
    bool stop;
    bool line_blocked;
    uint8_t switches;
    uint8_t socket;
    uint8_t reset;
    uint32_t alive;
};

extern struct fake fake;

/* Gets each byte of the rig instead of the reader, where a test wants them. */
extern void (*fake_tap)(uint8_t byte);

/* A frame that came from the rig. */
struct heard {
    uint8_t number;
    uint8_t sequence;
    uint8_t length;
    uint8_t payload[122];
};

/* Switches the board on anew: rig_start, with a reset reason. */
void fake_start(uint8_t reset);

/* Turns the main loop for so long. */
void fake_run(uint32_t microseconds);

/* Sends a frame as a host. Gives its sequence. */
uint8_t fake_send(uint8_t number, const void *payload, uint8_t length);

/* Sends a frame under the sequence that was sent so many frames ago, as a line that kept a copy does; the host's numbers go on as before. */
void fake_send_back(uint8_t back, uint8_t number, const void *payload, uint8_t length);

/* Turns the main loop until a frame of that number comes, dropping others; fails the check after 1 s of its time. */
const struct heard *fake_hear(uint8_t number);

/* The next frame that waits, or null. */
const struct heard *fake_next(void);

/* Forgets what has been heard. */
void fake_forget(void);

/* Hello, AskStatus and the release of the first firing, as a host begins. */
void fake_connect(void);

/* Sends a request and gives the reason of its Nack, 0 for an Ack. */
uint8_t fake_ask(uint8_t number, const void *payload, uint8_t length);

/* The Nack that fake_ask has just got. */
extern struct heard fake_nack;

/* Renews the lease. */
void fake_renew(void);

/* Limits with their right seal. */
struct message_limits;
void fake_seal(struct message_limits *limits);

/* A quiet bench for a drive code: rail at 28 V, plate at 20 V, no grid current. */
void fake_quiet(void);

#endif
