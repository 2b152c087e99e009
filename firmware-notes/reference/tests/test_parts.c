/* Parts by themselves: averages, steps, drops, positive time, latch, lease. */
#include <stdlib.h>
#include <string.h>

#include "average.h"
#include "check.h"
#include "convert.h"
#include "drops.h"
#include "latch.h"
#include "lease.h"
#include "measure.h"
#include "messages.h"
#include "positive.h"
#include "program.h"
#include "fake_board.h"
#include "stepper.h"

/* round(16 * mean), halves up, in plain arithmetic. */
static void test_average(uint16_t count)
{
    uint64_t sum = 0;
    uint16_t low = 4095, high = 0;
    bool clipped = false;
    uint8_t channels_in_round;
    average_begin(count);
    for (uint16_t i = 0; i < count; i++) {
        uint16_t code = (uint16_t)(rand() % 4096);
        if (count == 65535) code = 4095;
        sum += code;
        if (code < low) low = code;
        if (code > high) high = code;
        clipped |= code == 0 || code == 4095;
        average_add(&channels[PLATE], code); average_note(&channels[PLATE], code);
        if (average_needs_fold() && i % AVERAGE_FOLD == AVERAGE_FOLD - 1) average_fold();
    }
    if (average_needs_fold()) average_fold();
    uint8_t laid[4];
    EQUAL(high - low, average_spread());
    EQUAL(clipped, average.clipped);
    EQUAL(2, average_lay(laid, measure_round(1 << PLATE, &channels_in_round)) - laid);
    EQUAL((int64_t)((2 * 16 * sum + count) / (2U * count)), laid[0] | laid[1] << 8);
}

/* from + round((to - from) i / (n - 1)), halves away from zero, as the protocol has it. */
static int code_at(int from, int to, int i, int n)
{
    if (n == 1) return from;
    int way = abs(to - from) * 2 * i + (n - 1);
    return to < from ? from - way / (2 * (n - 1)) : from + way / (2 * (n - 1));
}

static void test_steps(uint16_t from, uint16_t to, uint16_t points)
{
    struct message_program_begin begin = { .program = 1, .segments = 2, .points = (uint16_t)(points + 1), .mask = 1, .ceiling = 3000, .conversions = 1,
        .plate_resistor = 1, .screen_resistor = 1, .grid_stopper = 1 };
    struct message_program_segment first = { 1, 0, from, to, points, 10 };
    struct message_program_segment second = { 1, 1, 171, 171, 1, 5 };
    fake_start(0);
    EQUAL(0, program_begin(&begin));
    EQUAL(0, program_segment(&first));
    EQUAL(0, program_segment(&second));
    EQUAL(0, program_complete(1));
    stepper_begin();
    for (int i = 0; i < points; i++) {
        EQUAL(code_at(from, to, i, points), stepper_code());
        EQUAL(10 + i, stepper_point());
        CHECK(stepper_next());
    }
    EQUAL(171, stepper_code());
    EQUAL(5, stepper_point());
    CHECK(!stepper_next());
}

static void test_drops(void)
{
    /* 8 mA over 4.7 kilohm are 37.6 V: 3760 codes of 10 mV. */
    EQUAL(3760, drop_codes(8000000, 4700, 1));
    EQUAL(4 * 300, drop_codes(30000000, 100, 4));
    EQUAL(65535, drop_codes(1000000000, 100000000, 1));
    EQUAL(0, drop_codes(0, 100000000, 1));
    EQUAL(4000000, drop_current(18800000, 4700));
    EQUAL(-4000000, drop_current(-18800000, 4700));
    EQUAL(200, drop_current(20000000, 100000000));
    for (int code = 0; code <= MAX_CODE; code += 91) {
        int64_t exact = -16000000 + (int64_t)48000000 * code / MAX_CODE;
        CHECK(llabs(line_microvolts(DRIVE, (uint16_t)code) - exact) <= 320);
        EQUAL(code, line_code(PLATE, code * 10000));
        if (code > 0) EQUAL(code - 1, line_code(PLATE, code * 10000 - 1));
    }
    EQUAL(-1, line_code(GRID, -20480001));
    EQUAL(MAX_CODE, line_code(PLATE, 60000000));
}

static void test_positive(void)
{
    positive_reset();
    for (int ms = 0; ms < 5000; ms++) {
        positive_set(ms % 2 == 0);
        positive_tick();
    }
    /* Every millisecond in which it was positive at all. */
    EQUAL(5000, positive_used_ms());
    positive_set(false);
    for (int ms = 0; ms < 54000; ms++) positive_tick();
    EQUAL(5000, positive_used_ms() / 10 * 10);
    for (int ms = 0; ms < 9000; ms++) positive_tick();
    EQUAL(0, positive_used_ms());
    positive_set(true);
    for (int ms = 0; ms < 200000; ms++) positive_tick();
    CHECK(positive_used_ms() >= 60000 && positive_used_ms() <= 63000);
}

static void test_latch(void)
{
    latch_reset(CAUSE_POWER_UP);
    CHECK(latch.fired);
    EQUAL(1, latch.firing);
    CHECK(!latch_fire(CAUSE_GRID_CURRENT, 5, 6, 7));
    EQUAL(CAUSE_POWER_UP, latch.cause);
    EQUAL(NACK_OTHER_LATCH, latch_release(2, 0));
    EQUAL(NACK_OTHER_LATCH, latch_release(0, 0));
    EQUAL(NACK_CAUSE_PRESENT, latch_release(1, CAUSE_EMERGENCY_STOP));
    CHECK(latch.fired);
    EQUAL(0, latch_release(1, 0));
    CHECK(!latch.fired);
    CHECK(latch_fire(CAUSE_GRID_CURRENT, 5, 6, 7));
    CHECK(!latch_fire(CAUSE_EMERGENCY_STOP, 8, 9, 10));
    EQUAL(CAUSE_GRID_CURRENT, latch.cause);
    EQUAL(2, latch.firing);
    EQUAL(6, latch.measured);
    /* A release that was stored means the earlier firing. */
    EQUAL(NACK_OTHER_LATCH, latch_release(1, 0));
    CHECK(latch.fired);
}

static void test_lease(void)
{
    lease_reset();
    CHECK(!lease_held());
    CHECK(!lease_tick());
    lease_renew();
    int ticks = 1;
    while (!lease_tick()) ticks++;
    CHECK(ticks >= LEASE_MS && ticks <= LEASE_MS + 1);
    CHECK(!lease_held());
    CHECK(!lease_tick());
    EQUAL(UINT16_MAX, lease_silence_ms());
    lease_heard();
    for (int i = 0; i < 70000; i++) lease_tick();
    EQUAL(UINT16_MAX, lease_silence_ms());
}

void test_parts(void)
{
    srand(2);
    static const uint16_t counts[] = { 1, 2, 3, 4, 5, 8, 15, 16, 17, 100, 256, 65535 };
    for (unsigned i = 0; i < sizeof counts / sizeof counts[0]; i++) test_average(counts[i]);
    test_steps(171, 1364, 191);
    test_steps(1364, 171, 191);
    test_steps(171, 172, 1000);
    test_steps(2730, 171, 2);
    test_steps(300, 300, 1);
    test_steps(171, 2730, 65000);
    test_steps(2000, 500, 64999);
    for (int i = 0; i < 50; i++) test_steps((uint16_t)(171 + rand() % 2500), (uint16_t)(171 + rand() % 2500), (uint16_t)(1 + rand() % 500));
    test_drops();
    test_positive();
    test_latch();
    test_lease();
}
