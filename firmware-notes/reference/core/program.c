#include "program.h"

#include "bytes.h"
#include "convert.h"
#include "limits.h"
#include "messages.h"

struct program program;
static struct segment segments[SEGMENT_CAPACITY];

void program_reset(void)
{
    program.number = 0;
}

struct refusal program_begin(const uint8_t *p)
{
    uint16_t ceiling = get_u16(p + PROGRAM_BEGIN_CEILING);
    uint16_t most = drive_code_below(limits_get(LIMITS_DRIVE_CEILING));
    uint8_t hertz = p[PROGRAM_BEGIN_MAINS_HERTZ];
    uint8_t periods = p[PROGRAM_BEGIN_MAINS_PERIODS];
    if (p[PROGRAM_BEGIN_SEGMENTS] > SEGMENT_CAPACITY) return REFUSE(NACK_OUT_OF_RANGE, 1, p[PROGRAM_BEGIN_SEGMENTS], SEGMENT_CAPACITY);
    if (ceiling > most) return REFUSE(NACK_OUT_OF_RANGE, 4, ceiling, most);
    if ((periods > 0) != (hertz > 0)) return REFUSE(NACK_BAD_PROGRAM, 8, hertz, periods > 0 ? 50 : 0);
    program.number = get_u16(p + PROGRAM_BEGIN_PROGRAM);
    program.segments = p[PROGRAM_BEGIN_SEGMENTS];
    program.points = get_u16(p + PROGRAM_BEGIN_POINTS);
    program.mask = p[PROGRAM_BEGIN_MASK];
    program.ceiling = ceiling;
    program.dwell = get_u32(p + PROGRAM_BEGIN_DWELL);
    program.conversions = get_u16(p + PROGRAM_BEGIN_CONVERSIONS);
    program.mains_periods = periods;
    program.mains_hertz = hertz;
    program.settle_tolerance = get_u16(p + PROGRAM_BEGIN_SETTLE_TOLERANCE);
    program.settle_timeout = get_u32(p + PROGRAM_BEGIN_SETTLE_TIMEOUT);
    program.wiring.plate_ohms = get_u32(p + PROGRAM_BEGIN_PLATE_RESISTOR);
    program.wiring.screen_ohms = get_u32(p + PROGRAM_BEGIN_SCREEN_RESISTOR);
    program.wiring.stopper_ohms = get_u32(p + PROGRAM_BEGIN_GRID_STOPPER);
    program.wiring.triode = p[PROGRAM_BEGIN_CONNECTION] == 1;
    for (uint8_t i = 0; i < SEGMENT_CAPACITY; i++) segments[i].points = 0;
    return ACCEPT;
}

static struct refusal check_code(uint16_t code, uint8_t field)
{
    uint16_t least = drive_code_near(limits_get(LIMITS_DRIVE_FLOOR));
    if (code < least) return REFUSE(NACK_OUT_OF_RANGE, field, code, least);
    if (code > DRIVE_MAX_CODE) return REFUSE(NACK_OUT_OF_RANGE, field, code, DRIVE_MAX_CODE);
    return ACCEPT;
}

struct refusal program_segment(const uint8_t *p)
{
    uint16_t number = get_u16(p + PROGRAM_SEGMENT_PROGRAM);
    uint8_t index = p[PROGRAM_SEGMENT_INDEX];
    struct segment s = {
        .from = get_u16(p + PROGRAM_SEGMENT_FROM_CODE),
        .to = get_u16(p + PROGRAM_SEGMENT_TO_CODE),
        .points = get_u16(p + PROGRAM_SEGMENT_POINTS),
        .first_point = get_u16(p + PROGRAM_SEGMENT_FIRST_POINT),
    };
    if (program.number == 0 || number != program.number) return REFUSE(NACK_BAD_PROGRAM, 0, number, program.number);
    if (index >= program.segments) return REFUSE(NACK_BAD_PROGRAM, 1, index, program.segments - 1);
    struct refusal refusal = check_code(s.from, 2);
    if (refusal.reason == 0) refusal = check_code(s.to, 3);
    if (refusal.reason != 0) return refusal;
    if ((uint16_t)(s.first_point + (s.points - 1)) < s.first_point) return REFUSE(NACK_BAD_PROGRAM, 5, s.first_point, 65536 - (int32_t)s.points);
    segments[index] = s;
    return ACCEPT;
}

struct refusal program_complete(uint16_t number)
{
    if (program.number == 0 || number != program.number) return REFUSE(NACK_BAD_PROGRAM, 0, number, program.number);
    uint32_t points = 0;
    for (uint8_t i = 0; i < program.segments; i++) {
        if (segments[i].points == 0) return REFUSE(NACK_BAD_PROGRAM, NO_FIELD, i, program.segments);
        points += segments[i].points;
    }
    if (points != program.points) return REFUSE(NACK_BAD_PROGRAM, NO_FIELD, points, program.points);
    return ACCEPT;
}

const struct segment *program_part(uint8_t index)
{
    return &segments[index];
}
