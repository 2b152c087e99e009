/* Which pin is what; the table of README.md. */
#ifndef PINS_H
#define PINS_H

#include <avr/io.h>

#define LDAC _BV(PB0)
#define ADC_SELECT _BV(PB1)
#define DAC_SELECT _BV(PB2)
#define MOSI _BV(PB3)
#define SCK _BV(PB5)

#define ENABLE _BV(PC0)
#define SOCKET_SHIFT PC1
#define SOCKET_BITS (_BV(PC1) | _BV(PC2))

#define STOP _BV(PD2)
#define HEATER _BV(PD4)
#define PLATE_RAIL _BV(PD5)

/* SPI mode 0 as master. The DAC takes 8 MHz; the ADC takes 2 MHz at most at 5 V (DS21298, electrical characteristics). */
#define SPI_FAST _BV(SPE) | _BV(MSTR)
#define SPI_SLOW _BV(SPE) | _BV(MSTR) | _BV(SPR0)

/* MCP4922, channel A, unbuffered reference, gain 1, active (DS22250, register 5-1). */
#define DAC_COMMAND 0x3000

#endif
