#include "measure.h"

#include "average.h"
#include "board.h"
#include "channel.h"
#include "rig.h"
#include "transmit.h"
#include "watch.h"

struct channel channels[CHANNELS + 1];

static uint8_t turn;

void measure_reset(void)
{
    turn = 0;
}

struct channel *measure_round(uint8_t mask, uint8_t *count)
{
    struct channel *first = 0;
    struct channel *last = 0;
    *count = 0;
    /* From the last channel to the first, so that each finds the one after it. */
    for (struct channel *channel = channels + CHANNELS; channel-- != channels;) {
        if (!(mask & (1 << channel->number))) continue;
        if (last == 0) last = channel;
        channel->next = first;
        first = channel;
        ++*count;
    }
    last->next = first;
    return first;
}

/* So many conversions from a channel on. What is to be done with one is done while the next one runs, and so is the sending of frames: the work is
 * dealt out so that it fills the three gaps that a conversion leaves. */
static bool measure(struct channel *first, uint8_t conversions)
{
    /* So that the loop need not ask whether anything is done yet. The code is at neither end. */
    struct channel *done = &channels[CHANNELS];
    uint16_t code = 1;
    uint8_t cause;
    board_adc_start(board_adc_command(first->number));
    done->next = first;
    struct line line = transmit_line;
    for (;;) {
        cause = watch_code(done, code);
        if (cause != 0) break;
        average_add(done, code);
        if (conversions != 0) board_adc_second(done->next->number);
        average_note(done, code);
        if (done->number <= SCREEN) {
            cause = watch_current(done);
            if (cause != 0) break;
        } else {
            line_stuff(&line);
            line_send(&line);
        }
        if (conversions == 0) break;
        uint8_t third = board_adc_third();
        line_stuff(&line);
        line_send(&line);
        line_go_on(&line);
        done = done->next;
        uint8_t following = board_adc_command(done->next->number);
        conversions--;
        code = board_adc_finish(third);
        /* What has been converted can wait for a gap of the next one. */
        if (conversions != 0) board_adc_start(following);
    }
    transmit_line = line;
    if (cause == 0) return true;
    if (conversions != 0) board_adc_cancel();
    rig_breach(cause);
    return false;
}

bool measure_for_average(struct channel *first, uint8_t conversions)
{
    return measure(first, conversions);
}

bool measure_one(uint8_t number)
{
    /* A sample that waits for room on the line keeps its mean. */
    struct average kept = average;
    struct channel *channel = &channels[number];
    uint16_t sum = channel->sum;
    bool well = measure(channel, 1);
    channel->sum = sum;
    average = kept;
    return well;
}

void measure_watch(void)
{
    measure_one(turn);
    if (++turn == CHANNELS) turn = 0;
}

void measure_watch_all(void)
{
    for (uint8_t number = 0; number < CHANNELS; number++) measure_one(number);
}
