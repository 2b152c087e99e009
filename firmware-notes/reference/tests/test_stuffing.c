#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "fake_board.h"
#include "frame_reader.h"
#include "transmit.h"

uint8_t plain_stuff(uint8_t *wire, const uint8_t *bytes, uint8_t length);
uint8_t wire_of(uint8_t *wire, uint8_t number, uint8_t sequence, const void *payload, uint8_t length);

/* The examples of the encyclopaedia article on consistent overhead byte stuffing (after Cheshire and Baker, 1999) that fit into a frame. */
static const struct {
    uint8_t raw[5];
    uint8_t raw_length;
    uint8_t stuffed[6];
    uint8_t stuffed_length;
} published[] = {
    { { 0 }, 1, { 1, 1 }, 2 },
    { { 0, 0 }, 2, { 1, 1, 1 }, 3 },
    { { 0, 0x11, 0 }, 3, { 1, 2, 0x11, 1 }, 4 },
    { { 0x11, 0x22, 0, 0x33 }, 4, { 3, 0x11, 0x22, 2, 0x33 }, 5 },
    { { 0x11, 0x22, 0x33, 0x44 }, 4, { 5, 0x11, 0x22, 0x33, 0x44 }, 5 },
    { { 0x11, 0, 0, 0 }, 4, { 2, 0x11, 1, 1, 1 }, 5 },
};

static void test_published(void)
{
    for (unsigned i = 0; i < sizeof published / sizeof published[0]; i++) {
        struct frame_reader reader;
        uint8_t wire[8];
        frame_reader_reset(&reader);
        for (uint8_t at = 0; at < published[i].stuffed_length; at++) CHECK(!frame_reader_take(&reader, published[i].stuffed[at]));
        EQUAL(published[i].raw_length, reader.length);
        EQUAL(0, memcmp(reader.bytes, published[i].raw, reader.length));
        EQUAL(published[i].stuffed_length, plain_stuff(wire, published[i].raw, published[i].raw_length));
        EQUAL(0, memcmp(wire, published[i].stuffed, published[i].stuffed_length));
    }
}

/* A frame of the tests' own encoder is good; each with one byte changed, one byte lost or cut short is not. */
static void test_damage(void)
{
    uint8_t payload[40];
    uint8_t wire[130];
    srand(1);
    for (int round = 0; round < 200; round++) {
        uint8_t length = (uint8_t)(rand() % 40);
        for (uint8_t i = 0; i < length; i++) payload[i] = (uint8_t)(rand() % 4);
        uint8_t bytes = wire_of(wire, 5, (uint8_t)round, payload, length);
        struct frame_reader reader;
        frame_reader_reset(&reader);
        bool good = false;
        for (uint8_t i = 0; i < bytes; i++) good = frame_reader_take(&reader, wire[i]);
        CHECK(good);
        EQUAL(length + FRAME_HEADER, reader.length);
        EQUAL(0, memcmp(reader.bytes + FRAME_HEADER, payload, length));

        uint8_t spoilt = (uint8_t)(rand() % (bytes - 1));
        uint8_t flip = (uint8_t)(1 + rand() % 255);
        int accepted = 0;
        for (uint8_t i = 0; i < bytes; i++) accepted += frame_reader_take(&reader, i == spoilt ? wire[i] ^ flip : wire[i]);
        EQUAL(0, accepted);
        for (uint8_t i = 0; i < bytes; i++)
            if (i != spoilt) accepted += frame_reader_take(&reader, wire[i]);
        EQUAL(0, accepted);
        CHECK(reader.damaged >= 2);
        for (uint8_t i = 0; i < bytes; i++) good = frame_reader_take(&reader, wire[i]);
        CHECK(good);
    }
}

static void test_too_long(void)
{
    struct frame_reader reader;
    frame_reader_reset(&reader);
    for (int i = 0; i < 1000; i++) CHECK(!frame_reader_take(&reader, 200));
    CHECK(!frame_reader_take(&reader, 0));
    EQUAL(1, reader.damaged);
    /* Nothing between two zeros is no damage. */
    CHECK(!frame_reader_take(&reader, 0));
    EQUAL(1, reader.damaged);
}

/* What the rig's in-place encoder sends is what the tests' reader takes, whatever the zeros; the fake board checks it on the way. */
static void test_in_place(void)
{
    for (int round = 0; round < 300; round++) {
        fake_start(0);
        uint8_t *payload = transmit_open();
        uint8_t kept[122];
        uint8_t length = (uint8_t)(rand() % 123);
        for (uint8_t i = 0; i < length; i++) kept[i] = payload[i] = (uint8_t)(rand() % (round % 2 == 0 ? 2 : 256));
        transmit_close(payload, 24, length);
        while (transmit_busy()) transmit_work(1);
        const struct heard *frame = fake_next();
        CHECK(frame != 0);
        if (frame == 0) return;
        EQUAL(length, frame->length);
        EQUAL(0, memcmp(frame->payload, kept, length));
    }
}

void test_stuffing(void)
{
    test_published();
    test_damage();
    test_too_long();
    test_in_place();
}
