#include "frame_reader.h"

#include "crc32.h"

static void begin(struct frame_reader *reader)
{
    reader->crc = CRC32_START;
    reader->left = 0;
    reader->length = 0;
    reader->begun = false;
    reader->zero_follows = false;
    reader->bad = false;
}

void frame_reader_reset(struct frame_reader *reader)
{
    reader->damaged = 0;
    begin(reader);
}

static void keep(struct frame_reader *reader, uint8_t byte)
{
    if (reader->length >= FRAME_MAX) {
        reader->bad = true;
        return;
    }
    if (reader->length < FRAME_KEPT) reader->bytes[reader->length] = byte;
    reader->length++;
    reader->crc = crc32_update(reader->crc, byte);
}

static bool end(struct frame_reader *reader)
{
    bool begun = reader->begun;
    bool good = begun && !reader->bad && reader->left == 0 && reader->length >= FRAME_HEADER + FRAME_CHECK && reader->crc == CRC32_GOOD;
    uint8_t length = reader->length;
    begin(reader);
    if (good) reader->length = (uint8_t)(length - FRAME_CHECK);
    else if (begun && reader->damaged < UINT8_MAX) reader->damaged++;
    return good;
}

bool frame_reader_take(struct frame_reader *reader, uint8_t byte)
{
    if (byte == 0) return end(reader);
    if (reader->left == 0) {
        /* A code: so many bytes less one follow, and then a zero unless the frame ends there or the code is 255. */
        if (!reader->begun) reader->length = 0;
        else if (reader->zero_follows) keep(reader, 0);
        reader->begun = true;
        reader->zero_follows = byte != 0xFF;
        reader->left = (uint8_t)(byte - 1);
        return false;
    }
    reader->left--;
    keep(reader, byte);
    return false;
}
