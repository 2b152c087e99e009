/* Finds frames in the bytes of the host: unstuffs and checks as the bytes come, and keeps no more than the longest request. */
#ifndef FRAME_READER_H
#define FRAME_READER_H

#include <stdbool.h>
#include <stdint.h>

enum { FRAME_MAX = 128, FRAME_HEADER = 2, FRAME_CHECK = 4 };

/* Requests of this version are shorter; of a longer frame only the length and the check count. */
#ifndef FRAME_KEPT
#define FRAME_KEPT 37
#endif

struct frame_reader {
    uint32_t crc;
    uint8_t damaged;
    uint8_t left;
    uint8_t length;
    bool begun;
    bool zero_follows;
    bool bad;
    uint8_t bytes[FRAME_KEPT];
};

void frame_reader_reset(struct frame_reader *reader);

/* Takes one byte. True when it ends a good frame: `bytes` holds version and number, sequence and payload, `length` counts them. */
bool frame_reader_take(struct frame_reader *reader, uint8_t byte);

#endif
