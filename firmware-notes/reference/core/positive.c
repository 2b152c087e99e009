#include "positive.h"

#include <string.h>

enum { BUCKETS = 21, TICKS = 3000 };

static uint16_t buckets[BUCKETS];
static uint8_t place;
static uint16_t ticks;
static uint16_t total;
static bool positive;
static bool was_positive;

void positive_reset(void)
{
    memset(buckets, 0, sizeof buckets);
    place = 0;
    ticks = 0;
    total = 0;
    positive = false;
    was_positive = false;
}

void positive_set(bool is)
{
    positive = is;
    if (is) was_positive = true;
}

void positive_tick(void)
{
    if (was_positive) {
        buckets[place]++;
        total++;
    }
    was_positive = positive;
    if (++ticks < TICKS) return;
    ticks = 0;
    if (++place == BUCKETS) place = 0;
    total = (uint16_t)(total - buckets[place]);
    buckets[place] = 0;
}

uint16_t positive_used_ms(void)
{
    return total;
}
