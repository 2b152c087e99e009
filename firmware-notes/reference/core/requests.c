#include "requests.h"

#include "board.h"
#include "flight.h"
#include "frame_reader.h"
#include "latch.h"
#include "lease.h"
#include "limits.h"
#include "messages.h"
#include "outputs.h"
#include "pass.h"
#include "program.h"
#include "reports.h"
#include "request.h"
#include "rig.h"
#include "rig_config.h"
#include "session.h"
#include "watch.h"

/* Sequence of the newest request of the session, once there is one. */
static uint8_t newest;
static bool any;

void requests_begin(void)
{
    any = false;
}

/* A request that comes after a newer one is a copy that the line kept: what it asked for has been overtaken. */
static bool late_copy(uint8_t number, uint8_t sequence)
{
    if (any && (uint8_t)(sequence - newest) > 127) return number != MESSAGE_SAFE && number != MESSAGE_STOP;
    newest = sequence;
    any = true;
    return false;
}

static uint8_t busy(void)
{
    return pass_running() ? refuse(NACK_BUSY, NO_FIELD, session.program, 0) : 0;
}

static uint8_t latched(void)
{
    return latch.fired ? refuse(NACK_LATCHED, NO_FIELD, latch.cause, 0) : 0;
}

/* Without a hold nothing would ever take the outputs back. */
static uint8_t not_allowed(void)
{
    return latch.fired || lease_held() ? latched() : refuse(NACK_CAUSE_PRESENT, NO_FIELD, CAUSE_LEASE_EXPIRED, 0);
}

static uint8_t limit(const struct message_limits *asked)
{
    enum { SEAL = 7 };
    uint32_t right = limits_seal_of(asked);
    if (asked->seal != right) return refuse_wide(NACK_BAD_SEAL, SEAL, (int32_t)asked->seal, (int32_t)right);
    if (busy() != 0) return NACK_BUSY;
    int8_t wider = limits_tighten(asked);
    if (wider >= 0)
        return refuse_wide(NACK_LOOSER_THAN_LIMIT, (uint8_t)wider, limits_field(asked, (uint8_t)wider), limits_field(&limits, (uint8_t)wider));
    watch_renew();
    return 0;
}

static uint8_t supplies(const struct message_supplies *asked)
{
    if (asked->socket >= SOCKETS) return refuse(NACK_OUT_OF_RANGE, 1, asked->socket, SOCKETS - 1);
    if (asked->heater > MAX_HEATER_UV) return refuse_wide(NACK_OUT_OF_RANGE, 2, (int32_t)asked->heater, MAX_HEATER_UV);
    if (asked->plate_rail > (uint32_t)limits.supply_max) return refuse_wide(NACK_OUT_OF_RANGE, 3, (int32_t)asked->plate_rail, limits.supply_max);
    uint8_t reason = asked->switches & SWITCH_PLATE_RAIL ? not_allowed() : 0;
    if (reason != 0) return reason;
    if (busy() != 0) return NACK_BUSY;
    outputs_select(asked->socket);
    board_voltages(asked->heater, asked->plate_rail);
    outputs_switch(asked->switches);
    return 0;
}

static uint8_t start(uint16_t number)
{
    /* A repeat of the start of what already runs, or has run, does nothing. */
    if (number == session.program) return 0;
    if (busy() != 0) return NACK_BUSY;
    uint8_t reason = not_allowed();
    if (reason != 0) return reason;
    if (!limits_intact()) return refuse(NACK_BAD_SEAL, NO_FIELD, 0, 0);
    reason = program_complete(number);
    if (reason == 0) session_run(number);
    return reason;
}

static uint8_t release(uint16_t firing)
{
    uint8_t present = rig_present_cause();
    uint8_t reason = latch_release(firing, present);
    if (reason == NACK_CAUSE_PRESENT) return refuse(reason, NO_FIELD, present, 0);
    return reason == 0 ? 0 : refuse(reason, 0, firing, latch.firing);
}

static uint8_t decide(uint8_t number, const void *payload)
{
    /* Requests that name one thing name it in their first two bytes. */
    uint16_t named = ((const struct message_release *)payload)->latch;
    switch (number) {
    case MESSAGE_LIMITS:
        return limit(payload);
    case MESSAGE_SUPPLIES:
        return supplies(payload);
    case MESSAGE_PROGRAM_BEGIN:
        return busy() != 0 ? NACK_BUSY : program_begin(payload);
    case MESSAGE_PROGRAM_SEGMENT:
        return busy() != 0 ? NACK_BUSY : program_segment(payload);
    case MESSAGE_PROGRAM_START:
        return start(named);
    case MESSAGE_STOP:
        rig_stop();
        return 0;
    case MESSAGE_SAFE:
        rig_trip(CAUSE_HOST_ORDER);
        return 0;
    case MESSAGE_RELEASE:
        return release(named);
    default:
        reports_ask(REPORT_STATUS);
        return 0;
    }
}

void requests_take(const uint8_t *frame, uint8_t length)
{
    uint8_t number = frame[0] & 31;
    const uint8_t *payload = frame + FRAME_HEADER;
    uint16_t named = ((const struct message_hello *)payload)->session;
    length = (uint8_t)(length - FRAME_HEADER);
    /* Another version cannot be understood at all; the host learns the rig's from any frame of the rig. */
    if (frame[0] >> 5 != LINK_VERSION) return;
    flight_note(frame, length);
    lease_heard();
    if (!requests_make_sense(number, payload, length)) {
        session_break();
        return;
    }
    uint8_t reason = 0;
    if (number == MESSAGE_RENEW) {
        if (named == session.number) lease_renew();
        return;
    }
    if (number != MESSAGE_HELLO && late_copy(number, frame[1])) return;
    if (number == MESSAGE_HELLO) session_open(named);
    else reason = session.number == 0 ? refuse(NACK_NO_SESSION, NO_FIELD, 0, 0) : decide(number, payload);
    reports_answer(number, frame[1], reason);
}
