#include "pass_of.h"

#include "check.h"
#include "fake_board.h"

struct message_program_begin plain_begin(void)
{
    return (struct message_program_begin){ .program = 1, .segments = 1, .points = 16, .mask = 15, .ceiling = 2730, .conversions = 4,
        .plate_resistor = 10000, .screen_resistor = 100, .grid_stopper = 4700 };
}

struct message_program_segment plain_segment(void)
{
    return (struct message_program_segment){ .program = 1, .from_code = 171, .to_code = 1300, .points = 16 };
}

void run_program(struct message_program_begin begin, struct message_program_segment segment)
{
    fake_connect();
    struct message_supplies supplies = { 3, 0, 6300000, 28000000 };
    struct message_program_start start = { begin.program };
    EQUAL(0, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
    fake_renew();
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start));
}
