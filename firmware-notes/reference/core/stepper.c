#include "stepper.h"

#include "program.h"

static struct {
    const struct segment *part;
    uint16_t left;
    uint16_t point;
    uint16_t code;
    bool down;

    /* The way of one step is quotient + remainder / steps; the error is kept in units of 1 / steps and starts at a half. */
    uint16_t quotient;
    uint16_t remainder;
    uint16_t error;
} stepper;

static void begin_part(void)
{
    const struct segment *part = stepper.part;
    uint16_t steps = (uint16_t)(part->points - 1);
    stepper.down = part->to < part->from;
    stepper.code = part->from;
    stepper.point = part->first_point;
    stepper.left = steps;
    if (steps == 0) return;
    uint16_t way = (uint16_t)(stepper.down ? part->from - part->to : part->to - part->from);
    stepper.quotient = way / steps;
    stepper.remainder = way % steps;
    stepper.error = steps / 2;
}

void stepper_begin(void)
{
    stepper.part = program_part(0);
    begin_part();
}

uint16_t stepper_code(void)
{
    return stepper.code;
}

uint16_t stepper_point(void)
{
    return stepper.point;
}

bool stepper_next(void)
{
    if (stepper.left == 0) {
        if (++stepper.part == program_part(program.segments)) return false;
        begin_part();
        return true;
    }
    stepper.left--;
    stepper.point++;
    uint16_t way = stepper.quotient;
    uint16_t steps = (uint16_t)(stepper.part->points - 1);
    uint16_t error = (uint16_t)(stepper.error + stepper.remainder);
    /* The sum may have gone beyond 16 bits: then it is smaller than what was added. */
    if (error < stepper.remainder || error >= steps) {
        error = (uint16_t)(error - steps);
        way++;
    }
    stepper.error = error;
    stepper.code = (uint16_t)(stepper.down ? stepper.code - way : stepper.code + way);
    return true;
}
