#include <avr/interrupt.h>

#include "board.h"
#include "boot.h"
#include "clock.h"
#include "rig.h"
#include "machine.h"
#include "uart.h"

#ifndef SERIAL
#define SERIAL "R-0001"
#endif

/* The payload of IdentityText. */
static const struct {
    char firmware[32];
    char board[24];
    char serial[24];
} text ROM = { "reference 1.0", "atmega328p", SERIAL };

uint8_t board_text(uint8_t place)
{
    return rom_u8((const uint8_t *)&text + place);
}

int main(void)
{
    boot_count();
    clock_start();
    uart_start();
    /* Before the rig starts, which takes longer than the three bytes that the receiver holds. */
    sei();
    rig_start();
    for (;;) rig_poll();
}
