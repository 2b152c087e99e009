/* A point takes dwell + settling + averaging. A plain count of n conversions of c channels takes n c t, t being the time of one conversion; whole
 * mains periods take round(10^6 periods / hertz) us, in as many rounds of all channels as fit, evenly spread. Each round has a time at which it
 * is due; one that is late is made up for by the next, and the next step waits for the end of the averaging. */
#include "pass.h"

#include "average.h"
#include "board.h"
#include "measure.h"
#include "program.h"
#include "rig.h"
#include "rig_config.h"
#include "samples.h"
#include "stepper.h"

static enum { IDLE, STEP, DWELL, SETTLE, AVERAGE, DELIVER } phase;

/* What a point's averaging is made of. */
static uint16_t rounds;
static uint32_t span;
static uint32_t round_us;
static uint16_t round_rest;

static uint16_t round_now;
static uint16_t rest;
static uint32_t due;
static uint32_t dwell_end;
static uint32_t sampled_at;
static uint16_t previous_plate;
static bool compared;
static bool settled;

/* Rounds before the main loop is looked after again: about 300 us. */
static uint8_t rounds_at_once;

void pass_start(uint32_t now)
{
    uint8_t channels = measure_mask(program.mask);
    uint16_t round = (uint16_t)(channels * CONVERSION_US);
    if (program.mains_periods > 0) {
        span = ((uint32_t)2000000 * program.mains_periods + program.mains_hertz) / (2U * program.mains_hertz);
        rounds = (uint16_t)(span / round);
    } else {
        rounds = program.conversions;
        span = (uint32_t)rounds * round;
    }
    round_us = span / rounds;
    round_rest = (uint16_t)(span % rounds);
    rounds_at_once = (uint8_t)(16 / channels);
    stepper_begin();
    samples_begin(program.number, program.mask, rounds);
    due = now;
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

/* True when `time` has come; else gives the board leave to rest until then. */
static bool come(uint32_t now, uint32_t time)
{
    int32_t early = (int32_t)(time - now);
    if (early <= 0) return true;
    board_rest((uint32_t)early, true);
    return false;
}

static void begin_average(uint32_t now)
{
    average_clear();
    round_now = 0;
    rest = 0;
    due = now;
    phase = AVERAGE;
}

/* Converts all channels in turn for the limits alone, as long as one more fits in. */
static void dwell(uint32_t now)
{
    if ((int32_t)(dwell_end - now) >= CONVERSION_US) {
        measure_watch();
        return;
    }
    if (!come(now, dwell_end)) return;
    settled = true;
    if (program.settle_tolerance == 0) {
        begin_average(dwell_end);
        return;
    }
    settled = false;
    compared = false;
    phase = SETTLE;
}

static void settle(uint32_t now)
{
    if (now + CONVERSION_US - dwell_end > program.settle_timeout) {
        begin_average(now);
        return;
    }
    uint16_t plate;
    if (!measure_plate(&plate)) return;
    uint16_t difference = plate > previous_plate ? plate - previous_plate : previous_plate - plate;
    settled = compared && difference <= program.settle_tolerance;
    compared = true;
    previous_plate = plate;
    if (settled) begin_average(board_now_us());
}

static void average(uint32_t now)
{
    for (uint8_t i = 0; i < rounds_at_once; i++) {
        if (!come(now, due)) return;
        if (!measure_round()) return;
        due += round_us;
        rest = (uint16_t)(rest + round_rest);
        if (rest < round_rest || rest >= rounds) {
            rest = (uint16_t)(rest - rounds);
            due++;
        }
        now = board_now_us();
        if (++round_now == rounds) {
            sampled_at = program.mains_periods > 0 ? due : now;
            phase = DELIVER;
            return;
        }
    }
}

static void deliver(void)
{
    if (!samples_ready(stepper_point(), sampled_at)) {
        /* The line is behind: the pass waits, the limits do not. */
        measure_watch();
        return;
    }
    samples_add(stepper_point(), sampled_at, stepper_code(), settled);
    phase = STEP;
    if (!stepper_next()) {
        phase = IDLE;
        rig_pass_done();
    }
}

static void step(uint32_t now)
{
    if (!come(now, due)) return;
    if (!rig_step(now, stepper_code())) return;
    /* A pass that keeps up goes by the grid, one that is late starts anew. */
    if (now - due > CONVERSION_US) due = now;
    dwell_end = due + program.dwell;
    phase = DWELL;
    dwell(now);
}

void pass_act(uint32_t now)
{
    switch (phase) {
    case STEP:
        step(now);
        break;
    case DWELL:
        dwell(now);
        break;
    case SETTLE:
        settle(now);
        break;
    case AVERAGE:
        average(now);
        if (phase == DELIVER) deliver();
        break;
    case DELIVER:
        deliver();
        break;
    default:
        break;
    }
}
