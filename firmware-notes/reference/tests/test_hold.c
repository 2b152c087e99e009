/* Nothing is on that no host of this session holds: without a lease, behind the latch, from an earlier session, or by a request that comes late. */
#include "board.h"
#include "check.h"
#include "convert.h"
#include "fake_board.h"
#include "latch.h"
#include "messages.h"
#include "pass_of.h"

static const struct message_supplies both = { SWITCH_HEATER | SWITCH_PLATE_RAIL, 0, 6300000, 28000000 };
static const struct message_supplies heater = { SWITCH_HEATER, 0, 6300000, 28000000 };

/* Twice the longest lease that the protocol allows. */
enum { LEASE_OVER_US = 600000 };

static uint8_t switch_to(const struct message_supplies *supplies)
{
    return fake_ask(MESSAGE_SUPPLIES, supplies, sizeof *supplies);
}

/* Of 80 ms. */
static void lay_program(void)
{
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    begin.dwell = 5000;
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    EQUAL(0, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
}

static uint8_t start_program(void)
{
    struct message_program_start start = { 1 };
    return fake_ask(MESSAGE_PROGRAM_START, &start, sizeof start);
}

/* Whatever the answer was, the DAC is what counts. */
static bool stays_at_rest(void)
{
    uint32_t writes = fake.dac_writes;
    fake_run(50000);
    return writes == fake.dac_writes && fake.dac == SAFE_CODE;
}

static void lose_the_lease(void)
{
    fake_start(0);
    fake_connect();
    lay_program();
    fake_run(LEASE_OVER_US);
    CHECK(!latch.fired);
}

static void test_rail_without_lease(void)
{
    lose_the_lease();
    EQUAL(NACK_CAUSE_PRESENT, switch_to(&both));
    EQUAL(CAUSE_LEASE_EXPIRED, ((const struct message_nack *)fake_nack.payload)->value);
    EQUAL(0, fake.switches);
    /* A heater has its own time. */
    EQUAL(0, switch_to(&heater));
    fake_renew();
    EQUAL(0, switch_to(&both));
    EQUAL(SWITCH_HEATER | SWITCH_PLATE_RAIL, fake.switches);
}

static void test_program_without_lease(void)
{
    lose_the_lease();
    EQUAL(NACK_CAUSE_PRESENT, start_program());
    EQUAL(CAUSE_LEASE_EXPIRED, ((const struct message_nack *)fake_nack.payload)->value);
    CHECK(stays_at_rest());
    fake_renew();
    EQUAL(0, start_program());
    fake_run(20000);
    CHECK(fake.dac != SAFE_CODE);
}

static void test_program_behind_latch(void)
{
    fake_start(0);
    fake_connect();
    lay_program();
    fake.stop = true;
    fake_run(1000);
    fake.stop = false;
    fake_renew();
    EQUAL(NACK_LATCHED, start_program());
    EQUAL(CAUSE_EMERGENCY_STOP, ((const struct message_nack *)fake_nack.payload)->value);
    CHECK(stays_at_rest());
}

static void say_hello_again(void)
{
    struct message_hello hello = { 99 };
    EQUAL(0, fake_ask(MESSAGE_HELLO, &hello, sizeof hello));
    CHECK(!latch.fired);
}

static void test_hello_takes_rail_off(void)
{
    fake_start(0);
    fake_connect();
    EQUAL(0, switch_to(&both));
    say_hello_again();
    EQUAL(SWITCH_HEATER, fake.switches);
}

static void test_hello_ends_program(void)
{
    fake_start(0);
    fake_connect();
    lay_program();
    EQUAL(0, start_program());
    fake_run(20000);
    CHECK(fake.dac != SAFE_CODE);
    say_hello_again();
    CHECK(stays_at_rest());
}

/* Renewals of a session that is over hold nothing. */
static void test_renewal_of_other_session(void)
{
    fake_start(0);
    fake_connect();
    EQUAL(0, switch_to(&both));
    say_hello_again();
    EQUAL(0, switch_to(&both));
    for (int i = 0; i < 10; i++) {
        fake_renew();
        fake_run(50000);
    }
    EQUAL(SWITCH_HEATER, fake.switches);
}

/* What a pass drives, and whither, is not changed under it. */
static void test_changes_under_a_pass(void)
{
    fake_start(0);
    fake_connect();
    EQUAL(0, switch_to(&both));
    lay_program();
    EQUAL(0, start_program());
    struct message_supplies other = { SWITCH_HEATER | SWITCH_PLATE_RAIL, 2, 6300000, 28000000 };
    EQUAL(NACK_BUSY, switch_to(&other));
    EQUAL(0, fake.socket);
    struct message_program_begin begin = plain_begin();
    struct message_program_segment segment = plain_segment();
    EQUAL(NACK_BUSY, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
    EQUAL(NACK_BUSY, fake_ask(MESSAGE_PROGRAM_SEGMENT, &segment, sizeof segment));
    begin.program = 2;
    EQUAL(NACK_BUSY, fake_ask(MESSAGE_PROGRAM_BEGIN, &begin, sizeof begin));
}

/* Runs on, and counts answers. */
static int answers(void)
{
    int count = 0;
    fake_run(5000);
    for (const struct heard *frame = fake_next(); frame != 0; frame = fake_next())
        count += frame->number == MESSAGE_ACK || frame->number == MESSAGE_NACK;
    return count;
}

/* The host switched the rail on and off again, and the line brings the first of the two once more. */
static void test_late_requests(void)
{
    fake_start(0);
    fake_connect();
    EQUAL(0, switch_to(&both));
    EQUAL(0, switch_to(&heater));
    fake_forget();
    static const uint8_t late[] = { 1, 2, 126, 127 };
    for (unsigned i = 0; i < sizeof late; i++) {
        fake_send_back(late[i], MESSAGE_SUPPLIES, &both, sizeof both);
        EQUAL(0, answers());
        EQUAL(SWITCH_HEATER, fake.switches);
    }
    /* The newest may come twice, and numbers go round. */
    fake_send_back(0, MESSAGE_SUPPLIES, &heater, sizeof heater);
    EQUAL(1, answers());
    fake_send_back(256 - 127, MESSAGE_SUPPLIES, &both, sizeof both);
    EQUAL(1, answers());
    EQUAL(SWITCH_HEATER | SWITCH_PLATE_RAIL, fake.switches);
    /* A new session numbers anew. */
    say_hello_again();
    fake_forget();
    fake_send_back(100, MESSAGE_ASK_STATUS, 0, 0);
    EQUAL(1, answers());
}

static void test_orders_are_never_late(void)
{
    struct message_program_begin begin = plain_begin();
    begin.dwell = 1000000;
    fake_start(0);
    run_program(begin, plain_segment());
    EQUAL(0, fake_ask(MESSAGE_ASK_STATUS, 0, 0));
    fake_run(2000);
    fake_send_back(1, MESSAGE_STOP, 0, 0);
    fake_run(500);
    EQUAL(SAFE_CODE, fake.dac);
    EQUAL(SWITCH_HEATER | SWITCH_PLATE_RAIL, fake.switches);
    fake_send_back(3, MESSAGE_SAFE, 0, 0);
    fake_run(500);
    EQUAL(CAUSE_HOST_ORDER, latch.cause);
    EQUAL(SWITCH_HEATER, fake.switches);
}

void test_hold(void)
{
    test_rail_without_lease();
    test_program_without_lease();
    test_program_behind_latch();
    test_hello_takes_rail_off();
    test_hello_ends_program();
    test_renewal_of_other_session();
    test_changes_under_a_pass();
    test_late_requests();
    test_orders_are_never_late();
}
