/* The frame decoder under libFuzzer. Each input is taken twice: as the bytes of a line, and as a good frame with changes to it. No input crashes the
 * decoder, what it accepts has a right check, a changed frame is not accepted, and the frame after it is. A check of 32 bits lets 1 of 4.3e9
 * changed frames through, so that with 1e7 of them the first is a finding. */
#include <stddef.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "frame_reader.h"
#include "requests.h"

enum { WIRE_MAX = FRAME_MAX + 2, CHANGES_MAX = 3, CHANGE_BYTES = 3, PAYLOAD_MAX = FRAME_MAX - FRAME_HEADER - FRAME_CHECK };

uint32_t plain_crc(const uint8_t *bytes, uint32_t length);
uint8_t wire_of(uint8_t *wire, uint8_t number, uint8_t sequence, const void *payload, uint8_t length);
int LLVMFuzzerInitialize(int *count, char ***arguments);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static uint64_t changed_frames, whole_frames;

static void tell(void)
{
    fprintf(stderr, "Damaged: %llu good frames changed, none accepted; %llu as they were after all, all accepted\n", (unsigned long long)changed_frames,
        (unsigned long long)whole_frames);
}

int LLVMFuzzerInitialize(int *count, char ***arguments)
{
    (void)count;
    (void)arguments;
    return atexit(tell);
}

static void check_accepted(const struct frame_reader *reader)
{
    uint32_t check;
    memcpy(&check, reader->bytes + reader->length, sizeof check);
    if (reader->length < FRAME_HEADER || check != plain_crc(reader->bytes, reader->length)) abort();
    requests_make_sense(reader->bytes[0] & 31, reader->bytes + FRAME_HEADER, (uint8_t)(reader->length - FRAME_HEADER));
}

static void take_as_line(const uint8_t *data, size_t size)
{
    struct frame_reader reader;
    frame_reader_reset(&reader);
    for (size_t i = 0; i < size; i++)
        if (frame_reader_take(&reader, data[i])) check_accepted(&reader);
}

/* The fuzzer reads along at memcmp, wherever it is called. */
static bool same(const uint8_t *these, const uint8_t *those, uint8_t length)
{
    for (uint8_t i = 0; i < length; i++)
        if (these[i] != those[i]) return false;
    return true;
}

/* What a line does to bytes. Gives the new length. */
static uint8_t change(uint8_t *wire, uint8_t length, const uint8_t *how)
{
    uint8_t at = how[1] % length;
    uint8_t rest = (uint8_t)(length - at);
    uint8_t other = how[2] % length;
    uint8_t kept = wire[at];
    switch (how[0] % 5) {
    case 0:
        wire[at] ^= (uint8_t)(1 << how[2] % 8);
        return length;
    case 1:
        wire[at] = how[2];
        return length;
    case 2:
        memmove(wire + at, wire + at + 1, rest - 1U);
        return (uint8_t)(length - 1);
    case 3:
        memmove(wire + at + 1, wire + at, rest);
        wire[at] = how[2];
        return (uint8_t)(length + 1);
    default:
        wire[at] = wire[other];
        wire[other] = kept;
        return length;
    }
}

/* Feeds bytes; counts how often the frame is accepted, which is the only one that may be. */
static int times_accepted(struct frame_reader *reader, const uint8_t *wire, uint8_t length, const uint8_t *frame, uint8_t frame_length)
{
    int times = 0;
    for (uint8_t i = 0; i < length; i++) {
        if (!frame_reader_take(reader, wire[i])) continue;
        check_accepted(reader);
        if (reader->length != frame_length || !same(reader->bytes, frame, frame_length)) abort();
        times++;
    }
    return times;
}

/* The input is the number of changes, three bytes for each of them, number, sequence and payload. */
static void take_as_frame(const uint8_t *data, size_t size)
{
    if (size < 1) return;
    uint8_t changes = (uint8_t)(1 + data[0] % CHANGES_MAX);
    size_t at = 1U + CHANGE_BYTES * changes;
    if (size < at + FRAME_HEADER) return;
    uint8_t number = data[at] & 31;
    uint8_t sequence = data[at + 1];
    const uint8_t *payload = data + at + FRAME_HEADER;
    uint8_t payload_length = (uint8_t)(size - at - FRAME_HEADER > PAYLOAD_MAX ? PAYLOAD_MAX : size - at - FRAME_HEADER);

    uint8_t good[WIRE_MAX], wire[WIRE_MAX + CHANGES_MAX + 1], frame[FRAME_MAX];
    uint8_t good_length = wire_of(good, number, sequence, payload, payload_length);
    uint8_t frame_length = (uint8_t)(FRAME_HEADER + payload_length);
    frame[0] = (uint8_t)(1 << 5 | number);
    frame[1] = sequence;
    memcpy(frame + FRAME_HEADER, payload, payload_length);

    uint8_t length = good_length;
    memcpy(wire, good, good_length);
    for (uint8_t i = 0; i < changes; i++) length = change(wire, length, data + 1 + CHANGE_BYTES * i);
    bool whole = length == good_length && same(wire, good, good_length);
    wire[length++] = 0;

    struct frame_reader reader;
    frame_reader_reset(&reader);
    int times = times_accepted(&reader, wire, length, frame, frame_length);
    /* The very frame again is no damage: a zero more, or one that only parted from its own. */
    if (whole && times != 1) abort();
    if (times == 0) changed_frames++;
    else whole_frames++;
    /* Whatever came before, the next frame is found. */
    if (times_accepted(&reader, good, good_length, frame, frame_length) != 1) abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    take_as_line(data, size);
    take_as_frame(data, size);
    return 0;
}
