/* MCP4922 and MCP3208 on one SPI; SPCR rests on the ADC's clock. */
#include <avr/io.h>

#include "board.h"
#include "pins.h"

static inline __attribute__((always_inline)) void wait(void)
{
    while (!(SPSR & _BV(SPIF))) {
    }
}

void board_drive(uint16_t code)
{
    SPCR = SPI_FAST;
    PORTB &= (uint8_t)~DAC_SELECT;
    code |= DAC_COMMAND;
    SPDR = (uint8_t)(code >> 8);
    wait();
    SPDR = (uint8_t)code;
    wait();
    PORTB |= DAC_SELECT;
    PORTB &= (uint8_t)~LDAC;
    PORTB |= LDAC;
    SPCR = SPI_SLOW;
}

static uint8_t second_byte;

void board_adc_start(uint8_t channel)
{
    /* Start bit, single-ended, three bits of channel, placed so that the code ends with the third byte (DS21298, figure 6-1). */
    PORTB &= (uint8_t)~ADC_SELECT;
    SPDR = channel & 4 ? 0x07 : 0x06;
    second_byte = (uint8_t)(channel << 6);
}

void board_adc_second(void)
{
    wait();
    SPDR = second_byte;
}

static uint8_t high;

void board_adc_third(void)
{
    wait();
    high = SPDR;
    SPDR = 0;
}

uint16_t board_adc_finish(void)
{
    wait();
    uint8_t low = SPDR;
    PORTB |= ADC_SELECT;
    return (uint16_t)((high & 0x0F) << 8 | low);
}

void board_adc_cancel(void)
{
    wait();
    PORTB |= ADC_SELECT;
}
