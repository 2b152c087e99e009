/* The session with a host. */
#ifndef SESSION_H
#define SESSION_H

#include <stdbool.h>
#include <stdint.h>

struct session {
    /* Number that the host chose; 0 before the first Hello and after a break. */
    uint16_t number;
    /* Program running or last started; 0 for none. */
    uint16_t program;
    bool greeted;
    bool completed;
    uint8_t status_in;
};

extern struct session session;

void session_reset(void);

/* A Hello. */
void session_open(uint16_t number);

/* Starts the program that has been put together, as the session's. */
void session_run(uint16_t program);

/* A good frame that makes no sense: safe, and no more until a new Hello. */
void session_break(void);

/* One millisecond of the line's clock: Status or Restarted every 100 ms. */
void session_tick(void);

#endif
