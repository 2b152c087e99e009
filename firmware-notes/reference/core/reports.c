#include "reports.h"

#include "board.h"
#include "bytes.h"
#include "flight.h"
#include "lay.h"
#include "messages.h"
#include "samples.h"
#include "session.h"
#include "transmit.h"

static uint8_t waiting;
static uint8_t identity_part;
static uint8_t answer_type;
static uint8_t answer_sequence;
static struct refusal answer;
static uint32_t ended_at;

void reports_reset(void)
{
    waiting = 0;
}

bool reports_waiting(void)
{
    return waiting != 0;
}

void reports_forget(void)
{
    samples_drop();
    transmit_forget();
    waiting = 0;
}

void reports_ask(uint8_t report)
{
    waiting |= report;
}

void reports_identify(void)
{
    identity_part = 0;
    waiting = REPORT_IDENTITY;
}

void reports_answer(uint8_t type, uint8_t sequence, struct refusal refusal)
{
    answer_type = type;
    answer_sequence = sequence;
    answer = refusal;
    waiting |= REPORT_ANSWER;
}

void reports_program_ended(bool completed)
{
    samples_flush();
    session.completed = completed;
    ended_at = board_now_us();
    waiting |= REPORT_PROGRAM_END;
}

void reports_tripped(void)
{
    waiting |= REPORT_TRIPPED;
    if (session.number == 0) return;
    waiting |= REPORT_FLIGHT;
    flight_rewind();
}

static uint8_t *lay_program_end(uint8_t *at)
{
    at = put_u16(at, session.program);
    at = put_u8(at, session.completed);
    at = put_u16(at, samples_frames());
    return put_u32(at, ended_at);
}

static uint8_t *lay_answer(uint8_t *at)
{
    at = put_u8(at, answer_type);
    at = put_u8(at, answer_sequence);
    at = put_u16(at, session.number);
    if (answer.reason == 0) return at;
    at = put_u8(at, answer.reason);
    at = put_u8(at, answer.field);
    at = put_i32(at, answer.value);
    return put_i32(at, answer.limit);
}

void reports_run(void)
{
    if (waiting == 0) return;
    uint8_t *payload = transmit_open();
    if (payload == 0) return;
    uint8_t *end = payload;
    uint8_t done = (uint8_t)(waiting & -waiting);
    uint8_t number;
    switch (done) {
    case REPORT_IDENTITY:
        end = lay_identity(payload, identity_part, &number);
        if (++identity_part < IDENTITY_PARTS) done = 0;
        break;
    case REPORT_PROGRAM_END:
        number = MESSAGE_PROGRAM_END;
        end = lay_program_end(payload);
        break;
    case REPORT_TRIPPED:
        number = MESSAGE_TRIPPED;
        end = lay_tripped(payload);
        break;
    case REPORT_STATUS:
        number = MESSAGE_STATUS;
        end = lay_status(payload);
        break;
    case REPORT_ANSWER:
        number = answer.reason == 0 ? MESSAGE_ACK : MESSAGE_NACK;
        end = lay_answer(payload);
        break;
    case REPORT_FLIGHT:
        number = MESSAGE_FLIGHT_RECORD;
        end += flight_lay(payload);
        if (end == payload) transmit_drop(payload);
        else done = 0;
        break;
    default:
        number = MESSAGE_RESTARTED;
        end = lay_restarted(payload);
        break;
    }
    waiting = (uint8_t)(waiting & ~done);
    if (end != payload) transmit_close(payload, number, (uint8_t)(end - payload));
}
