/* The rig clock: timer 1 in half microseconds, and an overflow every 32768 us. */
#include <avr/interrupt.h>
#include <avr/io.h>

#include "board.h"
#include "clock.h"

enum { OVERFLOW_US = 32768 };

static volatile uint32_t overflowed;

void clock_start(void)
{
    TCCR1A = 0;
    TCCR1B = _BV(CS11);
    TIMSK1 = _BV(TOIE1);
}

ISR(TIMER1_OVF_vect)
{
    overflowed += OVERFLOW_US;
}

uint32_t board_now_us(void)
{
    uint8_t status = SREG;
    cli();
    uint16_t halves = TCNT1;
    uint32_t base = overflowed;
    /* An overflow that waits for its interrupt belongs to a reading that is small. */
    if (TIFR1 & _BV(TOV1) && !(halves & 0x8000)) base += OVERFLOW_US;
    SREG = status;
    return base + (halves >> 1);
}

uint32_t board_line_us(uint32_t now)
{
    return now;
}
