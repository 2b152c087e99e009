/* Whole-number arithmetic on scales, without 64-bit division. */
#ifndef SCALE_H
#define SCALE_H

#include <stdint.h>

/* floor(a * b / c) with the whole product; UINT32_MAX if it does not fit. c is not 0. */
uint32_t scale_muldiv(uint32_t a, uint32_t b, uint32_t c);

/* The same rounded up. */
uint32_t scale_muldiv_up(uint32_t a, uint32_t b, uint32_t c);

/* floor(a * b / c) for an a of either sign, kept within 31 bits. */
int32_t scale_signed(int32_t a, uint32_t b, uint32_t c);

#endif
