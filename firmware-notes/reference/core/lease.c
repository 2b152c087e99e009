#include "lease.h"

#include "rig_config.h"

static uint16_t left;
static uint16_t silence;

void lease_reset(void)
{
    left = 0;
    silence = UINT16_MAX;
}

void lease_renew(void)
{
    /* One more than the lease: the first tick may come at once. */
    left = LEASE_MS + 1;
}

bool lease_held(void)
{
    return left != 0;
}

void lease_heard(void)
{
    silence = 0;
}

uint16_t lease_silence_ms(void)
{
    return silence;
}

bool lease_tick(void)
{
    if (silence < UINT16_MAX) silence++;
    if (left == 0) return false;
    return --left == 0;
}
