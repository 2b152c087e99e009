/* The link. Bytes from the host come by interrupt into a ring, for the main loop may be away for longer than the two bytes that the hardware
 * holds. Bytes to the host are given to the hardware when it has room: that is asked in every gap of a conversion, which is oftener than a byte
 * takes at 1 Mbaud, and costs half of an interrupt. */
#include <avr/interrupt.h>
#include <avr/io.h>

#include "board.h"
#include "uart.h"

#ifndef BAUD
#define BAUD 1000000UL
#endif

enum { RING = 64 };

static volatile uint8_t ring[RING];
static volatile uint8_t head;
static uint8_t tail;

void uart_start(void)
{
    UCSR0A = _BV(U2X0);
    UCSR0C = _BV(UCSZ01) | _BV(UCSZ00);
    UBRR0H = (uint8_t)(((F_CPU + BAUD * 4) / (BAUD * 8) - 1) >> 8);
    UBRR0L = (uint8_t)((F_CPU + BAUD * 4) / (BAUD * 8) - 1);
    UCSR0B = _BV(RXCIE0) | _BV(RXEN0) | _BV(TXEN0);
}

ISR(USART_RX_vect)
{
    uint8_t byte = UDR0;
    uint8_t next = (uint8_t)((head + 1) % RING);
    /* A full ring drops the byte; the check of the frame tells. */
    if (next == tail) return;
    ring[head] = byte;
    head = next;
}

int16_t board_uart_get(void)
{
    if (tail == head) return -1;
    uint8_t byte = ring[tail];
    tail = (uint8_t)((tail + 1) % RING);
    return byte;
}

bool board_uart_ready(void)
{
    return UCSR0A & _BV(UDRE0);
}

void board_uart_put(uint8_t byte)
{
    UDR0 = byte;
}
