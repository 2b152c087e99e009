/* The latch: starts fired, keeps its first cause, never heals by itself. */
#ifndef LATCH_H
#define LATCH_H

#include <stdbool.h>
#include <stdint.h>

struct latch {
    bool fired;
    /* As in Tripped. */
    uint16_t firing;
    uint8_t cause;
    uint32_t time;
    int32_t measured;
    int32_t limit;
} __attribute__((packed));

extern struct latch latch;

void latch_reset(uint8_t cause);

/* True if it was clear until now; one that has fired keeps its cause. */
bool latch_fire(uint8_t cause, uint32_t now, int32_t measured, int32_t limit);

/* 0 when clear, else the reason of the refusal: the release means another firing, or a cause remains. */
uint8_t latch_release(uint16_t firing, uint8_t present_cause);

#endif
