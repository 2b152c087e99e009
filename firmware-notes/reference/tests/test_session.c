/* The rig as a host sees it, byte for byte through the reader and the encoder. */
#include <string.h>

#include "check.h"
#include "convert.h"
#include "fake_board.h"
#include "flight.h"
#include "latch.h"
#include "limits.h"
#include "messages.h"

static void test_start(void)
{
    fake_start(3);
    EQUAL(SAFE_CODE, fake.dac);
    const struct message_restarted *restarted = (const struct message_restarted *)fake_hear(MESSAGE_RESTARTED)->payload;
    EQUAL(3, restarted->last_reset);
    EQUAL(7, restarted->boot);
    EQUAL(CAUSE_WATCHDOG, latch.cause);
    fake_start(2);
    EQUAL(CAUSE_BROWN_OUT, latch.cause);
    fake_start(0);
    uint32_t from = fake.now;
    for (int i = 0; i < 11; i++) fake_hear(MESSAGE_RESTARTED);
    CHECK(fake.now - from > 990000 && fake.now - from < 1012000);
    /* Nothing is done for a host that has not said Hello. */
    struct message_program_start start = { 1 };
    EQUAL(NACK_NO_SESSION, fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start));
}

static void test_handshake(void)
{
    fake_start(0);
    struct message_hello hello = { 4711 };
    fake_send(MESSAGE_HELLO, &hello, sizeof hello);
    static const uint8_t order[] = { MESSAGE_IDENTITY, MESSAGE_IDENTITY_TEXT, MESSAGE_IDENTITY_DRIVE, MESSAGE_IDENTITY_CHANNEL, MESSAGE_IDENTITY_CHANNEL,
        MESSAGE_IDENTITY_CHANNEL, MESSAGE_IDENTITY_CHANNEL, MESSAGE_IDENTITY_CHANNEL, MESSAGE_IDENTITY_LIMITS, MESSAGE_ACK };
    uint8_t sequence = 0;
    for (unsigned i = 0; i < sizeof order; i++) {
        const struct heard *frame = i == 0 ? fake_hear(MESSAGE_IDENTITY) : fake_next();
        while (frame == 0) {
            fake_run(100);
            frame = fake_next();
        }
        EQUAL(order[i], frame->number);
        if (i > 0) EQUAL((uint8_t)(sequence + 1), frame->sequence);
        sequence = frame->sequence;
        if (order[i] == MESSAGE_IDENTITY_CHANNEL) EQUAL(i - 3, frame->payload[0]);
    }
    fake_forget();
    /* Status every 100 ms, until the host has been silent for 3 s. */
    uint32_t from = fake.now;
    for (int i = 0; i < 10; i++) EQUAL(4711, ((const struct message_status *)fake_hear(MESSAGE_STATUS)->payload)->session);
    CHECK(fake.now - from <= 1002000);
    fake_run(3000000);
    fake_forget();
    fake_run(1000000);
    CHECK(fake_next() == 0);
}

static void test_latch_and_release(void)
{
    fake_start(0);
    struct message_hello hello = { 4711 };
    fake_ask(MESSAGE_HELLO, &hello, sizeof hello);
    struct message_supplies supplies = { 3, 0, 6300000, 28000000 };
    EQUAL(NACK_LATCHED, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    supplies.switches = 1;
    EQUAL(0, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    EQUAL(1, fake.switches);
    struct message_release release = { 9 };
    EQUAL(NACK_OTHER_LATCH, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
    release.latch = 1;
    fake.stop = true;
    EQUAL(NACK_CAUSE_PRESENT, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
    EQUAL(CAUSE_EMERGENCY_STOP, ((const struct message_nack *)fake_nack.payload)->value);
    fake.stop = false;
    EQUAL(0, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
    supplies.switches = 3;
    EQUAL(0, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    EQUAL(3, fake.switches);
    /* Values of this rig. */
    supplies.socket = SOCKETS;
    EQUAL(NACK_OUT_OF_RANGE, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    supplies.socket = 2;
    supplies.plate_rail = 40000001;
    EQUAL(NACK_OUT_OF_RANGE, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    EQUAL(0, fake.socket);
    supplies.plate_rail = 28000000;
    EQUAL(0, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    EQUAL(2, fake.socket);
    /* Pressed at any time: safe, rail off, heater stays. */
    fake.stop = true;
    fake_run(1000);
    EQUAL(1, fake.switches);
    CHECK(latch.fired);
    EQUAL(CAUSE_EMERGENCY_STOP, latch.cause);
    EQUAL(2, latch.firing);
    fake.stop = false;
    fake_run(100000);
    CHECK(latch.fired);
}

static void test_nonsense(uint8_t number, const void *payload, uint8_t length)
{
    fake_start(0);
    fake_connect();
    struct message_supplies supplies = { 2, 0, 0, 28000000 };
    EQUAL(0, fake_ask(MESSAGE_SUPPLIES, &supplies, sizeof supplies));
    fake_forget();
    fake_send(number, payload, length);
    EQUAL(CAUSE_PROTOCOL_FAULT, ((const struct message_tripped *)fake_hear(MESSAGE_TRIPPED)->payload)->cause);
    EQUAL(0, fake.switches);
    EQUAL(NACK_NO_SESSION, fake_ask(MESSAGE_ASK_STATUS, 0, 0));
}

static void test_flight(void)
{
    fake_start(0);
    fake_connect();
    fake_run(500000);
    fake_forget();
    fake_send(MESSAGE_SAFE, 0, 0);
    int records = 0;
    uint32_t time = 0;
    while (records < 60) {
        const struct heard *frame = fake_hear(MESSAGE_FLIGHT_RECORD);
        const struct message_flight_record *head = (const struct message_flight_record *)frame->payload;
        EQUAL(records, head->first);
        EQUAL(sizeof *head + head->count * 8U, frame->length);
        for (int i = 0; i < head->count; i++) {
            struct message_flight_record_record record;
            memcpy(&record, frame->payload + sizeof *head + 8 * i, 8);
            CHECK(record.time >= time);
            time = record.time;
            EQUAL(1, record.header >> 5);
        }
        records += head->count;
        if (head->count < 14) break;
    }
    CHECK(records >= 20 && records <= 64);
    EQUAL(CAUSE_HOST_ORDER, latch.cause);
    /* The newest record is the Safe itself. */
}

static void test_limits_of_host(void)
{
    fake_start(0);
    fake_connect();
    struct message_limits asked = limits;
    asked.drive_ceiling = 12000000;
    asked.positive_time = 20000;
    asked.seal = 1;
    EQUAL(NACK_BAD_SEAL, fake_ask(MESSAGE_LIMITS, &asked, sizeof asked));
    fake_seal(&asked);
    EQUAL(0, fake_ask(MESSAGE_LIMITS, &asked, sizeof asked));
    EQUAL(12000000, limits.drive_ceiling);
    /* Each field wider than what is in force is refused by its name, and nothing is taken. */
    for (int field = 0; field < 7; field++) {
        struct message_limits wide = limits;
        int32_t value = limits_field(&wide, (uint8_t)field) + (field == 0 ? -1 : 1);
        /* A lowest rail of 0 V cannot be undercut. */
        if (field == 4) continue;
        if (field == 6) wide.positive_time++;
        else memcpy((uint8_t *)&wide + 4 * field, &value, sizeof value);
        if (field != 2) wide.grid_current -= 1000;
        fake_seal(&wide);
        EQUAL(NACK_LOOSER_THAN_LIMIT, fake_ask(MESSAGE_LIMITS, &wide, sizeof wide));
        EQUAL(field, ((const struct message_nack *)fake_nack.payload)->field);
        EQUAL(HARD_GRID_CURRENT_NA, limits.grid_current);
    }
}

void test_session(void)
{
    test_start();
    test_handshake();
    test_latch_and_release();
    struct message_hello zero = { 0 };
    struct message_supplies bad = { 4, 0, 0, 0 };
    test_nonsense(MESSAGE_HELLO, &zero, sizeof zero);
    test_nonsense(MESSAGE_SUPPLIES, &bad, sizeof bad);
    test_nonsense(MESSAGE_STOP, "x", 1);
    test_nonsense(MESSAGE_STATUS, 0, 0);
    test_nonsense(12, 0, 0);
    test_flight();
    test_limits_of_host();
}
