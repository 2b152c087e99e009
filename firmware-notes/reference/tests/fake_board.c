#include "fake_board.h"

#include <math.h>
#include <string.h>

#include "board.h"
#include "check.h"
#include "convert.h"
#include "frame_reader.h"
#include "limits.h"
#include "messages.h"
#include "rig.h"
#include "transmit.h"

enum { QUEUE = 1 << 16, HELD = 512, SECOND = 1000000, SESSION = 4711 };

struct fake fake;
struct heard fake_nack;

static uint8_t in[QUEUE];
static uint32_t in_head, in_tail;
static struct heard frames[HELD];
static uint32_t heard_head, heard_tail;
static struct frame_reader reader;
static uint8_t sequence;
static uint8_t converting;

void board_drive(uint16_t code)
{
    fake.dac = code;
    fake.dac_writes++;
}

uint8_t board_adc_command(uint8_t channel)
{
    return channel;
}

void board_adc_start(uint8_t channel)
{
    converting = channel;
}

void board_adc_second(uint8_t channel)
{
    (void)channel;
}

uint8_t board_adc_third(void)
{
    return 0;
}

void board_adc_cancel(void)
{
}

static uint16_t follow(uint8_t line)
{
    int16_t code = line_code(line, line_microvolts(DRIVE, fake.dac) + (int32_t)(line_step(line) / 32));
    return code < 0 ? 0 : (uint16_t)code;
}

uint16_t board_adc_finish(uint8_t third)
{
    (void)third;
    fake.now += CONVERSION_US;
    fake.conversions[converting]++;
    if (converting == READBACK && !fake.readback_held) return follow(READBACK);
    double hum = converting == PLATE ? fake.hum_codes * sin(6.283185307179586 * fake.hum_hertz * fake.now / 1e6) : 0;
    return (uint16_t)(fake.codes[converting] + (int)lround(hum));
}

uint32_t board_now_us(void)
{
    return fake.now;
}

uint32_t board_line_us(uint32_t now)
{
    return now;
}

uint8_t board_supplies(void)
{
    return SUPPLY_HEATER | SUPPLY_PLATE_RAIL;
}

void board_voltages(uint32_t heater_uv, uint32_t plate_rail_uv)
{
    (void)heater_uv;
    (void)plate_rail_uv;
}

void board_switch(uint8_t switches)
{
    fake.switches = switches;
}

void board_socket(uint8_t socket)
{
    fake.socket = socket;
}

bool board_stop_pressed(void)
{
    return fake.stop;
}

int16_t board_uart_get(void)
{
    return in_head == in_tail ? -1 : in[in_head++ % QUEUE];
}

bool board_uart_ready(void)
{
    return !fake.line_blocked;
}

/* Gets each byte of the rig, where a test wants them. */
void (*fake_tap)(uint8_t byte);

void board_uart_put(uint8_t byte)
{
    if (fake_tap != 0) {
        fake_tap(byte);
        return;
    }
    if (!frame_reader_take(&reader, byte)) return;
    struct heard *frame = &frames[heard_tail++ % HELD];
    EQUAL(LINK_VERSION, reader.bytes[0] >> 5);
    frame->number = reader.bytes[0] & 31;
    frame->sequence = reader.bytes[1];
    frame->length = (uint8_t)(reader.length - FRAME_HEADER);
    memcpy(frame->payload, reader.bytes + FRAME_HEADER, frame->length);
}

void board_alive(void)
{
    fake.alive++;
}

void board_rest(uint32_t microseconds, bool running)
{
    /* A short rest when idle, so that tests see their moments. */
    fake.now += running ? microseconds : 100;
}

uint8_t board_reset_reason(void)
{
    return fake.reset;
}

uint16_t board_boot(void)
{
    return 7;
}

uint8_t board_text(uint8_t place)
{
    return (uint8_t)("fake"[place % 4]);
}

void fake_quiet(void)
{
    fake.codes[PLATE] = 2000;
    fake.codes[GRID] = 2048;
    fake.codes[SCREEN] = 2799;
    fake.codes[SUPPLY] = 2800;
}

void fake_start(uint8_t reset)
{
    memset(&fake, 0, sizeof fake);
    fake.reset = reset;
    fake_quiet();
    in_head = in_tail = heard_head = heard_tail = 0;
    frame_reader_reset(&reader);
    rig_start();
}

void fake_run(uint32_t microseconds)
{
    uint32_t from = fake.now;
    while (fake.now - from < microseconds) rig_poll();
}

static void send_as(uint8_t as, uint8_t number, const void *payload, uint8_t length)
{
    extern uint8_t wire_of(uint8_t *wire, uint8_t number, uint8_t sequence, const void *payload, uint8_t length);
    uint8_t wire[FRAME_MAX + 2];
    uint8_t bytes = wire_of(wire, number, as, payload, length);
    for (uint8_t i = 0; i < bytes; i++) in[in_tail++ % QUEUE] = wire[i];
}

uint8_t fake_send(uint8_t number, const void *payload, uint8_t length)
{
    send_as(++sequence, number, payload, length);
    return sequence;
}

void fake_send_back(uint8_t back, uint8_t number, const void *payload, uint8_t length)
{
    send_as((uint8_t)(sequence - back), number, payload, length);
}

const struct heard *fake_next(void)
{
    return heard_head == heard_tail ? 0 : &frames[heard_head++ % HELD];
}

void fake_forget(void)
{
    heard_head = heard_tail;
}

const struct heard *fake_hear(uint8_t number)
{
    uint32_t from = fake.now;
    for (;;) {
        const struct heard *frame = fake_next();
        if (frame != 0 && frame->number == number) return frame;
        if (frame != 0) continue;
        if (fake.now - from > SECOND) break;
        rig_poll();
    }
    static const struct heard none;
    CHECK(!"the frame that was waited for has come");
    return &none;
}

uint8_t fake_ask(uint8_t number, const void *payload, uint8_t length)
{
    uint8_t sent = fake_send(number, payload, length);
    uint32_t from = fake.now;
    while (fake.now - from < SECOND) {
        const struct heard *frame = fake_next();
        if (frame == 0) {
            rig_poll();
            continue;
        }
        const struct message_nack *answer = (const struct message_nack *)frame->payload;
        if ((frame->number != MESSAGE_ACK && frame->number != MESSAGE_NACK) || answer->request != sent) continue;
        EQUAL(number, answer->request_type);
        fake_nack = *frame;
        return frame->number == MESSAGE_ACK ? 0 : answer->reason;
    }
    CHECK(!"a request is answered");
    return 255;
}

void fake_renew(void)
{
    struct message_renew renew = { SESSION };
    fake_send(MESSAGE_RENEW, &renew, sizeof renew);
}

void fake_seal(struct message_limits *asked)
{
    asked->seal = limits_seal_of(asked);
}

void fake_connect(void)
{
    struct message_hello hello = { SESSION };
    struct message_release release = { 1 };
    EQUAL(0, fake_ask(MESSAGE_HELLO, &hello, sizeof hello));
    EQUAL(0, fake_ask(MESSAGE_ASK_STATUS, 0, 0));
    EQUAL(0, fake_ask(MESSAGE_RELEASE, &release, sizeof release));
}
