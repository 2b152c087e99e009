#ifndef UART_H
#define UART_H

void uart_start(void);

#endif
