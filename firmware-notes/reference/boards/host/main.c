/* The reference firmware as a process: the link on a pseudo-terminal, everything else on the bench bus. */
#include <signal.h>
#include <stdio.h>
#include <string.h>

#include "bench.h"
#include "board.h"
#include "line.h"
#include "rig.h"
#include "transmit.h"

enum { BUS_VERSION = 1 };

static uint64_t started_at;
static uint64_t line_started_at;
static uint16_t boot;
static uint8_t reset_reason;

static struct {
    char firmware[32];
    char board[24];
    char serial[24];
} text = { "reference 1.0", "host", "H-0001" };

void board_drive(uint16_t code)
{
    bench_ask(BENCH_DRIVE, 0, code, 0, 0);
}

static uint8_t converting;

uint8_t board_adc_command(uint8_t channel)
{
    return channel;
}

void board_adc_start(uint8_t channel)
{
    converting = channel;
}

void board_adc_second(uint8_t channel)
{
    (void)channel;
}

uint8_t board_adc_third(void)
{
    return 0;
}

void board_adc_cancel(void)
{
}

uint16_t board_adc_finish(uint8_t third)
{
    (void)third;
    bench_ask(BENCH_CONVERT, converting, 0, 0, 0);
    return bench.value & 0x0FFF;
}

uint32_t board_now_us(void)
{
    return (uint32_t)(bench.bench_us - started_at);
}

uint32_t board_line_us(uint32_t now)
{
    (void)now;
    return (uint32_t)(bench.line_us - line_started_at);
}

uint8_t board_supplies(void)
{
    return SUPPLY_HEATER | SUPPLY_PLATE_RAIL | SUPPLY_PLATE_RAIL_SET | SUPPLY_HEATER_SET;
}

static uint32_t heater, plate_rail;

void board_voltages(uint32_t heater_uv, uint32_t plate_rail_uv)
{
    heater = heater_uv;
    plate_rail = plate_rail_uv;
}

void board_switch(uint8_t switches)
{
    bench_ask(BENCH_SUPPLIES, switches, 0, switches & SWITCH_HEATER ? heater : 0, switches & SWITCH_PLATE_RAIL ? plate_rail : 0);
}

void board_socket(uint8_t socket)
{
    bench_ask(BENCH_SOCKET, socket, 0, 0, 0);
}

bool board_stop_pressed(void)
{
    return bench.stop_pressed;
}

void board_alive(void)
{
}

void board_rest(uint32_t microseconds, bool running)
{
    /* A frame that is under way goes out before the rest, as it would by itself on a wire. */
    while (transmit_busy() && board_uart_ready()) transmit_work(1);
    bench_ask(BENCH_REST, running, 0, microseconds, 0);
}

uint8_t board_reset_reason(void)
{
    return reset_reason;
}

uint16_t board_boot(void)
{
    return boot;
}

uint8_t board_text(uint8_t place)
{
    return ((const uint8_t *)&text)[place];
}

static int usage(const char *found)
{
    fprintf(stderr, "rig-host: %s. Use: rig-host --pty PATH [--serial TEXT of 1 to 24 printable ASCII characters]\n", found);
    return 2;
}

static bool take_serial(const char *serial)
{
    size_t length = strlen(serial);
    if (length < 1 || length > sizeof text.serial) return false;
    for (size_t i = 0; i < length; i++)
        if (serial[i] < 0x20 || serial[i] > 0x7E) return false;
    memset(text.serial, 0, sizeof text.serial);
    memcpy(text.serial, serial, length);
    return true;
}

int main(int count, char **arguments)
{
    const char *path = NULL;
    for (int i = 1; i < count; i += 2) {
        if (i + 1 == count) return usage("an option lacks its value");
        if (strcmp(arguments[i], "--pty") == 0) path = arguments[i + 1];
        else if (strcmp(arguments[i], "--serial") != 0) return usage("an option is not known");
        else if (!take_serial(arguments[i + 1])) return usage("the serial number is not allowed");
    }
    if (path == NULL) return usage("--pty is missing");
    /* A bench that is gone is seen when writing to it. */
    signal(SIGPIPE, SIG_IGN);
    line_open(path);
    bench_ask(BENCH_START, BUS_VERSION, 0, 0, 0);
    started_at = bench.bench_us;
    line_started_at = bench.line_us;
    boot = bench.value & 0x3FFF;
    reset_reason = (uint8_t)(bench.value >> 14);
    rig_start();
    fprintf(stderr, "ready %s\n", path);
    for (;;) rig_poll();
}
