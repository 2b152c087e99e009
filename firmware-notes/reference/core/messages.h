/* Made from src/SweepRig.Rigs/Link/Messages/LinkMessages.cs. Do not edit: a test of tests/SweepRig.Rigs.Tests/Reference writes it anew. Long because it is the whole protocol in one table. */
#ifndef MESSAGES_H
#define MESSAGES_H

#include <stdint.h>

enum { LINK_VERSION = 1, PAYLOAD_MAX = 122 };

/* Numbers of the messages. */
enum {
    MESSAGE_HELLO = 1,
    MESSAGE_LIMITS = 2,
    MESSAGE_SUPPLIES = 3,
    MESSAGE_PROGRAM_BEGIN = 4,
    MESSAGE_PROGRAM_SEGMENT = 5,
    MESSAGE_PROGRAM_START = 6,
    MESSAGE_RENEW = 7,
    MESSAGE_STOP = 8,
    MESSAGE_SAFE = 9,
    MESSAGE_RELEASE = 10,
    MESSAGE_ASK_STATUS = 11,
    MESSAGE_IDENTITY = 16,
    MESSAGE_IDENTITY_TEXT = 17,
    MESSAGE_IDENTITY_DRIVE = 18,
    MESSAGE_IDENTITY_CHANNEL = 19,
    MESSAGE_IDENTITY_LIMITS = 20,
    MESSAGE_ACK = 21,
    MESSAGE_NACK = 22,
    MESSAGE_STATUS = 23,
    MESSAGE_SAMPLES = 24,
    MESSAGE_PROGRAM_END = 25,
    MESSAGE_TRIPPED = 26,
    MESSAGE_RESTARTED = 27,
    MESSAGE_FLIGHT_RECORD = 28,
};

/* Payloads as they travel; a machine with another byte order needs another way to read them. */
_Static_assert(__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__, "payloads are little-endian");
struct message_hello {
    uint16_t session;
} __attribute__((packed));
_Static_assert(sizeof(struct message_hello) == 2, "hello");
struct message_limits {
    int32_t drive_floor;
    int32_t drive_ceiling;
    int32_t grid_current;
    int32_t cathode_current;
    int32_t supply_min;
    int32_t supply_max;
    uint16_t positive_time;
    uint32_t seal;
} __attribute__((packed));
_Static_assert(sizeof(struct message_limits) == 30, "limits");
struct message_supplies {
    uint8_t switches;
    uint8_t socket;
    uint32_t heater;
    uint32_t plate_rail;
} __attribute__((packed));
_Static_assert(sizeof(struct message_supplies) == 10, "supplies");
struct message_program_begin {
    uint16_t program;
    uint8_t segments;
    uint16_t points;
    uint8_t mask;
    uint16_t ceiling;
    uint32_t dwell;
    uint16_t conversions;
    uint8_t mains_periods;
    uint8_t mains_hertz;
    uint16_t settle_tolerance;
    uint32_t settle_timeout;
    uint8_t connection;
    uint32_t plate_resistor;
    uint32_t screen_resistor;
    uint32_t grid_stopper;
} __attribute__((packed));
_Static_assert(sizeof(struct message_program_begin) == 35, "program_begin");
struct message_program_segment {
    uint16_t program;
    uint8_t index;
    uint16_t from_code;
    uint16_t to_code;
    uint16_t points;
    uint16_t first_point;
} __attribute__((packed));
_Static_assert(sizeof(struct message_program_segment) == 11, "program_segment");
struct message_program_start {
    uint16_t program;
} __attribute__((packed));
_Static_assert(sizeof(struct message_program_start) == 2, "program_start");
struct message_renew {
    uint16_t session;
} __attribute__((packed));
_Static_assert(sizeof(struct message_renew) == 2, "renew");
struct message_release {
    uint16_t latch;
} __attribute__((packed));
_Static_assert(sizeof(struct message_release) == 2, "release");
struct message_identity {
    uint16_t session;
    uint64_t time;
    uint16_t boot;
    uint8_t sockets;
    uint8_t channels;
    uint8_t supplies;
    uint16_t lease;
    uint16_t conversion;
    uint8_t segment_capacity;
    uint8_t last_reset;
} __attribute__((packed));
_Static_assert(sizeof(struct message_identity) == 21, "identity");
struct message_identity_text {
    char firmware[32];
    char board[24];
    char serial_number[24];
} __attribute__((packed));
_Static_assert(sizeof(struct message_identity_text) == 80, "identity_text");
struct message_identity_drive {
    uint8_t bits;
    int32_t at_zero;
    int32_t at_full_scale;
} __attribute__((packed));
_Static_assert(sizeof(struct message_identity_drive) == 9, "identity_drive");
struct message_identity_channel {
    uint8_t channel;
    uint8_t bits;
    uint8_t fraction_bits;
    int32_t at_zero;
    int32_t at_full_scale;
} __attribute__((packed));
_Static_assert(sizeof(struct message_identity_channel) == 11, "identity_channel");
struct message_identity_limits {
    int32_t drive_floor;
    int32_t drive_ceiling;
    int32_t grid_current;
    int32_t cathode_current;
    int32_t supply_min;
    int32_t supply_max;
    uint16_t positive_time;
} __attribute__((packed));
_Static_assert(sizeof(struct message_identity_limits) == 26, "identity_limits");
struct message_ack {
    uint8_t request_type;
    uint8_t request;
    uint16_t session;
} __attribute__((packed));
_Static_assert(sizeof(struct message_ack) == 4, "ack");
struct message_nack {
    uint8_t request_type;
    uint8_t request;
    uint16_t session;
    uint8_t reason;
    uint8_t field;
    int32_t value;
    int32_t limit;
} __attribute__((packed));
_Static_assert(sizeof(struct message_nack) == 14, "nack");
struct message_status {
    uint16_t session;
    uint32_t time;
    uint8_t flags;
    uint8_t cause;
    uint16_t latch;
    int32_t measured;
    int32_t limit;
    uint32_t latch_time;
    uint16_t drive_code;
    uint16_t supply_code;
    uint32_t heater_on_for;
    uint8_t socket;
    uint16_t program;
    uint16_t frames;
} __attribute__((packed));
_Static_assert(sizeof(struct message_status) == 35, "status");
struct message_samples {
    uint16_t program;
    uint16_t frame;
    uint32_t time;
    uint16_t first_point;
    uint16_t averaged;
    uint8_t mask;
    uint8_t count;
} __attribute__((packed));
_Static_assert(sizeof(struct message_samples) == 14, "samples");
struct message_samples_record {
    uint16_t delay;
    uint16_t drive_code;
    uint8_t flags;
    uint16_t spread;
} __attribute__((packed));
_Static_assert(sizeof(struct message_samples_record) == 7, "samples_record");
struct message_program_end {
    uint16_t program;
    uint8_t completed;
    uint16_t frames;
    uint32_t time;
} __attribute__((packed));
_Static_assert(sizeof(struct message_program_end) == 9, "program_end");
struct message_tripped {
    uint16_t session;
    uint16_t latch;
    uint8_t cause;
    uint32_t time;
    int32_t measured;
    int32_t limit;
} __attribute__((packed));
_Static_assert(sizeof(struct message_tripped) == 17, "tripped");
struct message_restarted {
    uint8_t last_reset;
    uint16_t boot;
} __attribute__((packed));
_Static_assert(sizeof(struct message_restarted) == 3, "restarted");
struct message_flight_record {
    uint8_t first;
    uint8_t count;
} __attribute__((packed));
_Static_assert(sizeof(struct message_flight_record) == 2, "flight_record");
struct message_flight_record_record {
    uint32_t time;
    uint8_t header;
    uint8_t sequence;
    uint16_t detail;
} __attribute__((packed));
_Static_assert(sizeof(struct message_flight_record_record) == 8, "flight_record_record");

/* Causes of a trip that travel. */
enum {
    CAUSE_POWER_UP = 1,
    CAUSE_LEASE_EXPIRED = 2,
    CAUSE_DRIVE_CEILING = 3,
    CAUSE_GRID_CURRENT = 4,
    CAUSE_CATHODE_CURRENT = 5,
    CAUSE_SUPPLY_RANGE = 6,
    CAUSE_DRIVE_READ_BACK = 7,
    CAUSE_POSITIVE_TIME = 8,
    CAUSE_POSITIVE_CHARGE = 9,
    CAUSE_EMERGENCY_STOP = 10,
    CAUSE_WATCHDOG = 11,
    CAUSE_BROWN_OUT = 12,
    CAUSE_PROTOCOL_FAULT = 13,
    CAUSE_HOST_ORDER = 14,
};

/* Reasons of a refusal. */
enum {
    NACK_LATCHED = 1,
    NACK_BUSY = 2,
    NACK_OUT_OF_RANGE = 3,
    NACK_LOOSER_THAN_LIMIT = 4,
    NACK_BAD_PROGRAM = 5,
    NACK_CAUSE_PRESENT = 6,
    NACK_NO_SESSION = 7,
    NACK_NOT_SUPPORTED = 8,
    NACK_BAD_SEAL = 9,
    NACK_OTHER_LATCH = 10,
};

/* What a host may send: X(number, bytes, 1 if it is answered). */
#define HOST_MESSAGES(X) \
    X(1, 2, 1) \
    X(2, 30, 1) \
    X(3, 10, 1) \
    X(4, 35, 1) \
    X(5, 11, 1) \
    X(6, 2, 1) \
    X(7, 2, 0) \
    X(8, 0, 1) \
    X(9, 0, 1) \
    X(10, 2, 1) \
    X(11, 0, 1)

/* Ranges narrower than the field in what a host may send: X(number, offset, bytes, kind, largest). A field from -largest on is signed;
 * for one of several values these are the bytes of `largest`. */
enum { RANGE_FROM_0, RANGE_FROM_1, RANGE_FROM_MINUS, RANGE_ONE_OF };
#define HOST_RANGES(X) \
    X(1, 0, 2, RANGE_FROM_1, 65535UL) \
    X(2, 0, 4, RANGE_FROM_MINUS, 60000000UL) \
    X(2, 4, 4, RANGE_FROM_MINUS, 60000000UL) \
    X(2, 8, 4, RANGE_FROM_0, 1000000000UL) \
    X(2, 12, 4, RANGE_FROM_0, 1000000000UL) \
    X(2, 16, 4, RANGE_FROM_0, 60000000UL) \
    X(2, 20, 4, RANGE_FROM_0, 60000000UL) \
    X(2, 24, 2, RANGE_FROM_0, 60000UL) \
    X(3, 0, 1, RANGE_FROM_0, 3UL) \
    X(3, 1, 1, RANGE_FROM_0, 63UL) \
    X(3, 2, 4, RANGE_FROM_0, 60000000UL) \
    X(3, 6, 4, RANGE_FROM_0, 60000000UL) \
    X(4, 0, 2, RANGE_FROM_1, 65535UL) \
    X(4, 2, 1, RANGE_FROM_1, 64UL) \
    X(4, 3, 2, RANGE_FROM_1, 65535UL) \
    X(4, 5, 1, RANGE_FROM_1, 31UL) \
    X(4, 8, 4, RANGE_FROM_0, 10000000UL) \
    X(4, 12, 2, RANGE_FROM_1, 256UL) \
    X(4, 14, 1, RANGE_FROM_0, 50UL) \
    X(4, 15, 1, RANGE_ONE_OF, 0x3C3C3200UL) \
    X(4, 18, 4, RANGE_FROM_0, 10000000UL) \
    X(4, 22, 1, RANGE_FROM_0, 1UL) \
    X(4, 23, 4, RANGE_FROM_1, 100000000UL) \
    X(4, 27, 4, RANGE_FROM_1, 100000000UL) \
    X(4, 31, 4, RANGE_FROM_1, 100000000UL) \
    X(5, 0, 2, RANGE_FROM_1, 65535UL) \
    X(5, 2, 1, RANGE_FROM_0, 63UL) \
    X(5, 7, 2, RANGE_FROM_1, 65535UL) \
    X(6, 0, 2, RANGE_FROM_1, 65535UL) \
    X(7, 0, 2, RANGE_FROM_1, 65535UL)

/* Every field: X(message, number, field, offset, type, bytes). */
#define ALL_FIELDS(X) \
    X(Hello, 1, session, 0, U16, 2) \
    X(Limits, 2, driveFloor, 0, I32, 4) \
    X(Limits, 2, driveCeiling, 4, I32, 4) \
    X(Limits, 2, gridCurrent, 8, I32, 4) \
    X(Limits, 2, cathodeCurrent, 12, I32, 4) \
    X(Limits, 2, supplyMin, 16, I32, 4) \
    X(Limits, 2, supplyMax, 20, I32, 4) \
    X(Limits, 2, positiveTime, 24, U16, 2) \
    X(Limits, 2, seal, 26, U32, 4) \
    X(Supplies, 3, switches, 0, U8, 1) \
    X(Supplies, 3, socket, 1, U8, 1) \
    X(Supplies, 3, heater, 2, U32, 4) \
    X(Supplies, 3, plateRail, 6, U32, 4) \
    X(ProgramBegin, 4, program, 0, U16, 2) \
    X(ProgramBegin, 4, segments, 2, U8, 1) \
    X(ProgramBegin, 4, points, 3, U16, 2) \
    X(ProgramBegin, 4, mask, 5, U8, 1) \
    X(ProgramBegin, 4, ceiling, 6, U16, 2) \
    X(ProgramBegin, 4, dwell, 8, U32, 4) \
    X(ProgramBegin, 4, conversions, 12, U16, 2) \
    X(ProgramBegin, 4, mainsPeriods, 14, U8, 1) \
    X(ProgramBegin, 4, mainsHertz, 15, U8, 1) \
    X(ProgramBegin, 4, settleTolerance, 16, U16, 2) \
    X(ProgramBegin, 4, settleTimeout, 18, U32, 4) \
    X(ProgramBegin, 4, connection, 22, U8, 1) \
    X(ProgramBegin, 4, plateResistor, 23, U32, 4) \
    X(ProgramBegin, 4, screenResistor, 27, U32, 4) \
    X(ProgramBegin, 4, gridStopper, 31, U32, 4) \
    X(ProgramSegment, 5, program, 0, U16, 2) \
    X(ProgramSegment, 5, index, 2, U8, 1) \
    X(ProgramSegment, 5, fromCode, 3, U16, 2) \
    X(ProgramSegment, 5, toCode, 5, U16, 2) \
    X(ProgramSegment, 5, points, 7, U16, 2) \
    X(ProgramSegment, 5, firstPoint, 9, U16, 2) \
    X(ProgramStart, 6, program, 0, U16, 2) \
    X(Renew, 7, session, 0, U16, 2) \
    X(Release, 10, latch, 0, U16, 2) \
    X(Identity, 16, session, 0, U16, 2) \
    X(Identity, 16, time, 2, U64, 8) \
    X(Identity, 16, boot, 10, U16, 2) \
    X(Identity, 16, sockets, 12, U8, 1) \
    X(Identity, 16, channels, 13, U8, 1) \
    X(Identity, 16, supplies, 14, U8, 1) \
    X(Identity, 16, lease, 15, U16, 2) \
    X(Identity, 16, conversion, 17, U16, 2) \
    X(Identity, 16, segmentCapacity, 19, U8, 1) \
    X(Identity, 16, lastReset, 20, U8, 1) \
    X(IdentityText, 17, firmware, 0, Text, 32) \
    X(IdentityText, 17, board, 32, Text, 24) \
    X(IdentityText, 17, serialNumber, 56, Text, 24) \
    X(IdentityDrive, 18, bits, 0, U8, 1) \
    X(IdentityDrive, 18, atZero, 1, I32, 4) \
    X(IdentityDrive, 18, atFullScale, 5, I32, 4) \
    X(IdentityChannel, 19, channel, 0, U8, 1) \
    X(IdentityChannel, 19, bits, 1, U8, 1) \
    X(IdentityChannel, 19, fractionBits, 2, U8, 1) \
    X(IdentityChannel, 19, atZero, 3, I32, 4) \
    X(IdentityChannel, 19, atFullScale, 7, I32, 4) \
    X(IdentityLimits, 20, driveFloor, 0, I32, 4) \
    X(IdentityLimits, 20, driveCeiling, 4, I32, 4) \
    X(IdentityLimits, 20, gridCurrent, 8, I32, 4) \
    X(IdentityLimits, 20, cathodeCurrent, 12, I32, 4) \
    X(IdentityLimits, 20, supplyMin, 16, I32, 4) \
    X(IdentityLimits, 20, supplyMax, 20, I32, 4) \
    X(IdentityLimits, 20, positiveTime, 24, U16, 2) \
    X(Ack, 21, requestType, 0, U8, 1) \
    X(Ack, 21, request, 1, U8, 1) \
    X(Ack, 21, session, 2, U16, 2) \
    X(Nack, 22, requestType, 0, U8, 1) \
    X(Nack, 22, request, 1, U8, 1) \
    X(Nack, 22, session, 2, U16, 2) \
    X(Nack, 22, reason, 4, U8, 1) \
    X(Nack, 22, field, 5, U8, 1) \
    X(Nack, 22, value, 6, I32, 4) \
    X(Nack, 22, limit, 10, I32, 4) \
    X(Status, 23, session, 0, U16, 2) \
    X(Status, 23, time, 2, U32, 4) \
    X(Status, 23, flags, 6, U8, 1) \
    X(Status, 23, cause, 7, U8, 1) \
    X(Status, 23, latch, 8, U16, 2) \
    X(Status, 23, measured, 10, I32, 4) \
    X(Status, 23, limit, 14, I32, 4) \
    X(Status, 23, latchTime, 18, U32, 4) \
    X(Status, 23, driveCode, 22, U16, 2) \
    X(Status, 23, supplyCode, 24, U16, 2) \
    X(Status, 23, heaterOnFor, 26, U32, 4) \
    X(Status, 23, socket, 30, U8, 1) \
    X(Status, 23, program, 31, U16, 2) \
    X(Status, 23, frames, 33, U16, 2) \
    X(Samples, 24, program, 0, U16, 2) \
    X(Samples, 24, frame, 2, U16, 2) \
    X(Samples, 24, time, 4, U32, 4) \
    X(Samples, 24, firstPoint, 8, U16, 2) \
    X(Samples, 24, averaged, 10, U16, 2) \
    X(Samples, 24, mask, 12, U8, 1) \
    X(Samples, 24, count, 13, U8, 1) \
    X(ProgramEnd, 25, program, 0, U16, 2) \
    X(ProgramEnd, 25, completed, 2, U8, 1) \
    X(ProgramEnd, 25, frames, 3, U16, 2) \
    X(ProgramEnd, 25, time, 5, U32, 4) \
    X(Tripped, 26, session, 0, U16, 2) \
    X(Tripped, 26, latch, 2, U16, 2) \
    X(Tripped, 26, cause, 4, U8, 1) \
    X(Tripped, 26, time, 5, U32, 4) \
    X(Tripped, 26, measured, 9, I32, 4) \
    X(Tripped, 26, limit, 13, I32, 4) \
    X(Restarted, 27, lastReset, 0, U8, 1) \
    X(Restarted, 27, boot, 1, U16, 2) \
    X(FlightRecord, 28, first, 0, U8, 1) \
    X(FlightRecord, 28, count, 1, U8, 1)

#endif
