#include "positive.h"

#include <string.h>

/* Units of 16 us, so that a second and the lateness of a tick fit into 16 bits. */
enum { SECONDS = 61, UNIT_BITS = 4, UNIT = 1 << UNIT_BITS };

static uint16_t buckets[SECONDS];
static uint8_t second;
static uint16_t milliseconds;
static uint32_t total;
static uint32_t counted_to;
static uint8_t rest;
static bool positive;

void positive_reset(uint32_t now)
{
    memset(buckets, 0, sizeof buckets);
    second = 0;
    milliseconds = 0;
    total = 0;
    rest = 0;
    positive = false;
    counted_to = now;
}

static void count(uint32_t now)
{
    uint32_t passed = now - counted_to;
    counted_to = now;
    if (!positive) return;
    passed += rest;
    rest = (uint8_t)(passed % UNIT);
    passed >>= UNIT_BITS;
    uint16_t room = (uint16_t)(UINT16_MAX - buckets[second]);
    if (passed > room) passed = room;
    buckets[second] = (uint16_t)(buckets[second] + passed);
    total += passed;
}

void positive_set(uint32_t now, bool is)
{
    if (!positive && !is) return;
    if (!positive) counted_to = now;
    count(now);
    positive = is;
}

bool positive_is(void)
{
    return positive;
}

void positive_tick(uint32_t now)
{
    count(now);
    if (++milliseconds < 1000) return;
    milliseconds = 0;
    if (++second == SECONDS) second = 0;
    total -= buckets[second];
    buckets[second] = 0;
}

uint32_t positive_used_ms(void)
{
    return total * 2 / 125;
}

bool positive_over(uint16_t limit_ms)
{
    return total * 2 > (uint32_t)limit_ms * 125;
}
