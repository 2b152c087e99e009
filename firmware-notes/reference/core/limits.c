#include "limits.h"

#include <string.h>

#include "bytes.h"
#include "crc32.h"
#include "messages.h"
#include "rig_config.h"
#include "rom.h"

enum { FIELDS = 7, SEALED_BYTES = LIMITS_SEAL };

static uint8_t in_force[SEALED_BYTES];
static uint32_t seal;

static const uint32_t hard[FIELDS] ROM = {
    (uint32_t)HARD_DRIVE_FLOOR_UV, (uint32_t)HARD_DRIVE_CEILING_UV, (uint32_t)HARD_GRID_CURRENT_NA, (uint32_t)HARD_CATHODE_CURRENT_NA,
    (uint32_t)HARD_SUPPLY_MIN_UV, (uint32_t)HARD_SUPPLY_MAX_UV, HARD_POSITIVE_TIME_MS,
};

uint8_t *limits_put_hard(uint8_t *at)
{
    for (uint8_t i = 0; i < FIELDS - 1; i++) at = put_u32(at, rom_u32(&hard[i]));
    return put_u16(at, (uint16_t)rom_u32(&hard[FIELDS - 1]));
}

void limits_reset(void)
{
    limits_put_hard(in_force);
    seal = limits_seal_of(in_force);
}

int32_t limits_get(uint8_t offset)
{
    return get_i32(in_force + offset);
}

uint16_t limits_positive_ms(void)
{
    return get_u16(in_force + LIMITS_POSITIVE_TIME);
}

const uint8_t *limits_in_force(void)
{
    return in_force;
}

uint32_t limits_seal_of(const uint8_t *fields)
{
    uint32_t crc = CRC32_START;
    for (uint8_t i = 0; i < SEALED_BYTES; i++) crc = crc32_update(crc, fields[i]);
    return crc32_finish(crc);
}

bool limits_intact(void)
{
    return limits_seal_of(in_force) == seal;
}

int32_t limits_field(const uint8_t *payload, uint8_t field)
{
    return field == FIELDS - 1 ? (int32_t)get_u16(payload + LIMITS_POSITIVE_TIME) : get_i32(payload + 4 * field);
}

int8_t limits_tighten(const uint8_t *payload)
{
    for (uint8_t field = 0; field < FIELDS; field++) {
        int32_t asked = limits_field(payload, field);
        int32_t now = limits_field(in_force, field);
        bool lower_bound = field == LIMITS_DRIVE_FLOOR / 4 || field == LIMITS_SUPPLY_MIN / 4;
        if (lower_bound ? asked < now : asked > now) return (int8_t)field;
    }
    memcpy(in_force, payload, SEALED_BYTES);
    seal = limits_seal_of(in_force);
    return -1;
}
