#include "outputs.h"

#include "board.h"
#include "convert.h"

struct outputs outputs;

void outputs_reset(void)
{
    outputs_drive(SAFE_CODE);
    outputs = (struct outputs){ .drive_code = SAFE_CODE };
    board_switch(0);
    board_socket(0);
}

void outputs_drive(uint16_t code)
{
    board_drive(code);
    outputs.drive_code = code;
}

bool outputs_at_safe(void)
{
    return outputs.drive_code == SAFE_CODE;
}

void outputs_switch(uint8_t switches)
{
    /* Never 0 while it is on: that says off. */
    if (!(switches & SWITCH_HEATER)) outputs.heater_ms = 0;
    else if (outputs.heater_ms == 0) outputs.heater_ms = 1;
    outputs.switches = switches;
    board_switch(switches);
}

void outputs_select(uint8_t socket)
{
    if (socket == outputs.socket) return;
    outputs.socket = socket;
    board_socket(socket);
}

void outputs_make_safe(void)
{
    outputs_drive(SAFE_CODE);
    outputs_switch(outputs.switches & SWITCH_HEATER);
}

void outputs_heater_off(void)
{
    outputs_switch(outputs.switches & SWITCH_PLATE_RAIL);
}

void outputs_tick(void)
{
    if (outputs.switches & SWITCH_HEATER && outputs.heater_ms < UINT32_MAX) outputs.heater_ms++;
}
