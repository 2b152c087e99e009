#include "requests.h"

#include "board.h"
#include "bytes.h"
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
#include "rig.h"
#include "rig_config.h"
#include "session.h"
#include "watch.h"

static struct refusal busy(void)
{
    return pass_running() ? REFUSE(NACK_BUSY, NO_FIELD, session.program, 0) : ACCEPT;
}

static struct refusal latched(void)
{
    return latch.fired ? REFUSE(NACK_LATCHED, NO_FIELD, latch.cause, 0) : ACCEPT;
}

static struct refusal limit(const uint8_t *p)
{
    uint32_t seal = get_u32(p + LIMITS_SEAL);
    uint32_t right = limits_seal_of(p);
    if (seal != right) return REFUSE(NACK_BAD_SEAL, 7, seal, right);
    struct refusal refusal = busy();
    if (refusal.reason != 0) return refusal;
    int8_t wider = limits_tighten(p);
    if (wider >= 0)
        return REFUSE(NACK_LOOSER_THAN_LIMIT, (uint8_t)wider, limits_field(p, (uint8_t)wider), limits_field(limits_in_force(), (uint8_t)wider));
    watch_renew();
    return ACCEPT;
}

static struct refusal supplies(const uint8_t *p)
{
    uint8_t switches = p[SUPPLIES_SWITCHES];
    uint8_t socket = p[SUPPLIES_SOCKET];
    uint32_t heater = get_u32(p + SUPPLIES_HEATER);
    uint32_t rail = get_u32(p + SUPPLIES_PLATE_RAIL);
    uint32_t most = (uint32_t)limits_get(LIMITS_SUPPLY_MAX);
    if (socket >= SOCKETS) return REFUSE(NACK_OUT_OF_RANGE, 1, socket, SOCKETS - 1);
    if (heater > MAX_HEATER_UV) return REFUSE(NACK_OUT_OF_RANGE, 2, heater, MAX_HEATER_UV);
    if (rail > most) return REFUSE(NACK_OUT_OF_RANGE, 3, rail, most);
    struct refusal refusal = switches & SWITCH_PLATE_RAIL ? latched() : ACCEPT;
    if (refusal.reason == 0) refusal = busy();
    if (refusal.reason != 0) return refusal;
    outputs_select(socket);
    outputs_switch(switches, heater, rail);
    return ACCEPT;
}

static struct refusal start(uint16_t number)
{
    /* A repeat of the start of what already runs, or has run, does nothing. */
    if (number == session.program) return ACCEPT;
    struct refusal refusal = busy();
    if (refusal.reason == 0) refusal = latched();
    if (refusal.reason == 0 && !limits_intact()) refusal = REFUSE(NACK_BAD_SEAL, NO_FIELD, 0, 0);
    if (refusal.reason == 0) refusal = program_complete(number);
    if (refusal.reason == 0) session_run(number);
    return refusal;
}

static struct refusal release(uint16_t firing)
{
    uint8_t present = rig_present_cause();
    uint8_t reason = latch_release(firing, present);
    if (reason == NACK_CAUSE_PRESENT) return REFUSE(reason, NO_FIELD, present, 0);
    return reason != 0 ? REFUSE(reason, 0, firing, latch.firing) : ACCEPT;
}

static struct refusal decide(uint8_t number, const uint8_t *p)
{
    struct refusal refusal;
    switch (number) {
    case MESSAGE_LIMITS:
        return limit(p);
    case MESSAGE_SUPPLIES:
        return supplies(p);
    case MESSAGE_PROGRAM_BEGIN:
        refusal = busy();
        return refusal.reason == 0 ? program_begin(p) : refusal;
    case MESSAGE_PROGRAM_SEGMENT:
        refusal = busy();
        return refusal.reason == 0 ? program_segment(p) : refusal;
    case MESSAGE_PROGRAM_START:
        return start(get_u16(p));
    case MESSAGE_STOP:
        rig_stop();
        return ACCEPT;
    case MESSAGE_SAFE:
        rig_trip(CAUSE_HOST_ORDER);
        return ACCEPT;
    case MESSAGE_RELEASE:
        return release(get_u16(p));
    default:
        reports_ask(REPORT_STATUS);
        return ACCEPT;
    }
}

void requests_take(const uint8_t *frame, uint8_t length)
{
    uint8_t number = frame[0] & 31;
    const uint8_t *payload = frame + FRAME_HEADER;
    uint8_t bytes = (uint8_t)(length - FRAME_HEADER);
    /* Another version cannot be understood at all; the host learns the rig's from any frame of the rig. */
    if (frame[0] >> 5 != LINK_VERSION) return;
    flight_note(board_now_us(), frame[0], frame[1], payload, bytes);
    lease_heard();
    if (!requests_make_sense(number, payload, bytes)) {
        session_break();
        return;
    }
    struct refusal refusal = ACCEPT;
    if (number == MESSAGE_RENEW) {
        if (get_u16(payload) == session.number) lease_renew();
        return;
    }
    if (number == MESSAGE_HELLO) session_open(get_u16(payload));
    else refusal = session.number == 0 ? REFUSE(NACK_NO_SESSION, NO_FIELD, 0, 0) : decide(number, payload);
    reports_answer(number, frame[1], refusal);
}
