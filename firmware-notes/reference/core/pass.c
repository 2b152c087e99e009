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
#include "watch.h"

/* Conversions before the main loop is looked after again: about 1.2 ms. A host has one request and one Renew
 * on the way at most, which the ring of the line holds. */
enum { AT_ONCE = 64, NEAR_US = 100, MOST_LATE_US = 2000 };

static enum { IDLE, STEP, DWELL, SETTLE, AVERAGE, DELIVER } phase;

/* What a point's averaging is made of: time, rounds, how many go at once; for mains periods the groups, the time between them and its remainder. */
static uint32_t span;
static uint16_t rounds;
static uint8_t at_once;
static uint16_t groups;
static uint16_t group_us;
static uint16_t group_rest;
static uint8_t channels;

/* When the next step is due by the grid of the pass; the next phase; the next group of mains periods. */
static uint32_t grid;
static uint32_t due;
static uint32_t group_due;
static uint16_t rest;
static uint16_t rounds_left;
static uint32_t sampled_at;
static uint16_t previous_plate;
static bool settled;

/* No code is as large; the first plate conversion of settling has nothing to be compared with. */
enum { NOTHING = UINT16_MAX };

void pass_start(uint32_t now)
{
    channels = measure_mask(program.mask);
    uint8_t round = (uint8_t)(channels * CONVERSION_US);
    if (program.mains_periods == 0) {
        rounds = program.conversions;
        span = (uint32_t)rounds * round;
        at_once = (uint8_t)(AT_ONCE / channels);
        if (at_once > AVERAGE_FOLD) at_once = AVERAGE_FOLD;
    } else {
        uint8_t hertz = program.mains_hertz;
        span = ((uint32_t)2000000 * program.mains_periods + hertz) / (uint8_t)(2 * hertz);
        at_once = (uint8_t)(AT_ONCE / 2 / channels);
        if (at_once > AVERAGE_FOLD) at_once = AVERAGE_FOLD;
        groups = (uint16_t)(span / (uint16_t)(at_once * round));
        rounds = (uint16_t)(groups * at_once);
        group_us = (uint16_t)(span / groups);
        group_rest = (uint16_t)(span % groups);
    }
    average_begin(rounds);
    stepper_begin();
    samples_begin(program.program, program.mask, rounds);
    grid = now;
    phase = STEP;
}

bool pass_running(void)
{
    return phase != IDLE;
}

void pass_forget(void)
{
    phase = IDLE;
}

/* True when `time` has come. What is near is waited for, to the microsecond; what is farther off gives the board leave to rest. */
static bool come(uint32_t time)
{
    for (;;) {
        int32_t early = (int32_t)(time - board_now_us());
        if (early <= 0) return true;
        board_rest((uint32_t)early, true);
        if (early > NEAR_US) return false;
        transmit_send();
        transmit_stuff(1);
    }
}

/* From `due` on. */
static void begin_average(void)
{
    average_clear();
    rounds_left = rounds;
    rest = 0;
    group_due = due;
    due += span;
    phase = AVERAGE;
}

static RARE void space_group(void)
{
    group_due += group_us;
    rest = (uint16_t)(rest + group_rest);
    if (rest < groups) return;
    rest = (uint16_t)(rest - groups);
    group_due++;
}

static uint32_t average(uint32_t now)
{
    bool mains = program.mains_periods != 0;
    for (uint8_t left = AT_ONCE; left != 0;) {
        uint8_t many = at_once;
        if (rounds_left < many) many = (uint8_t)rounds_left;
        if (mains) {
            if (!come(group_due)) return now;
            space_group();
        }
        uint8_t conversions = (uint8_t)(many * channels);
        if (!measure_for_average(conversions)) return now;
        if (average_needs_fold()) average_fold();
        rounds_left = (uint16_t)(rounds_left - many);
        if (rounds_left == 0) {
            now = board_now_us();
            sampled_at = mains ? due : now;
            phase = DELIVER;
            return now;
        }
        left = left > conversions ? (uint8_t)(left - conversions) : 0;
    }
    return now;
}

/* Converts all channels in turn for the limits alone, as long as one more fits in. */
static RARE void dwell(uint32_t now)
{
    if ((int32_t)(due - now) >= CHANNELS * CONVERSION_US) {
        measure_watch_all();
        return;
    }
    if ((int32_t)(due - now) >= CONVERSION_US) {
        measure_watch();
        return;
    }
    if (!come(due)) return;
    settled = true;
    if (program.settle_tolerance == 0) {
        begin_average();
        return;
    }
    settled = false;
    previous_plate = NOTHING;
    phase = SETTLE;
}

static RARE void settle(uint32_t now)
{
    if (now + CONVERSION_US - due > program.settle_timeout) {
        due = now;
        begin_average();
        grid = due;
        return;
    }
    if (!measure_one(PLATE)) return;
    uint16_t plate = watch_latest(PLATE);
    uint16_t difference = (uint16_t)(plate > previous_plate ? plate - previous_plate : previous_plate - plate);
    settled = previous_plate != NOTHING && difference <= program.settle_tolerance;
    previous_plate = plate;
    if (!settled) return;
    due = board_now_us();
    begin_average();
    grid = due;
}

static void deliver(void)
{
    if (!samples_add(stepper_point(), sampled_at, stepper_code(), settled)) {
        /* The line is behind: the pass waits, the limits do not. */
        measure_watch();
        return;
    }
    phase = STEP;
    /* What the gaps of the conversions have not done. */
    transmit_send();
    transmit_stuff(4);
    if (stepper_next()) return;
    phase = IDLE;
    rig_pass_done();
}

static void step(void)
{
    if (!come(grid)) return;
    if (!rig_step(stepper_code())) return;
    due = board_now_us();
    /* A point that is late, for a frame was made ready meanwhile, is made up for by those after it; a pass that was held up starts anew. */
    if ((int32_t)(due - grid) > MOST_LATE_US) grid = due;
    grid += program.dwell + span;
    if (program.dwell == 0 && program.settle_tolerance == 0) {
        settled = true;
        begin_average();
        return;
    }
    due += program.dwell;
    phase = DWELL;
}

void pass_act(uint32_t now)
{
    /* Phases that take no time follow each other at once, and one short point another. */
    for (uint8_t points = at_once; points != 0; points = points > rounds ? (uint8_t)(points - rounds) : 0) {
        if (phase == STEP) step();
        if (phase == DWELL) dwell(now);
        if (phase == SETTLE) settle(now);
        else if (phase == AVERAGE) now = average(now);
        if (phase == DELIVER) deliver();
        if (phase != STEP) return;
    }
}
