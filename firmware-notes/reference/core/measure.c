#include "measure.h"

#include "average.h"
#include "board.h"
#include "convert.h"
#include "rig.h"
#include "transmit.h"
#include "watch.h"

/* The channel after each in a round. */
static uint8_t following[CHANNELS];
static uint8_t first;
static uint8_t turn;

void measure_reset(void)
{
    turn = 0;
}

uint8_t measure_mask(uint8_t mask)
{
    uint8_t count = 0;
    uint8_t next = CHANNELS;
    /* From the last channel to the first, so that each finds the one after it. */
    for (uint8_t channel = CHANNELS; channel-- > 0;) {
        if (!(mask & (1 << channel))) continue;
        following[channel] = next;
        next = channel;
        count++;
    }
    first = next;
    for (uint8_t channel = 0; channel < CHANNELS; channel++)
        if (following[channel] == CHANNELS) following[channel] = first;
    return count;
}

static inline uint8_t check(uint8_t channel, uint16_t code)
{
    bool counts = watch_sees();
    switch (channel) {
    case PLATE:
        return watch_plate(code, counts);
    case GRID:
        return watch_grid(code, counts);
    case SCREEN:
        watch_screen(code);
        return 0;
    case SUPPLY:
        return watch_supply(code);
    default:
        return watch_readback(code, counts);
    }
}

/* So many conversions from a channel on. What is to be done with one is done while the next one runs, and so is the sending of frames. */
static bool measure(uint8_t channel, uint8_t conversions)
{
    uint16_t code = 0;
    uint8_t done = CHANNELS;
    struct stuffing stuffing = transmit_stuffing;
    for (;;) {
        if (conversions != 0) board_adc_start(channel);
        if (done != CHANNELS) {
            uint8_t cause = check(done, code);
            if (cause != 0) {
                transmit_stuffing = stuffing;
                if (conversions != 0) board_adc_cancel();
                rig_breach(cause);
                return false;
            }
            if (conversions == 0) break;
        }
        board_adc_second();
        if (done != CHANNELS) average_add(done, code);
        transmit_send();
        board_adc_third();
        stuffing_go_on(&stuffing);
        transmit_send();
        done = channel;
        channel = following[channel];
        conversions--;
        code = board_adc_finish();
    }
    transmit_stuffing = stuffing;
    average_add(done, code);
    return true;
}

bool measure_for_average(uint8_t conversions)
{
    return measure(first, conversions);
}

bool measure_one(uint8_t channel)
{
    return measure(channel, 1);
}

void measure_watch(void)
{
    measure(turn, 1);
    if (++turn == CHANNELS) turn = 0;
}

void measure_watch_all(void)
{
    for (uint8_t channel = 0; channel < CHANNELS; channel++) measure(channel, 1);
}
