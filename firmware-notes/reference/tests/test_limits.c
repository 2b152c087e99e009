/* Each limit fires the latch after its number of conversions in a row, makes safe at once, and says what it saw. */
#include <stdlib.h>

#include "board.h"
#include "check.h"
#include "convert.h"
#include "fake_board.h"
#include "latch.h"
#include "limits.h"
#include "messages.h"
#include "pass_of.h"

/* A long dwell at a code, all channels converted in turn. */
static void dwell_at(uint16_t code)
{
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    begin.dwell = 1000000;
    begin.mask = 31;
    begin.points = segment.points = 2;
    segment.from_code = segment.to_code = code;
    fake_start(0);
    run_program(begin, segment);
    fake_run(2000);
    CHECK(!latch.fired);
    EQUAL(code, fake.dac);
    fake_renew();
}

/* Sets a channel and counts its conversions until the trip. */
static void trips(uint8_t channel, uint16_t code, uint8_t cause, uint32_t in_a_row, int32_t measured, int32_t limit)
{
    fake.codes[channel] = code;
    if (channel == READBACK) fake.readback_held = true;
    fake_forget();
    uint8_t counted = cause == CAUSE_CATHODE_CURRENT ? PLATE : channel;
    uint32_t before = fake.conversions[counted];
    uint32_t from = fake.now;
    while (!latch.fired && fake.now - from < 100000) fake_run(1);
    CHECK(latch.fired);
    EQUAL(cause, latch.cause);
    /* Where one channel is changed and another counts, one of those may come before the change is read. */
    uint32_t counts = fake.conversions[counted] - before;
    CHECK(counts == in_a_row || (counted != channel && counts == in_a_row + 1));
    EQUAL(SAFE_CODE, fake.dac);
    EQUAL(SWITCH_HEATER, fake.switches);
    CHECK(abs(latch.measured - measured) <= abs(measured) / 1000 + 1000);
    EQUAL(limit, latch.limit);
    const struct message_tripped *told = (const struct message_tripped *)fake_hear(MESSAGE_TRIPPED)->payload;
    EQUAL(cause, told->cause);
    EQUAL(latch.measured, told->measured);
}

static void test_ceiling(void)
{
    dwell_at(1000);
    trips(READBACK, (uint16_t)line_code(READBACK, 26200000), CAUSE_DRIVE_CEILING, 1, 26197000, HARD_DRIVE_CEILING_UV);
    /* A single conversion that is not above it does nothing; the margin covers the converter's error. */
    dwell_at(1000);
    fake.readback_held = true;
    fake.codes[READBACK] = (uint16_t)line_code(READBACK, 26090000);
    fake_run(50);
    CHECK(latch.cause != CAUSE_DRIVE_CEILING);
}

static void test_currents(void)
{
    /* The code 2600 is 14.476 V; 8 mA over 4.7 kilohm are 37.6 V less than that. */
    dwell_at(2600);
    struct message_limits tight = limits;
    tight.grid_current = 4000000;
    fake_seal(&tight);
    EQUAL(NACK_BUSY, fake_ask(MESSAGE_LIMITS, &tight, sizeof tight));

    fake_start(0);
    fake_connect();
    fake_seal(&tight);
    EQUAL(0, fake_ask(MESSAGE_LIMITS, &tight, sizeof tight));
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    begin.dwell = 1000000;
    begin.points = segment.points = 2;
    segment.from_code = segment.to_code = 2600;
    run_program(begin, segment);
    fake.codes[GRID] = (uint16_t)line_code(GRID, 14476000 - 18700000);
    fake_run(3000);
    CHECK(!latch.fired);
    fake_renew();
    trips(GRID, (uint16_t)line_code(GRID, 14476000 - 18900000), CAUSE_GRID_CURRENT, 4, 4021000, 4000000);

    /* 27 V over 10 kilohm and 3 V over 100 ohm: 2.7 + 30 mA. */
    dwell_at(1000);
    fake.codes[SCREEN] = 2528;
    fake.codes[PLATE] = 100;
    fake_run(3000);
    CHECK(!latch.fired);
    fake_renew();
    fake.codes[PLATE] = 10;
    trips(SCREEN, 2500, CAUSE_CATHODE_CURRENT, 4, 32790000, HARD_CATHODE_CURRENT_NA);
}

static void test_supply(void)
{
    dwell_at(1000);
    fake.codes[SUPPLY] = 4000;
    fake.codes[SCREEN] = 3999;
    fake_run(3000);
    CHECK(!latch.fired);
    fake_renew();
    trips(SUPPLY, 4001, CAUSE_SUPPLY_RANGE, 8, 40010000, HARD_SUPPLY_MAX_UV);
    /* A rail that is too low counts only while a program runs. */
    fake_start(0);
    fake_connect();
    struct message_limits low = limits;
    low.supply_min = 20000000;
    fake_seal(&low);
    EQUAL(0, fake_ask(MESSAGE_LIMITS, &low, sizeof low));
    fake.codes[SUPPLY] = 1900;
    fake.codes[SCREEN] = 1899;
    fake_run(50000);
    CHECK(!latch.fired);
    fake_quiet();
    run_program(plain_begin(), plain_segment());
    fake_run(200);
    trips(SUPPLY, 1999, CAUSE_SUPPLY_RANGE, 8, 19990000, 20000000);
}

static void test_read_back(void)
{
    dwell_at(1000);
    uint16_t right = (uint16_t)line_code(READBACK, line_microvolts(DRIVE, 1000));
    fake.readback_held = true;
    fake.codes[READBACK] = (uint16_t)(right - 31);
    fake_run(3000);
    CHECK(!latch.fired);
    fake_renew();
    trips(READBACK, (uint16_t)(right - 36), CAUSE_DRIVE_READ_BACK, 4, line_microvolts(READBACK, (uint16_t)(right - 36)), line_microvolts(DRIVE, 1000));
    /* It stays present, and the latch stays fired, until it is gone. */
    struct message_release release = { latch.firing };
    fake_renew();
    EQUAL(NACK_CAUSE_PRESENT, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
    fake.readback_held = false;
    fake_run(5000);
    EQUAL(0, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
}

static void test_lease(void)
{
    dwell_at(1000);
    fake_run(250000);
    CHECK(!latch.fired);
    fake_renew();
    fake_run(2000);
    uint32_t from = fake.now;
    while (!latch.fired && fake.now - from < 1000000) fake_run(1);
    EQUAL(CAUSE_LEASE_EXPIRED, latch.cause);
    CHECK(fake.now - from >= 296000 && fake.now - from <= 305000);
    EQUAL(SAFE_CODE, fake.dac);
    struct message_release release = { latch.firing };
    EQUAL(NACK_CAUSE_PRESENT, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
    fake_renew();
    EQUAL(0, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
    /* With the drive at its safe code only the rail goes off; the heater after 60 s. */
    struct message_supplies supplies = { 3, 0, 6300000, 28000000 };
    EQUAL(0, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    fake_run(400000);
    CHECK(!latch.fired);
    EQUAL(SWITCH_HEATER, fake.switches);
    fake_run(59000000);
    EQUAL(SWITCH_HEATER, fake.switches);
    fake_run(1000000);
    EQUAL(0, fake.switches);
}

static void test_positive_budget(void)
{
    fake_start(0);
    fake_connect();
    struct message_limits asked = limits;
    asked.positive_time = 150;
    fake_seal(&asked);
    EQUAL(0, fake_ask(MESSAGE_LIMITS, &asked, sizeof asked));
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    begin.dwell = 1000000;
    begin.points = segment.points = 2;
    segment.from_code = segment.to_code = 1400;
    run_program(begin, segment);
    uint32_t from = fake.now;
    while (!latch.fired && fake.now - from < 1000000) fake_run(1);
    EQUAL(CAUSE_POSITIVE_TIME, latch.cause);
    CHECK(fake.now - from >= 145000 && fake.now - from <= 155000);
    EQUAL(151, latch.measured);
    EQUAL(150, latch.limit);
    EQUAL(SAFE_CODE, fake.dac);
}

static void test_seal(void)
{
    fake_start(0);
    fake_connect();
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    struct message_program_start start = { 1 };
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
    limits.drive_ceiling ^= 1;
    EQUAL(NACK_BAD_SEAL, fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start));
    limits.drive_ceiling ^= 1;
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start));
}

void test_limits(void)
{
    test_ceiling();
    test_currents();
    test_supply();
    test_read_back();
    test_lease();
    test_positive_budget();
    test_seal();
}
