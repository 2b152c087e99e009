#include "positive.h"

#include <string.h>

enum { BUCKETS = 21, TICKS = 3000 };

static struct {
    bool positive;
    bool was_positive;
    uint8_t place;
    uint16_t ticks;
    uint16_t total;
    uint16_t buckets[BUCKETS];
} minute;

void positive_reset(void)
{
    memset(&minute, 0, sizeof minute);
}

void positive_set(bool is)
{
    minute.positive = is;
    if (is) minute.was_positive = true;
}

void positive_tick(void)
{
    if (minute.was_positive) {
        minute.buckets[minute.place]++;
        minute.total++;
    }
    minute.was_positive = minute.positive;
    if (++minute.ticks < TICKS) return;
    minute.ticks = 0;
    if (++minute.place == BUCKETS) minute.place = 0;
    minute.total = (uint16_t)(minute.total - minute.buckets[minute.place]);
    minute.buckets[minute.place] = 0;
}

uint16_t positive_used_ms(void)
{
    return minute.total;
}
