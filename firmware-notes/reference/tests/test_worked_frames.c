/* Every worked frame of link-protocol.md: the C code decodes it to the fields that the document says, and encodes it back to the same bytes. */
#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "fake_board.h"
#include "frame_reader.h"
#include "messages.h"
#include "transmit.h"

static const struct {
    const char *name;
    const char *hex;
    const char *fields;
} frames[] = {
#include "frames.inc"
};

enum type { U8, U16, U32, U64, I32, Text };

static const struct field {
    const char *message;
    uint8_t number;
    const char *name;
    uint8_t offset;
    enum type type;
    uint8_t bytes;
} fields[] = {
#define FIELD(message, number, field, offset, type, bytes) { #message, number, #field, offset, type, bytes },
    ALL_FIELDS(FIELD)
};

enum { FIELDS = sizeof fields / sizeof fields[0] };

static uint8_t parse(const char *hex, uint8_t *bytes)
{
    uint8_t count = 0;
    for (char *end; ; hex = end) {
        unsigned long value = strtoul(hex, &end, 16);
        if (end == hex) return count;
        bytes[count++] = (uint8_t)value;
    }
}

/* What the document says of a field, or null. */
static const char *said(const char *text, const char *name, char *value)
{
    size_t length = strlen(name);
    for (const char *line = text; *line != 0; line = strchr(line, '\n') + 1) {
        if (strncmp(line, name, length) != 0 || strncmp(line + length, " = ", 3) != 0) continue;
        const char *from = line + length + 3;
        size_t bytes = (size_t)(strchr(from, '\n') - from);
        memcpy(value, from, bytes);
        value[bytes] = 0;
        return value;
    }
    return 0;
}

static int64_t number_of(const uint8_t *at, const struct field *field)
{
    uint64_t value = 0;
    memcpy(&value, at, field->bytes);
    return field->type == I32 ? (int32_t)value : (int64_t)value;
}

static void check_field(const struct field *field, const uint8_t *payload, const char *value)
{
    char found[200] = "";
    if (field->type == Text) snprintf(found, sizeof found, "%.*s", field->bytes, (const char *)payload + field->offset);
    else snprintf(found, sizeof found, "%" PRId64, number_of(payload + field->offset, field));
    if (strcmp(found, value) != 0) printf("%s.%s is %s; the document says %s\n", field->message, field->name, found, value);
    CHECK(strcmp(found, value) == 0);
}

static void put_field(const struct field *field, uint8_t *payload, const char *value)
{
    if (field->type == Text) {
        memset(payload + field->offset, 0, field->bytes);
        memcpy(payload + field->offset, value, strlen(value));
        return;
    }
    uint64_t bits = (uint64_t)strtoll(value, 0, 10);
    memcpy(payload + field->offset, &bits, field->bytes);
}

static uint8_t sent[130];
static uint8_t sent_length;

static void keep(uint8_t byte)
{
    if (sent_length < sizeof sent) sent[sent_length++] = byte;
}

static void check_frame(const char *name, const char *hex, const char *text)
{
    uint8_t wire[130];
    uint8_t bytes = parse(hex, wire);
    struct frame_reader reader;
    frame_reader_reset(&reader);
    bool good = false;
    for (uint8_t i = 0; i < bytes; i++) good = frame_reader_take(&reader, wire[i]);
    CHECK(good);
    if (!good) return;

    char value[200];
    const uint8_t *payload = reader.bytes + FRAME_HEADER;
    EQUAL(atoi(said(text, "sequence", value)), reader.bytes[1]);

    fake_start(0);
    fake_tap = keep;
    sent_length = 0;
    for (int i = 0; i < reader.bytes[1]; i++) {
        transmit_close(transmit_open(), 0, 0);
        transmit_forget();
    }
    uint8_t *made = transmit_open();
    uint8_t length = 0;
    uint8_t number = reader.bytes[0] & 31;
    for (int i = 0; i < FIELDS; i++) {
        if (strcmp(fields[i].message, name) != 0) continue;
        EQUAL(fields[i].number, number);
        CHECK(said(text, fields[i].name, value) != 0);
        check_field(&fields[i], payload, value);
        put_field(&fields[i], made, value);
        length = (uint8_t)(fields[i].offset + fields[i].bytes);
    }
    char records[400];
    if (said(text, "records", records) != 0) length = (uint8_t)(length + parse(records, made + length));
    EQUAL(reader.length - FRAME_HEADER, length);
    transmit_close(made, number, length);
    while (transmit_busy()) transmit_work(1);
    fake_tap = 0;
    EQUAL(bytes, sent_length);
    EQUAL(0, memcmp(wire, sent, bytes));
}

void test_worked_frames(void)
{
    int count = sizeof frames / sizeof frames[0];
    CHECK(count >= 15);
    for (int i = 0; i < count; i++) check_frame(frames[i].name, frames[i].hex, frames[i].fields);
}
