#include "reports.h"

#include <string.h>

#include "flight.h"
#include "lay.h"
#include "messages.h"
#include "pass.h"
#include "request.h"
#include "samples.h"
#include "session.h"
#include "transmit.h"

static uint8_t waiting;
static uint8_t identity_part;
static uint8_t answer_type;
static uint8_t answer_sequence;
static uint8_t answer_reason;

void reports_reset(void)
{
    waiting = 0;
}

bool reports_waiting(void)
{
    return waiting != 0;
}

void reports_identify(void)
{
    samples_drop();
    transmit_forget();
    identity_part = 0;
    waiting = REPORT_IDENTITY;
}

void reports_ask(uint8_t report)
{
    waiting |= report;
}

void reports_answer(uint8_t type, uint8_t sequence, uint8_t reason)
{
    answer_type = type;
    answer_sequence = sequence;
    answer_reason = reason;
    waiting |= REPORT_ANSWER;
}

void reports_program_ended(bool completed)
{
    samples_flush();
    session.completed = completed;
    waiting |= REPORT_PROGRAM_END;
}

void reports_tripped(void)
{
    waiting |= REPORT_TRIPPED;
    if (session.number == 0) return;
    waiting |= REPORT_FLIGHT;
    flight_rewind();
}

static uint8_t lay_program_end(void *payload)
{
    struct message_program_end *m = payload;
    m->program = session.program;
    m->completed = session.completed;
    m->frames = samples_frames();
    m->time = pass_ended_at();
    return sizeof *m;
}

static uint8_t lay_answer(void *payload)
{
    struct message_nack *m = payload;
    m->request_type = answer_type;
    m->request = answer_sequence;
    m->session = session.number;
    if (answer_reason == 0) return sizeof(struct message_ack);
    m->reason = answer_reason;
    memcpy(&m->field, &refusal, sizeof refusal);
    return sizeof *m;
}

void reports_run(void)
{
    if (waiting == 0) return;
    uint8_t *payload = transmit_open();
    if (payload == 0) return;
    uint8_t done = (uint8_t)(waiting & -waiting);
    uint8_t length;
    uint8_t number;
    switch (done) {
    case REPORT_IDENTITY:
        length = lay_identity(payload, identity_part, &number);
        if (++identity_part < IDENTITY_PARTS) done = 0;
        break;
    case REPORT_PROGRAM_END:
        number = MESSAGE_PROGRAM_END;
        length = lay_program_end(payload);
        break;
    case REPORT_TRIPPED:
        number = MESSAGE_TRIPPED;
        length = lay_tripped(payload);
        break;
    case REPORT_STATUS:
        number = MESSAGE_STATUS;
        length = lay_status(payload);
        break;
    case REPORT_ANSWER:
        number = answer_reason == 0 ? MESSAGE_ACK : MESSAGE_NACK;
        length = lay_answer(payload);
        break;
    case REPORT_FLIGHT:
        number = MESSAGE_FLIGHT_RECORD;
        length = flight_lay(payload);
        if (length != 0) done = 0;
        break;
    default:
        number = MESSAGE_RESTARTED;
        length = lay_restarted(payload);
        break;
    }
    waiting &= (uint8_t)~done;
    if (length == 0) transmit_drop(payload);
    else transmit_close(payload, number, length);
}
