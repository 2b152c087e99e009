#include "rig.h"

#include "board.h"
#include "convert.h"
#include "flight.h"
#include "frame_reader.h"
#include "lease.h"
#include "limits.h"
#include "measure.h"
#include "messages.h"
#include "outputs.h"
#include "pass.h"
#include "positive.h"
#include "program.h"
#include "rare.h"
#include "reports.h"
#include "requests.h"
#include "session.h"
#include "samples.h"
#include "transmit.h"
#include "watch.h"

enum { TICK_US = 1000 };

static struct frame_reader reader;
static uint32_t rig_ticked;
static uint32_t line_ticked;
static uint16_t time_high;

static uint8_t first_cause(uint8_t reset)
{
    return reset == RESET_WATCHDOG ? CAUSE_WATCHDOG : reset == RESET_BROWN_OUT ? CAUSE_BROWN_OUT : CAUSE_POWER_UP;
}

void rig_start(void)
{
    outputs_reset();
    latch_reset(first_cause(board_reset_reason()));
    limits_reset();
    program_reset();
    watch_reset();
    measure_reset();
    lease_reset();
    pass_forget();
    transmit_reset();
    flight_reset();
    frame_reader_reset(&reader);
    session_reset();
    reports_reset();
    samples_reset();
    positive_reset();
    rig_ticked = board_now_us();
    line_ticked = board_line_us(rig_ticked);
    time_high = 0;
}

void rig_time(uint32_t *low, uint32_t *high)
{
    *low = board_now_us();
    *high = time_high;
}

static void end_program(bool completed)
{
    pass_forget();
    watch_running(false);
    reports_program_ended(completed);
}

/* Safe has been made; the latch, the program and the host follow. */
static RARE void trip(uint8_t cause, int32_t measured, int32_t limit)
{
    bool first = latch_fire(cause, board_now_us(), measured, limit);
    watch_step(SAFE_CODE);
    positive_set(false);
    if (pass_running()) end_program(false);
    if (first) reports_tripped();
}

RARE void rig_breach(uint8_t cause)
{
    /* A latch that is fired already, with everything off, has nothing to do for a cause that goes on. */
    if (latch.fired && outputs_at_safe() && !(outputs.switches & SWITCH_PLATE_RAIL)) return;
    int32_t measured = 0;
    int32_t limit = 0;
    uint16_t drive_code = outputs.drive_code;
    outputs_make_safe();
    if (!latch.fired) watch_figures(cause, drive_code, &measured, &limit);
    trip(cause, measured, limit);
}

RARE void rig_trip(uint8_t cause)
{
    outputs_make_safe();
    trip(cause, 0, 0);
}

uint8_t rig_present_cause(void)
{
    uint8_t broken = watch_broken();
    if (broken != 0) return broken;
    if (board_stop_pressed()) return CAUSE_EMERGENCY_STOP;
    if (positive_used_ms() > limits.positive_time) return CAUSE_POSITIVE_TIME;
    if (latch.cause == CAUSE_LEASE_EXPIRED && !lease_held()) return CAUSE_LEASE_EXPIRED;
    return 0;
}

bool rig_step(uint16_t code)
{
    if (code > program.ceiling) {
        outputs_make_safe();
        trip(CAUSE_DRIVE_CEILING, line_microvolts(DRIVE, code), line_microvolts(DRIVE, program.ceiling));
        return false;
    }
    outputs_drive(code);
    watch_step(code);
    positive_set(code >= FIRST_POSITIVE_CODE);
    return true;
}

static RARE void finish(bool completed)
{
    positive_set(false);
    if (!outputs_at_safe()) {
        outputs_drive(SAFE_CODE);
        watch_step(SAFE_CODE);
    }
    end_program(completed);
}

void rig_stop(void)
{
    if (pass_running()) finish(false);
}

void rig_pass_done(void)
{
    finish(true);
}

void rig_run_program(void)
{
    /* The limits may have been tightened since the program came. */
    uint16_t highest = program_highest_code();
    if (program.ceiling > highest) program.ceiling = highest;
    watch_renew();
    watch_running(true);
    pass_start(board_now_us());
}

static void lease_ran_out(void)
{
    if (pass_running() || !outputs_at_safe()) rig_trip(CAUSE_LEASE_EXPIRED);
    else if (outputs.switches & SWITCH_PLATE_RAIL) outputs_make_safe();
}

static void rig_tick(uint32_t now)
{
    outputs_tick();
    samples_tick(now);
    positive_tick();
    uint16_t used = positive_used_ms();
    if (outputs.drive_code >= FIRST_POSITIVE_CODE && used > limits.positive_time) {
        outputs_make_safe();
        trip(CAUSE_POSITIVE_TIME, used, limits.positive_time);
    }
}

static void line_tick(void)
{
    if (lease_tick()) lease_ran_out();
    if (outputs.switches & SWITCH_HEATER && lease_silence_ms() >= HEATER_TIMEOUT_MS) outputs_heater_off();
    session_tick();
}

static void receive(void)
{
    int16_t byte;
    while ((byte = board_uart_get()) >= 0)
        if (frame_reader_take(&reader, (uint8_t)byte)) requests_take(reader.bytes, reader.length);
}

/* One millisecond more has passed. */
static RARE bool ticks(uint32_t *ticked, uint32_t now)
{
    if (now - *ticked < TICK_US) return false;
    *ticked += TICK_US;
    return true;
}

void rig_poll(void)
{
    board_alive();
    if (!latch.fired && board_stop_pressed()) rig_trip(CAUSE_EMERGENCY_STOP);
    receive();
    uint32_t now = board_now_us();
    while (ticks(&rig_ticked, now)) {
        if (rig_ticked < TICK_US) time_high++;
        rig_tick(now);
    }
    uint32_t line = board_line_us(now);
    while (ticks(&line_ticked, line)) line_tick();
    reports_run();
    if (pass_running()) {
        pass_act();
    } else {
        measure_watch_all();
        board_rest(TICK_US, false);
    }
}
