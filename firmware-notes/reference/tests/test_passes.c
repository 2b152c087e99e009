/* Whole passes: codes, times, averages, frames, ends. */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "convert.h"
#include "fake_board.h"
#include "latch.h"
#include "messages.h"
#include "pass_of.h"

struct sample {
    uint32_t time;
    uint16_t point;
    uint16_t drive_code;
    uint8_t flags;
    uint16_t codes[5];
};

/* Samples of the running program, in order; checks the frames. Gives their number. */
static int gather(struct sample *samples, int most, uint8_t channels, struct message_program_end *end)
{
    int count = 0;
    int frames = 0;
    uint32_t renewed = fake.now;
    for (int turns = 0; turns < 2000000; turns++) {
        const struct heard *frame = fake_next();
        if (frame == 0) {
            fake_run(1);
            if (fake.now - renewed < 70000) continue;
            fake_renew();
            renewed = fake.now;
            continue;
        }
        if (frame->number == MESSAGE_PROGRAM_END) {
            memcpy(end, frame->payload, sizeof *end);
            EQUAL(frames, end->frames);
            return count;
        }
        if (frame->number != MESSAGE_SAMPLES) continue;
        const struct message_samples *head = (const struct message_samples *)frame->payload;
        EQUAL(frames, head->frame);
        frames++;
        const uint8_t *at = (const uint8_t *)(head + 1);
        for (int i = 0; i < head->count && count < most; i++) {
            struct message_samples_record record;
            memcpy(&record, at, sizeof record);
            samples[count] = (struct sample){ head->time + record.delay, (uint16_t)(head->first_point + i), record.drive_code, record.flags, { 0 } };
            memcpy(samples[count].codes, at + sizeof record, 2U * channels);
            at += sizeof record + 2U * channels;
            count++;
        }
        EQUAL(frame->length, at - frame->payload);
    }
    CHECK(!"a program ends");
    return count;
}

static struct sample samples[4000];

static void test_plain(void)
{
    struct message_program_end end;
    fake_start(0);
    struct message_program_begin begin = plain_begin();
    begin.dwell = 2000;
    run_program(begin, plain_segment());
    EQUAL(16, gather(samples, 4000, 4, &end));
    EQUAL(1, end.completed);
    EQUAL(SAFE_CODE, fake.dac);
    for (int i = 0; i < 16; i++) {
        EQUAL(i, samples[i].point);
        EQUAL(171 + (1129 * 2 * i + 15) / 30, samples[i].drive_code);
        EQUAL(1, samples[i].flags);
        EQUAL(2000 * 16, samples[i].codes[0]);
        EQUAL(2048 * 16, samples[i].codes[1]);
        EQUAL(2800 * 16, samples[i].codes[3]);
        /* A point takes dwell + 4 rounds of 4 channels of 19 us. */
        if (i > 0) EQUAL(2000 + 16 * CONVERSION_US, samples[i].time - samples[i - 1].time);
    }
    /* A repeat of the start does nothing. */
    struct message_program_start start = { 1 };
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start));
    fake_run(3000);
    EQUAL(SAFE_CODE, fake.dac);
}

static void test_mains(uint8_t periods, uint8_t hertz, uint32_t span)
{
    struct message_program_end end;
    struct message_program_begin begin = plain_begin();
    begin.mains_periods = periods;
    begin.mains_hertz = hertz;
    fake_start(0);
    run_program(begin, plain_segment());
    EQUAL(16, gather(samples, 4000, 4, &end));
    for (int i = 1; i < 16; i++) {
        int off = (int)(samples[i].time - samples[i - 1].time) - (int)span;
        CHECK(off >= -CONVERSION_US && off <= CONVERSION_US);
    }
    EQUAL(2000 * 16, samples[7].codes[0]);
}

/* A sine of the mains sums to nothing over whole periods, whatever the number of channels; over a plain count it does not. */
static void test_hum(uint8_t hertz, uint8_t mask, uint8_t channels)
{
    struct message_program_end end;
    struct message_program_begin begin = plain_begin();
    begin.mask = mask;
    /* So that the points are spread over a period. */
    begin.dwell = 1000;
    int worst[2] = { 0, 0 };
    for (int mains = 0; mains < 2; mains++) {
        begin.mains_periods = (uint8_t)mains;
        begin.mains_hertz = mains ? hertz : 0;
        fake_start(0);
        fake.hum_codes = 300;
        fake.hum_hertz = hertz;
        run_program(begin, plain_segment());
        EQUAL(16, gather(samples, 4000, channels, &end));
        for (int i = 0; i < 16; i++) {
            int off = abs(samples[i].codes[0] - 2000 * 16);
            if (off > worst[mains]) worst[mains] = off;
        }
    }
    /* In sixteenths of a code: half a code of 300 is left at most. */
    CHECK(worst[0] > 100 * 16);
    CHECK(worst[1] <= 8);
}

static void test_settling(void)
{
    struct message_program_end end;
    struct message_program_begin begin = plain_begin();
    begin.settle_tolerance = 2;
    begin.settle_timeout = 5000;
    fake_start(0);
    run_program(begin, plain_segment());
    gather(samples, 4000, 4, &end);
    /* Two conversions of the plate and it is settled. */
    EQUAL(1, samples[5].flags);
    EQUAL(18 * CONVERSION_US, samples[5].time - samples[4].time);
}

static void test_slow_line(void)
{
    struct message_program_end end;
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    begin.points = segment.points = 500;
    fake_start(0);
    run_program(begin, segment);
    fake.line_blocked = true;
    for (int i = 0; i < 5; i++) {
        fake_run(50000);
        fake_renew();
    }
    /* The pass waits, and its limits are looked after. */
    CHECK(fake.dac != SAFE_CODE);
    uint32_t before = fake.conversions[READBACK];
    fake_run(1000);
    CHECK(fake.conversions[READBACK] > before);
    fake.line_blocked = false;
    EQUAL(500, gather(samples, 4000, 4, &end));
    for (int i = 0; i < 500; i++) {
        EQUAL(i, samples[i].point);
        /* What is converted while a sample waits is no part of it. */
        EQUAL(2000 * 16, samples[i].codes[PLATE]);
        EQUAL(2800 * 16, samples[i].codes[SUPPLY]);
    }
    EQUAL(1, end.completed);
}

static void test_ceiling_of_program(void)
{
    struct message_program_begin begin = plain_begin();
    begin.ceiling = 1000;
    fake_start(0);
    run_program(begin, plain_segment());
    fake_run(20000);
    EQUAL(CAUSE_DRIVE_CEILING, latch.cause);
    CHECK(latch.measured > latch.limit);
    EQUAL(SAFE_CODE, fake.dac);
}

static void test_stop_and_hello(void)
{
    struct message_program_begin begin = plain_begin();
    begin.dwell = 1000000;
    fake_start(0);
    run_program(begin, plain_segment());
    fake_run(5000);
    struct message_program_begin other = plain_begin();
    other.program = 2;
    EQUAL(NACK_BUSY, fake_ask(MESSAGE_PROGRAM_BEGIN, &other, sizeof other));
    EQUAL(0, fake_ask(MESSAGE_STOP, 0, 0));
    EQUAL(SAFE_CODE, fake.dac);
    EQUAL(3, fake.switches);
    CHECK(!latch.fired);

    fake_start(0);
    run_program(begin, plain_segment());
    fake_run(5000);
    struct message_hello hello = { 99 };
    EQUAL(0, fake_ask(MESSAGE_HELLO, &hello, sizeof hello));
    EQUAL(SAFE_CODE, fake.dac);
    const struct message_status *status = (const struct message_status *)fake_hear(MESSAGE_STATUS)->payload;
    EQUAL(99, status->session);
    EQUAL(0, status->program);
}

static void test_bad_programs(void)
{
    fake_start(0);
    fake_connect();
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    struct message_program_start start = { 1 };
    EQUAL(NACK_BAD_PROGRAM, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
    begin.segments = SEGMENT_CAPACITY + 1;
    EQUAL(NACK_OUT_OF_RANGE, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    EQUAL(1, ((const struct message_nack *)fake_nack.payload)->field);
    begin = plain_begin();
    begin.ceiling = 3584;
    EQUAL(NACK_OUT_OF_RANGE, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    EQUAL(3583, ((const struct message_nack *)fake_nack.payload)->limit);
    begin = plain_begin();
    begin.mains_periods = 1;
    EQUAL(NACK_BAD_PROGRAM, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    begin = plain_begin();
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    EQUAL(NACK_BAD_PROGRAM, fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start));
    segment.from_code = 170;
    EQUAL(NACK_OUT_OF_RANGE, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
    EQUAL(171, ((const struct message_nack *)fake_nack.payload)->limit);
    segment = plain_segment();
    segment.first_point = 65521;
    EQUAL(NACK_BAD_PROGRAM, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
    segment = plain_segment();
    segment.points = 15;
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
    EQUAL(NACK_BAD_PROGRAM, fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start));
    EQUAL(SAFE_CODE, fake.dac);
}

void test_passes(void)
{
    test_plain();
    test_mains(1, 50, 20000);
    test_mains(2, 60, 33333);
    test_hum(50, 15, 4);
    test_hum(60, 31, 5);
    test_hum(50, 1, 1);
    test_hum(60, 3, 2);
    test_settling();
    test_slow_line();
    test_ceiling_of_program();
    test_stop_and_hello();
    test_bad_programs();
}
