/* A point takes dwell + settling + averaging. A plain count of n conversions of c channels takes n c t, t being the time of one conversion: the
 * rounds follow each other as fast as they can, and the next step waits for the end. Whole mains periods take round(10^6 periods / hertz) us.
 * Their rounds come in groups of up to 16, as many groups as fit, evenly spread: the sum over a sine of the mains is that over the times of the
 * groups, which is nothing, whatever a group is like in itself. */
#include "pass.h"

#include "average.h"
#include "board.h"
#include "convert.h"
#include "measure.h"
#include "program.h"
#include "rare.h"
#include "rig.h"
#include "samples.h"
#include "stepper.h"
#include "transmit.h"

/* Conversions before the main loop is looked after again: about 1.2 ms. A host has one request and one Renew
 * on the way at most, which the ring of the line holds. */
enum { AT_ONCE = 64, NEAR_US = 100, MOST_LATE_US = 2000 };

static struct {
    enum { IDLE, STEP, DWELL, SETTLE, AVERAGE, DELIVER } phase;

    /* What a point's averaging is made of: the round of channels, time, how many rounds go at once; for mains periods the groups, the time between
     * them and its remainder. */
    struct channel *first;
    uint8_t channels;
    uint8_t at_once;
    uint32_t span;
    uint16_t groups;
    uint16_t group_us;
    uint16_t group_rest;

    /* When the next step is due by the grid of the pass. When the next phase is, then when the sample was taken, then when the pass ended. When the
     * next group of mains periods is. */
    uint32_t grid;
    uint32_t due;
    uint32_t group_due;
    uint16_t rest;
    union {
        uint16_t rounds_left;
        uint16_t previous_plate;
    };
    bool settled;
} pass;

/* No code is as large; the first plate conversion of settling has nothing to be compared with. */
enum { NOTHING = UINT16_MAX };

void pass_start(uint32_t now)
{
    pass.first = measure_round(program.mask, &pass.channels);
    uint8_t round = (uint8_t)(pass.channels * CONVERSION_US);
    uint16_t rounds = program.conversions;
    bool mains = program.mains_periods != 0;
    pass.at_once = (uint8_t)((mains ? AT_ONCE / 2 : AT_ONCE) / pass.channels);
    if (pass.at_once > AVERAGE_FOLD) pass.at_once = AVERAGE_FOLD;
    if (mains) {
        uint8_t hertz = program.mains_hertz;
        pass.span = ((uint32_t)2000000 * program.mains_periods + hertz) / (uint8_t)(2 * hertz);
        pass.groups = (uint16_t)(pass.span / (uint16_t)(pass.at_once * round));
        rounds = (uint16_t)(pass.groups * pass.at_once);
        pass.group_us = (uint16_t)(pass.span / pass.groups);
        pass.group_rest = (uint16_t)(pass.span % pass.groups);
    } else {
        pass.span = (uint32_t)rounds * round;
    }
    average_begin(rounds);
    stepper_begin();
    samples_begin(pass.first, pass.channels);
    pass.grid = pass.due = now;
    pass.phase = STEP;
}

bool pass_running(void)
{
    return pass.phase != IDLE;
}

void pass_forget(void)
{
    pass.phase = IDLE;
    pass.due = board_now_us();
}

uint32_t pass_ended_at(void)
{
    return pass.due;
}

/* True when `time` has come. What is near is waited for, to the microsecond; what is farther off gives the board leave to rest. */
static bool come(uint32_t time)
{
    for (;;) {
        int32_t early = (int32_t)(time - board_now_us());
        if (early <= 0) return true;
        board_rest((uint32_t)early, true);
        if (early > NEAR_US) return false;
    }
}

/* From `due` on. */
static void begin_average(void)
{
    pass.rounds_left = average_count;
    pass.phase = AVERAGE;
    if (program.mains_periods == 0) return;
    pass.rest = 0;
    pass.group_due = pass.due;
    pass.due += pass.span;
}

static void space_group(void)
{
    pass.group_due += pass.group_us;
    pass.rest = (uint16_t)(pass.rest + pass.group_rest);
    if (pass.rest < pass.groups) return;
    pass.rest = (uint16_t)(pass.rest - pass.groups);
    pass.group_due++;
}

static void convert(void)
{
    bool mains = program.mains_periods != 0;
    uint8_t many = pass.at_once;
    if (pass.rounds_left < many) many = (uint8_t)pass.rounds_left;
    if (mains) {
        if (!come(pass.group_due)) return;
        space_group();
    }
    if (!measure_for_average(pass.first, (uint8_t)(many * pass.channels))) return;
    if (average_needs_fold()) average_fold();
    pass.rounds_left = (uint16_t)(pass.rounds_left - many);
    if (pass.rounds_left != 0) return;
    if (!mains) pass.due = board_now_us();
    pass.phase = DELIVER;
}

/* Converts all channels in turn for the limits alone, as long as one more fits in. */
static void dwell(void)
{
    int32_t left = (int32_t)(pass.due - board_now_us());
    if (left >= CHANNELS * CONVERSION_US) {
        measure_watch_all();
        return;
    }
    if (left >= CONVERSION_US) {
        measure_watch();
        return;
    }
    if (!come(pass.due)) return;
    pass.settled = true;
    if (program.settle_tolerance == 0) {
        begin_average();
        return;
    }
    pass.settled = false;
    pass.previous_plate = NOTHING;
    pass.phase = SETTLE;
}

static void settle(void)
{
    uint32_t now = board_now_us();
    if (now + CONVERSION_US - pass.due <= program.settle_timeout) {
        if (!measure_one(PLATE)) return;
        uint16_t plate = channels[PLATE].latest;
        uint16_t difference = (uint16_t)(plate > pass.previous_plate ? plate - pass.previous_plate : pass.previous_plate - plate);
        pass.settled = pass.previous_plate != NOTHING && difference <= program.settle_tolerance;
        pass.previous_plate = plate;
        if (!pass.settled) return;
        now = board_now_us();
    }
    pass.due = now;
    pass.grid = now + pass.span;
    begin_average();
}

static void deliver(void)
{
    if (!samples_add(stepper_point(), pass.due, stepper_code(), pass.settled)) {
        /* The line is behind: the pass waits, the limits do not. */
        measure_watch_all();
        return;
    }
    pass.phase = STEP;
    if (stepper_next()) return;
    pass.phase = IDLE;
    rig_pass_done();
}

static void step(void)
{
    /* `due` is the time of the sample before, and has passed: the clock need not be read for a point that is late already. */
    int32_t late = (int32_t)(pass.due - pass.grid);
    if (late < 0 && !come(pass.grid)) return;
    if (!rig_step(stepper_code())) return;
    /* A point that is late, for a frame was made ready meanwhile, is made up for by those after it; a pass that was held up starts anew. */
    if (late > MOST_LATE_US) pass.grid = pass.due;
    pass.grid += program.dwell + pass.span;
    if (program.dwell == 0 && program.settle_tolerance == 0) {
        pass.settled = true;
        if (program.mains_periods != 0) pass.due = board_now_us();
        begin_average();
        return;
    }
    pass.due = board_now_us() + program.dwell;
    pass.phase = DWELL;
}

void pass_act(void)
{
    /* Phases that take no time follow each other at once, and one short point another. */
    for (uint8_t points = pass.at_once; points != 0; points = points > average_count ? (uint8_t)(points - average_count) : 0) {
        if (pass.phase == STEP) step();
        if (pass.phase == DWELL) dwell();
        if (pass.phase == SETTLE) settle();
        if (pass.phase == AVERAGE) convert();
        if (pass.phase == DELIVER) deliver();
        if (pass.phase != STEP) return;
    }
}
