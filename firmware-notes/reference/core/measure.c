#include "measure.h"

#include "average.h"
#include "board.h"
#include "convert.h"
#include "rig.h"
#include "watch.h"

static uint8_t channels[CHANNELS];
static uint8_t count;
static uint8_t turn;

void measure_reset(void)
{
    count = 0;
    turn = 0;
}

uint8_t measure_mask(uint8_t mask)
{
    count = 0;
    for (uint8_t channel = 0; channel < CHANNELS; channel++)
        if (mask & (1 << channel)) channels[count++] = channel;
    return count;
}

bool measure_round(void)
{
    uint8_t channel = channels[0];
    board_adc_start(channel);
    for (uint8_t i = 1;; i++) {
        uint16_t code = board_adc_finish();
        uint8_t converted = channel;
        bool more = i < count;
        if (more) {
            /* The converter works on the next one while this one is looked at. */
            channel = channels[i];
            board_adc_start(channel);
        }
        uint8_t cause = watch_check(converted, code);
        if (cause != 0) {
            if (more) board_adc_finish();
            rig_breach(cause);
            return false;
        }
        average_add(converted, code);
        if (!more) return true;
    }
}

static bool measure(uint8_t channel, uint16_t *code)
{
    board_adc_start(channel);
    *code = board_adc_finish();
    uint8_t cause = watch_check(channel, *code);
    if (cause != 0) rig_breach(cause);
    return cause == 0;
}

bool measure_plate(uint16_t *code)
{
    return measure(PLATE, code);
}

bool measure_watch(void)
{
    uint16_t code;
    measure(turn, &code);
    if (++turn < CHANNELS) return false;
    turn = 0;
    return true;
}
