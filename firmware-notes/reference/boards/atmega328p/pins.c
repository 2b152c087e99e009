/* Switches, emergency stop, enable line, reasons of a reset, number of the start. */
#include <avr/eeprom.h>
#include <avr/io.h>
#include <avr/wdt.h>

#include "board.h"
#include "boot.h"
#include "pins.h"

static uint16_t boots EEMEM;

void boot_count(void)
{
    eeprom_update_word(&boots, (uint16_t)(board_boot() + 1));
}

uint16_t board_boot(void)
{
    return eeprom_read_word(&boots);
}

uint8_t board_reset_reason(void)
{
    uint8_t flags = GPIOR0;
    if (flags & _BV(PORF)) return RESET_POWER_ON;
    if (flags & _BV(WDRF)) return RESET_WATCHDOG;
    if (flags & _BV(BORF)) return RESET_BROWN_OUT;
    /* A start without any reset is a program gone astray. */
    return flags & _BV(EXTRF) ? RESET_EXTERNAL : RESET_WATCHDOG;
}

uint8_t board_supplies(void)
{
    return SUPPLY_HEATER | SUPPLY_PLATE_RAIL;
}

void board_voltages(uint32_t heater_uv, uint32_t plate_rail_uv)
{
    (void)heater_uv;
    (void)plate_rail_uv;
}

void board_switch(uint8_t switches)
{
    if (switches & SWITCH_PLATE_RAIL) PORTD |= PLATE_RAIL;
    else PORTD &= (uint8_t)~PLATE_RAIL;
    if (switches & SWITCH_HEATER) PORTD |= HEATER;
    else PORTD &= (uint8_t)~HEATER;
}

void board_socket(uint8_t socket)
{
    PORTC = (uint8_t)((PORTC & ~SOCKET_BITS) | (socket << SOCKET_SHIFT & SOCKET_BITS));
}

bool board_stop_pressed(void)
{
    return PIND & STOP;
}

void board_alive(void)
{
    wdt_reset();
    /* A one written to PINC toggles the pin. */
    PINC = ENABLE;
}

void board_rest(uint32_t microseconds, bool running)
{
    (void)microseconds;
    (void)running;
}
