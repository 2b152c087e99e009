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
#include "reports.h"
#include "requests.h"
#include "samples.h"
#include "session.h"
#include "transmit.h"
#include "watch.h"

enum { TICK_US = 1000, SLICES_A_TURN = 2 };

static struct frame_reader reader;
static uint32_t rig_ticked;
static uint32_t line_ticked;
static uint32_t time_high;

static uint8_t first_cause(uint8_t reset)
{
    return reset == RESET_WATCHDOG ? CAUSE_WATCHDOG : reset == RESET_BROWN_OUT ? CAUSE_BROWN_OUT : CAUSE_POWER_UP;
}

void rig_start(void)
{
    outputs_reset();
    latch_reset(first_cause(board_reset_reason()));
    limits_reset();
    watch_reset();
    watch_step(SAFE_CODE);
    measure_reset();
    lease_reset();
    program_reset();
    pass_forget();
    transmit_reset();
    flight_reset();
    frame_reader_reset(&reader);
    session_reset();
    reports_reset();
    samples_begin(0, 0, 1);
    rig_ticked = board_now_us();
    line_ticked = board_line_us();
    positive_reset(rig_ticked);
    time_high = 0;
}

uint32_t rig_time_high(void)
{
    return time_high;
}

static void end_program(bool completed)
{
    pass_forget();
    watch_running(false);
    reports_program_ended(completed);
}

static void trip(uint8_t cause, int32_t measured, int32_t limit)
{
    bool first = latch_fire(cause, board_now_us(), measured, limit);
    positive_set(board_now_us(), false);
    if (pass_running()) end_program(false);
    if (first) reports_tripped();
}

void rig_breach(uint8_t cause)
{
    uint16_t code = outputs.drive_code;
    int32_t measured = 0;
    int32_t limit = 0;
    /* Safe first; the figures are those of the code that was on the DAC. */
    outputs_make_safe();
    if (!latch.fired) watch_figures(cause, &measured, &limit);
    if (code != SAFE_CODE) watch_step(SAFE_CODE);
    trip(cause, measured, limit);
}

void rig_trip(uint8_t cause)
{
    outputs_make_safe();
    watch_step(SAFE_CODE);
    trip(cause, 0, 0);
}

uint8_t rig_present_cause(void)
{
    uint8_t broken = watch_broken();
    if (broken != 0) return broken;
    if (board_stop_pressed()) return CAUSE_EMERGENCY_STOP;
    if (positive_over(limits_positive_ms())) return CAUSE_POSITIVE_TIME;
    if (latch.cause == CAUSE_LEASE_EXPIRED && !lease_held()) return CAUSE_LEASE_EXPIRED;
    return 0;
}

bool rig_step(uint32_t now, uint16_t code)
{
    uint16_t ceiling = drive_code_below(limits_get(LIMITS_DRIVE_CEILING));
    if (program.ceiling < ceiling) ceiling = program.ceiling;
    if (code > ceiling) {
        outputs_make_safe();
        watch_step(SAFE_CODE);
        trip(CAUSE_DRIVE_CEILING, drive_microvolts(code), drive_microvolts(ceiling));
        return false;
    }
    outputs_drive(code);
    watch_step(code);
    positive_set(now, code >= FIRST_POSITIVE_CODE);
    return true;
}

static void bring_drive_to_safe(void)
{
    positive_set(board_now_us(), false);
    if (outputs_at_safe()) return;
    outputs_drive(SAFE_CODE);
    watch_step(SAFE_CODE);
}

void rig_stop(void)
{
    if (!pass_running()) return;
    bring_drive_to_safe();
    end_program(false);
}

void rig_pass_done(void)
{
    bring_drive_to_safe();
    end_program(true);
}

void rig_run_program(void)
{
    watch_set(&program.wiring);
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
    positive_tick(now);
    if (positive_is() && positive_over(limits_positive_ms())) {
        uint32_t used = positive_used_ms();
        outputs_make_safe();
        watch_step(SAFE_CODE);
        trip(CAUSE_POSITIVE_TIME, (int32_t)used, limits_positive_ms());
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

void rig_poll(void)
{
    board_alive();
    if (!latch.fired && board_stop_pressed()) rig_trip(CAUSE_EMERGENCY_STOP);
    receive();
    uint32_t now = board_now_us();
    while (now - rig_ticked >= TICK_US) {
        if (rig_ticked + TICK_US < rig_ticked) time_high++;
        rig_ticked += TICK_US;
        rig_tick(now);
    }
    uint32_t line = board_line_us();
    while (line - line_ticked >= TICK_US) {
        line_ticked += TICK_US;
        line_tick();
    }
    reports_run();
    for (uint8_t i = 0; i < SLICES_A_TURN; i++) transmit_slice();
    if (pass_running()) pass_act(now);
    else if (measure_watch()) board_rest(TICK_US, false);
}
