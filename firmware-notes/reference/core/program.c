#include "program.h"

#include <stddef.h>
#include <string.h>

#include "convert.h"
#include "limits.h"
#include "request.h"

struct message_program_begin program;
static struct segment segments[SEGMENT_CAPACITY];
_Static_assert(sizeof segments[0] == sizeof(struct message_program_segment) - offsetof(struct message_program_segment, from_code), "a segment as it travels");

void program_reset(void)
{
    memset(&program, 0, sizeof program);
    program.plate_resistor = DEFAULT_PLATE_OHMS;
    program.screen_resistor = DEFAULT_SCREEN_OHMS;
    program.grid_stopper = DEFAULT_STOPPER_OHMS;
}

uint16_t program_highest_code(void)
{
    int16_t most = line_code(DRIVE, limits.drive_ceiling);
    return most < 0 ? 0 : (uint16_t)most;
}

uint8_t program_begin(const struct message_program_begin *asked)
{
    uint16_t most = program_highest_code();
    if (asked->segments > SEGMENT_CAPACITY) return refuse(NACK_OUT_OF_RANGE, 1, asked->segments, SEGMENT_CAPACITY);
    if (asked->ceiling > most) return refuse(NACK_OUT_OF_RANGE, 4, asked->ceiling, most);
    if (!asked->mains_periods != !asked->mains_hertz) return refuse(NACK_BAD_PROGRAM, 8, asked->mains_hertz, asked->mains_periods ? 50 : 0);
    program = *asked;
    memset(segments, 0, sizeof segments);
    return 0;
}

static uint8_t check_code(uint16_t code, uint8_t field)
{
    /* The nearest code: half a step up, then the one that is not above. */
    int16_t least = line_code(DRIVE, limits.drive_floor + (int32_t)(DRIVE_STEP / 32));
    if ((int16_t)code < least) return refuse(NACK_OUT_OF_RANGE, field, code, (uint16_t)least);
    if (code > MAX_CODE) return refuse(NACK_OUT_OF_RANGE, field, code, MAX_CODE);
    return 0;
}

uint8_t program_segment(const struct message_program_segment *asked)
{
    if (program.program == 0 || asked->program != program.program) return refuse(NACK_BAD_PROGRAM, 0, asked->program, program.program);
    if (asked->index >= program.segments) return refuse(NACK_BAD_PROGRAM, 1, asked->index, (uint16_t)(program.segments - 1));
    uint8_t reason = check_code(asked->from_code, 2);
    if (reason == 0) reason = check_code(asked->to_code, 3);
    if (reason != 0) return reason;
    if (asked->first_point > (uint16_t)-asked->points) return refuse(NACK_BAD_PROGRAM, 5, asked->first_point, (uint16_t)-asked->points);
    memcpy(&segments[asked->index], &asked->from_code, sizeof segments[0]);
    return 0;
}

uint8_t program_complete(uint16_t number)
{
    if (program.program == 0 || number != program.program) return refuse(NACK_BAD_PROGRAM, 0, number, program.program);
    uint32_t points = 0;
    for (uint8_t i = 0; i < program.segments; i++) {
        if (segments[i].points == 0) return refuse(NACK_BAD_PROGRAM, NO_FIELD, i, program.segments);
        points += segments[i].points;
    }
    if (points != program.points) return refuse_wide(NACK_BAD_PROGRAM, NO_FIELD, (int32_t)points, program.points);
    return 0;
}

const struct segment *program_part(uint8_t index)
{
    return &segments[index];
}
