/* The first instructions after a reset, before memory is cleared: the safe code on the DAC, supplies off, the watchdog on its time. */
#include <avr/io.h>
#include <avr/wdt.h>

#include "convert.h"
#include "pins.h"

void reset_safe(void) __attribute__((naked, used, section(".init3")));

void reset_safe(void)
{
    PORTD = STOP;
    DDRD = HEATER | PLATE_RAIL;
    PORTC = 0;
    DDRC = ENABLE | SOCKET_BITS;
    PORTB = LDAC | ADC_SELECT;
    DDRB = LDAC | ADC_SELECT | DAC_SELECT | MOSI | SCK;
    SPSR = _BV(SPI2X);
    SPCR = SPI_FAST;
    SPDR = (DAC_COMMAND | SAFE_CODE) >> 8;
    while (!(SPSR & _BV(SPIF))) {
    }
    SPDR = SAFE_CODE & 0xFF;
    while (!(SPSR & _BV(SPIF))) {
    }
    PORTB |= DAC_SELECT;
    PORTB &= (uint8_t)~LDAC;
    PORTB |= LDAC;

    /* Kept for board_reset_reason: a flag that stays set would keep the watchdog on its shortest time. */
    GPIOR0 = MCUSR;
    MCUSR = 0;
    wdt_enable(WDTO_60MS);
}
