#include "session.h"

#include "board.h"
#include "lease.h"
#include "messages.h"
#include "outputs.h"
#include "reports.h"
#include "requests.h"
#include "rig.h"

enum { STATUS_MS = 100, QUIET_MS = 3000 };

struct session session;

void session_reset(void)
{
    session = (struct session){ .status_in = 1 };
}

void session_open(uint16_t number)
{
    rig_stop();
    /* What an earlier session left on must not live on the renewals of this one. */
    if (outputs.switches & SWITCH_PLATE_RAIL) outputs_make_safe();
    requests_begin();
    reports_identify();
    session.number = number;
    session.greeted = true;
    session.program = 0;
    session.completed = false;
    /* The introduction goes out whole before the first Status. */
    session.status_in = STATUS_MS;
    lease_renew();
}

void session_run(uint16_t program)
{
    session.program = program;
    session.completed = false;
    rig_run_program();
}

void session_break(void)
{
    rig_trip(CAUSE_PROTOCOL_FAULT);
    session.number = 0;
}

void session_tick(void)
{
    if (--session.status_in != 0) return;
    session.status_in = STATUS_MS;
    if (!session.greeted) reports_ask(REPORT_RESTARTED);
    else if (session.number != 0 && lease_silence_ms() < QUIET_MS) reports_ask(REPORT_STATUS);
}
