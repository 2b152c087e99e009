#include "limits.h"

#include <string.h>

#include "crc32.h"
#include "rare.h"
#include "rig_config.h"
#include "machine.h"

enum { DRIVE_FLOOR = 0, SUPPLY_MIN = 4, POSITIVE_TIME = 6, FIELDS = 7 };

struct message_limits limits;

static const struct message_identity_limits hard ROM = {
    HARD_DRIVE_FLOOR_UV, HARD_DRIVE_CEILING_UV, HARD_GRID_CURRENT_NA, HARD_CATHODE_CURRENT_NA, HARD_SUPPLY_MIN_UV, HARD_SUPPLY_MAX_UV, HARD_POSITIVE_TIME_MS,
};

void limits_lay_hard(struct message_identity_limits *payload)
{
    rom_copy(payload, &hard, sizeof hard);
}

void limits_reset(void)
{
    rom_copy(&limits, &hard, sizeof hard);
    limits.seal = limits_seal_of(&limits);
}

RARE uint32_t limits_seal_of(const struct message_limits *fields)
{
    const uint8_t *bytes = (const uint8_t *)fields;
    uint32_t crc = CRC32_START;
    for (uint8_t i = 0; i < sizeof hard; i++) crc = crc32_update(crc, bytes[i]);
    return crc32_finish(crc);
}

bool limits_intact(void)
{
    return limits_seal_of(&limits) == limits.seal;
}

int32_t limits_field(const struct message_limits *from, uint8_t field)
{
    int32_t value;
    if (field == POSITIVE_TIME) return from->positive_time;
    memcpy(&value, (const uint8_t *)from + 4 * field, sizeof value);
    return value;
}

int8_t limits_tighten(const struct message_limits *asked)
{
    for (uint8_t field = 0; field < FIELDS; field++) {
        int32_t wanted = limits_field(asked, field);
        int32_t now = limits_field(&limits, field);
        if (field == DRIVE_FLOOR || field == SUPPLY_MIN ? wanted < now : wanted > now) return (int8_t)field;
    }
    limits = *asked;
    return -1;
}
