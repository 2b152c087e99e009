/* A board in memory. A conversion takes 1 ms, so that a tenth of a second is soon over; at the end of a wait the clock stands still and the main
 * loop does what is due. */
#include <string.h>

#include "board.h"
#include "convert.h"
#include "explored.h"
#include "latch.h"
#include "limits.h"
#include "messages.h"
#include "outputs.h"
#include "pass.h"
#include "program.h"
#include "reports.h"
#include "rig.h"
#include "rig_config.h"
#include "session.h"
#include "transmit.h"

enum { STEP_US = 1000, SETTLING_TURNS = 12, MOST_TURNS = 64 };

/* Of this library alone: what the linker says of its zeroed memory, in which the core keeps all that it remembers. */
extern uint8_t __bss_start[], _end[];

static struct {
    struct explored_world world;
    uint32_t now;
    uint32_t until;
    uint16_t dac;
    uint8_t reset;
    uint8_t converting;
} board;

/* The line, only while it is used. */
static const uint8_t *heard;
static uint32_t heard_left;
static uint8_t *sent_at;
static uint32_t sent_room, sent_count;

static void pass_time(uint32_t microseconds)
{
    uint32_t left = board.until - board.now;
    board.now += microseconds < left ? microseconds : left;
}

void board_drive(uint16_t code) { board.dac = code; }
uint8_t board_adc_command(uint8_t channel) { return channel; }
void board_adc_start(uint8_t channel) { board.converting = channel; }
void board_adc_second(uint8_t channel) { (void)channel; }
uint8_t board_adc_third(void) { return 0; }
void board_adc_cancel(void) { }

uint16_t board_adc_finish(uint8_t third)
{
    (void)third;
    pass_time(STEP_US);
    if (board.converting != READBACK || !board.world.follows) return board.world.codes[board.converting];
    int16_t code = line_code(READBACK, line_microvolts(DRIVE, board.dac) + (int32_t)(line_step(READBACK) / 32));
    return code < 0 ? 0 : (uint16_t)code;
}

uint32_t board_now_us(void) { return board.now; }
uint32_t board_line_us(uint32_t now) { return now; }
uint8_t board_supplies(void) { return SUPPLY_HEATER | SUPPLY_PLATE_RAIL; }
void board_voltages(uint32_t heater_uv, uint32_t plate_rail_uv) { (void)heater_uv, (void)plate_rail_uv; }
void board_switch(uint8_t switches) { (void)switches; }
void board_socket(uint8_t socket) { (void)socket; }
bool board_stop_pressed(void) { return board.world.stop; }

int16_t board_uart_get(void)
{
    if (heard_left == 0) return -1;
    heard_left--;
    return *heard++;
}

bool board_uart_ready(void) { return true; }

void board_uart_put(uint8_t byte)
{
    if (sent_count < sent_room) sent_at[sent_count++] = byte;
}

void board_alive(void) { }
void board_rest(uint32_t microseconds, bool running) { (void)running, pass_time(microseconds < STEP_US ? STEP_US : microseconds); }
uint8_t board_reset_reason(void) { return board.reset; }
uint16_t board_boot(void) { return 7; }
uint8_t board_text(uint8_t place) { return (uint8_t)("explored"[place % 8]); }

static void turn(void)
{
    rig_poll();
    while (transmit_busy()) transmit_work(1);
}

/* So many turns at least that the longest row of conversions beyond a limit is complete, and until nothing waits to be told. */
static uint32_t settle(void)
{
    for (int i = 0; i < MOST_TURNS && (i < SETTLING_TURNS || reports_waiting()); i++) turn();
    return sent_count;
}

static void attend(const uint8_t *bytes, uint32_t count, uint8_t *sent, uint32_t room)
{
    heard = bytes;
    heard_left = count;
    sent_at = sent;
    sent_room = room;
    sent_count = 0;
}

uint32_t explored_size(void) { return (uint32_t)(_end - __bss_start); }

void explored_reset(uint8_t reason, const struct explored_world *world)
{
    uint16_t dac = board.dac;
    memset(__bss_start, 0, explored_size());
    board.dac = dac;
    board.world = *world;
    board.reset = reason;
    rig_start();
    attend(0, 0, 0, 0);
    settle();
}

void explored_load(const uint8_t *state) { memcpy(__bss_start, state, explored_size()); }

void explored_save(uint8_t *state, uint8_t *sequence, int16_t *firings, uint8_t *number)
{
    uint32_t now = board.now;
    attend(0, 0, 0, 0);
    heard = 0;
    view_flight(now);
    view_lease(now);
    view_pass(now);
    view_positive(now);
    view_reports(now);
    view_samples(now);
    view_transmit(now);
    view_rig(now);
    board.now = board.until = 0;
    *sequence = view_requests();
    *firings = (int16_t)(latch.firing - FIRING);
    latch.firing = FIRING;
    *number = (uint8_t)session.number;
    if (session.number != 0) session.number = SESSION;
    memcpy(state, __bss_start, explored_size());
}

void explored_copy(uint8_t *state)
{
    attend(0, 0, 0, 0);
    memcpy(state, __bss_start, explored_size());
}

uint32_t explored_surround(const struct explored_world *world, uint8_t *sent, uint32_t room)
{
    attend(0, 0, sent, room);
    board.world = *world;
    return settle();
}

uint32_t explored_hear(const uint8_t *bytes, uint32_t count, uint8_t *sent, uint32_t room)
{
    attend(bytes, count, sent, room);
    return settle();
}

uint32_t explored_wait(uint32_t microseconds, uint8_t *sent, uint32_t room)
{
    attend(0, 0, sent, room);
    board.until = board.now + microseconds;
    while (board.now != board.until) turn();
    return settle();
}

void explored_look(struct explored_seen *seen)
{
    int32_t ceiling = limits.drive_ceiling;
    if (pass_running() && line_microvolts(DRIVE, program.ceiling) < ceiling) ceiling = line_microvolts(DRIVE, program.ceiling);
    *seen = (struct explored_seen){
        line_microvolts(DRIVE, board.dac), ceiling, line_microvolts(DRIVE, SAFE_CODE), outputs.switches,
        pass_running(), latch.fired, latch.cause, rig_present_cause(),
    };
}
