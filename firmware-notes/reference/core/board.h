/* What the core asks of a board, and all it knows of one. Times are microseconds and wrap at 32 bits. */
#ifndef BOARD_H
#define BOARD_H

#include <stdbool.h>
#include <stdint.h>

enum { SWITCH_HEATER = 1, SWITCH_PLATE_RAIL = 2 };
enum { SUPPLY_HEATER = 1, SUPPLY_PLATE_RAIL = 2, SUPPLY_PLATE_RAIL_SET = 4, SUPPLY_HEATER_SET = 8 };
enum { RESET_POWER_ON, RESET_EXTERNAL, RESET_BROWN_OUT, RESET_WATCHDOG };

/* Puts a code on the DAC; nothing is being converted. */
void board_drive(uint16_t code);

/* One conversion in four calls, in this order; between two of them the converter works by itself for about 4 us. Each waits for it.
 * start takes what command gives for the channel, which can be asked beforehand; finish takes what third gave. */
uint8_t board_adc_command(uint8_t channel);
void board_adc_start(uint8_t command);
void board_adc_second(uint8_t channel);
uint8_t board_adc_third(void);
uint16_t board_adc_finish(uint8_t third);

/* Gives up a conversion that has just been started. */
void board_adc_cancel(void);

/* The rig clock since reset. */
uint32_t board_now_us(void);

/* The clock of the line at rig time `now`: the same in hardware; a bench that runs ahead of its host has two. */
uint32_t board_line_us(uint32_t now);

/* Which supplies there are: bits of Identity.supplies. */
uint8_t board_supplies(void);

/* Voltages of what board_switch switches on, where they can be set. */
void board_voltages(uint32_t heater_uv, uint32_t plate_rail_uv);
void board_switch(uint8_t switches);
void board_socket(uint8_t socket);

/* True while the emergency stop is pressed or its wire is broken. */
bool board_stop_pressed(void);

/* One byte from the host, -1 if there is none; room for one byte to the host. */
int16_t board_uart_get(void);
bool board_uart_ready(void);
void board_uart_put(uint8_t byte);

/* Called by the main loop alone: feeds the watchdog and toggles the enable line. */
void board_alive(void);

/* Nothing is to be done for so long, unless the host speaks. Hardware returns at once. */
void board_rest(uint32_t microseconds, bool running);

uint8_t board_reset_reason(void);
uint16_t board_boot(void);

/* One byte of the payload of IdentityText. */
uint8_t board_text(uint8_t place);

#endif
