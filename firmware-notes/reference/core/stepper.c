#include "stepper.h"

#include "program.h"

static const struct segment *part;
static uint16_t left;
static uint16_t point;
static uint16_t code;
static bool down;

/* The way of one step is quotient + remainder / steps; the error is kept in units of 1 / steps and starts at a half. */
static uint16_t quotient;
static uint16_t remainder;
static uint16_t error;
static uint16_t steps;

static void begin_part(void)
{
    steps = (uint16_t)(part->points - 1);
    down = part->to < part->from;
    code = part->from;
    point = part->first_point;
    left = steps;
    if (steps == 0) return;
    uint16_t way = (uint16_t)(down ? part->from - part->to : part->to - part->from);
    quotient = way / steps;
    remainder = way % steps;
    error = steps / 2;
}

void stepper_begin(void)
{
    part = program_part(0);
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
        if (++part == program_part(program.segments)) return false;
        begin_part();
        return true;
    }
    left--;
    point++;
    uint16_t way = quotient;
    error = (uint16_t)(error + remainder);
    /* The sum may have gone beyond 16 bits: then it is smaller than what was added. */
    if (error < remainder || error >= steps) {
        error = (uint16_t)(error - steps);
        way++;
    }
    code = (uint16_t)(down ? code - way : code + way);
    return true;
}
