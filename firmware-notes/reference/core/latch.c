#include "latch.h"

#include "messages.h"

struct latch latch;

void latch_reset(uint8_t cause)
{
    latch = (struct latch){ .fired = true, .cause = cause, .firing = 1 };
}

bool latch_fire(uint8_t cause, uint32_t now, int32_t measured, int32_t limit)
{
    if (latch.fired) return false;
    latch.fired = true;
    latch.cause = cause;
    latch.firing++;
    latch.time = now;
    latch.measured = measured;
    latch.limit = limit;
    return true;
}

uint8_t latch_release(uint16_t firing, uint8_t present_cause)
{
    if (firing != latch.firing) return NACK_OTHER_LATCH;
    if (latch.fired && present_cause != 0) return NACK_CAUSE_PRESENT;
    latch.fired = false;
    return 0;
}
