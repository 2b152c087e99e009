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

/* Start bit, single-ended, three bits of channel, placed so that the code ends with the third byte (DS21298, figure 6-1). */
uint8_t board_adc_command(uint8_t channel)
{
    uint8_t command = 0x06 | channel >> 2;
    /* Now, and not in the moment of the start, where the compiler would put it. */
    __asm__ volatile("" : "+r"(command));
    return command;
}

void board_adc_start(uint8_t command)
{
    PORTB &= (uint8_t)~ADC_SELECT;
    SPDR = command;
}

void board_adc_second(uint8_t channel)
{
    uint8_t second = (uint8_t)(channel << 6);
    wait();
    SPDR = second;
}

uint8_t board_adc_third(void)
{
    wait();
    uint8_t high = SPDR;
    SPDR = 0;
    return high;
}

uint16_t board_adc_finish(uint8_t high)
{
    wait();
    /* With what follows until the next start the converter is deselected for more than the 500 ns that it needs (DS21298, tCSH). */
    PORTB |= ADC_SELECT;
    uint8_t low = SPDR;
    return (uint16_t)((high & 0x0F) << 8 | low);
}

void board_adc_cancel(void)
{
    wait();
    PORTB |= ADC_SELECT;
}
