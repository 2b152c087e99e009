#include "stepper.h"

#include "program.h"

static uint8_t part;
static uint16_t left;
static uint16_t point;
static uint16_t code;
static bool down;

/* The way of one step is quotient + remainder / (n - 1); the error is kept in units of 1 / (2 (n - 1)), starting at a half. */
static uint16_t quotient;
static uint32_t remainder2;
static uint32_t divisor2;
static uint32_t error;

static void begin_part(void)
{
    const struct segment *s = program_part(part);
    uint16_t steps = (uint16_t)(s->points - 1);
    down = s->to < s->from;
    uint16_t way = down ? s->from - s->to : s->to - s->from;
    code = s->from;
    point = s->first_point;
    left = steps;
    if (steps == 0) return;
    quotient = way / steps;
    remainder2 = 2UL * (way % steps);
    divisor2 = 2UL * steps;
    error = steps;
}

void stepper_begin(void)
{
    part = 0;
    begin_part();
}

uint16_t stepper_code(void)
{
    return code;
}

uint16_t stepper_point(void)
{
    return point;
}

bool stepper_next(void)
{
    if (left == 0) {
        if (++part == program.segments) return false;
        begin_part();
        return true;
    }
    left--;
    point++;
    uint16_t way = quotient;
    error += remainder2;
    if (error >= divisor2) {
        error -= divisor2;
        way++;
    }
    code = down ? (uint16_t)(code - way) : (uint16_t)(code + way);
    return true;
}
