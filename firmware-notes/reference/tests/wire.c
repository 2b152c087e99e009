/* The encoder of the tests, written after Cheshire and Baker (1999) and the CRC catalogue and not after the code under test. */
#include <stdint.h>
#include <string.h>

uint32_t plain_crc(const uint8_t *bytes, uint32_t length);
uint8_t plain_stuff(uint8_t *wire, const uint8_t *bytes, uint8_t length);
uint8_t wire_of(uint8_t *wire, uint8_t number, uint8_t sequence, const void *payload, uint8_t length);

uint32_t plain_crc(const uint8_t *bytes, uint32_t length)
{
    uint32_t crc = 0xFFFFFFFFU;
    for (uint32_t i = 0; i < length; i++) {
        crc ^= bytes[i];
        for (int bit = 0; bit < 8; bit++) crc = crc & 1 ? crc >> 1 ^ 0xEDB88320U : crc >> 1;
    }
    return ~crc;
}

/* Runs of less than 254 bytes: a code, the bytes up to the next zero; the last code stands for a zero that is not there. */
uint8_t plain_stuff(uint8_t *wire, const uint8_t *bytes, uint8_t length)
{
    uint8_t at = 0;
    for (uint8_t from = 0; from <= length;) {
        uint8_t run = 0;
        while (from + run < length && bytes[from + run] != 0) run++;
        wire[at++] = (uint8_t)(run + 1);
        memcpy(wire + at, bytes + from, run);
        at = (uint8_t)(at + run);
        from = (uint8_t)(from + run + 1);
    }
    return at;
}

uint8_t wire_of(uint8_t *wire, uint8_t number, uint8_t sequence, const void *payload, uint8_t length)
{
    uint8_t frame[128];
    frame[0] = (uint8_t)(1 << 5 | number);
    frame[1] = sequence;
    if (length != 0) memcpy(frame + 2, payload, length);
    uint32_t crc = plain_crc(frame, length + 2U);
    for (int i = 0; i < 4; i++) frame[length + 2 + i] = (uint8_t)(crc >> (8 * i));
    uint8_t bytes = plain_stuff(wire, frame, (uint8_t)(length + 6));
    wire[bytes] = 0;
    return (uint8_t)(bytes + 1);
}
