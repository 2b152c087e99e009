#include "requests.h"

#include <string.h>

#include "messages.h"
#include "machine.h"
#include "rare.h"

enum { FIRST_NUMBER = MESSAGE_HELLO, LAST_NUMBER = MESSAGE_ASK_STATUS };

#define LENGTH(number, bytes, answered) bytes,
static const uint8_t lengths[] ROM = { HOST_MESSAGES(LENGTH) };

/* One row: message, offset, width and kind, largest value. */
#define RANGE(number, offset, bytes, kind, largest) { (largest), (number), (offset), (bytes) << 4 | (kind) },
static const struct {
    uint32_t largest;
    uint8_t number;
    uint8_t offset;
    uint8_t width_and_kind;
} ranges[] ROM = { HOST_RANGES(RANGE) };

static bool in_range(uint8_t kind, uint32_t value, uint32_t largest)
{
    switch (kind) {
    case RANGE_FROM_1:
        return value - 1 < largest;
    case RANGE_FROM_MINUS:
        return value + largest <= 2 * largest;
    case RANGE_ONE_OF:
        for (uint8_t i = 0; i < 4; i++, largest >>= 8)
            if (value == (uint8_t)largest) return true;
        return false;
    default:
        return value <= largest;
    }
}

RARE bool requests_make_sense(uint8_t number, const uint8_t *payload, uint8_t length)
{
    if (number < FIRST_NUMBER || number > LAST_NUMBER || length != rom_u8(&lengths[number - FIRST_NUMBER])) return false;
    for (uint8_t i = 0; i < sizeof ranges / sizeof ranges[0]; i++) {
        if (rom_u8(&ranges[i].number) != number) continue;
        uint8_t how = rom_u8(&ranges[i].width_and_kind);
        uint32_t value = 0;
        memcpy(&value, payload + rom_u8(&ranges[i].offset), how >> 4);
        if (!in_range(how & 15, value, rom_u32(&ranges[i].largest))) return false;
    }
    return true;
}
