/* Compiled once for each part of the core that is looked into: it brings the part in, and what it keeps to itself with it. */
#include <string.h>

#include "explored.h"

#if defined VIEW_FLIGHT
#include "core/flight.c"
void view_flight(uint32_t now)
{
    (void)now;
    bool reading = flight.reading;
    memset(&flight, 0, sizeof flight);
    flight.reading = reading;
}

#elif defined VIEW_LEASE
#include "core/lease.c"
void view_lease(uint32_t now)
{
    (void)now;
    enum { LONG_MS = LEASE_MS + 100 };
    if (silence > LONG_MS) silence = LONG_MS;
}

#elif defined VIEW_PASS
#include "core/pass.c"
void view_pass(uint32_t now)
{
    if (pass.phase == IDLE) {
        memset(&pass, 0, sizeof pass);
        return;
    }
    pass.grid -= now;
    pass.due -= now;
    pass.group_due = program.mains_periods != 0 ? pass.group_due - now : 0;
}

#elif defined VIEW_POSITIVE
#include "core/positive.c"
void view_positive(uint32_t now)
{
    (void)now;
    bool positive = minute.positive;
    memset(&minute, 0, sizeof minute);
    minute.positive = minute.was_positive = positive;
}

#elif defined VIEW_REPORTS
#include "core/reports.c"
void view_reports(uint32_t now)
{
    (void)now;
    if (!(waiting & REPORT_IDENTITY)) identity_part = 0;
    if (waiting & REPORT_ANSWER) return;
    answer_type = answer_sequence = answer_reason = 0;
    memset(&refusal, 0, sizeof refusal);
}

#elif defined VIEW_REQUESTS
#include "core/requests.c"
uint8_t view_requests(void)
{
    uint8_t moved = any ? newest : 0;
    newest = 0;
    return moved;
}

#elif defined VIEW_RIG
#include "core/rig.c"

#include "channel.h"
void view_rig(uint32_t now)
{
    rig_ticked -= now;
    line_ticked -= now;
    time_high = 0;
    reader.damaged = 0;
    memset(reader.bytes, 0, sizeof reader.bytes);
    if (!reader.begun) reader.length = 0;
    /* The channel that stands for none counts rounds. */
    channels[CHANNELS].sum = 0;
    latch.time = 0;
    latch.measured = latch.limit = 0;
    if (outputs.heater_ms != 0) outputs.heater_ms = 1;
}

#elif defined VIEW_SAMPLES
#include "core/samples.c"
void view_samples(uint32_t now)
{
    if (samples.head != 0) samples.head->time -= now;
    else samples.at = 0;
}

#elif defined VIEW_TRANSMIT
#include "core/transmit.c"
/* Everything that was closed has gone out; an open frame stays. */
void view_transmit(uint32_t now)
{
    (void)now;
    for (uint8_t i = 0; i < TRANSMIT_BUFFERS; i++)
        if (!(transmit.taken & 1 << i)) memset(buffers[i], 0, sizeof buffers[i]);
    uint8_t taken = transmit.taken;
    memset(&transmit, 0, sizeof transmit);
    transmit.taken = taken;
    transmit_line = (struct line){ 0 };
}
#endif
