/* Drops over resistors. Large figures lose their last places, never their size. */
#ifndef DROPS_H
#define DROPS_H

#include <stdint.h>

/* a * b / c, at most 65535. */
uint16_t scale(uint32_t a, uint32_t b, uint32_t c);

/* Drop of a current of nanoamps over a resistor, in codes of the plate channel times `fraction`, at most 65535. */
uint16_t drop_codes(int32_t nanoamps, uint32_t ohms, uint8_t fraction);

/* Current of a drop in uV over a resistor, in nA. */
int32_t drop_current(int32_t microvolts, uint32_t ohms);

#endif
