/* Made from src/SweepRig.Rigs/Link/Messages/LinkMessages.cs. Do not edit: a test of tests/SweepRig.Rigs.Tests/Reference writes it anew. */
#ifndef MESSAGES_H
#define MESSAGES_H

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

/* Bytes of each payload, without records. */
enum {
    HELLO_BYTES = 2,
    LIMITS_BYTES = 30,
    SUPPLIES_BYTES = 10,
    PROGRAM_BEGIN_BYTES = 35,
    PROGRAM_SEGMENT_BYTES = 11,
    PROGRAM_START_BYTES = 2,
    RENEW_BYTES = 2,
    STOP_BYTES = 0,
    SAFE_BYTES = 0,
    RELEASE_BYTES = 2,
    ASK_STATUS_BYTES = 0,
    IDENTITY_BYTES = 21,
    IDENTITY_TEXT_BYTES = 80,
    IDENTITY_DRIVE_BYTES = 9,
    IDENTITY_CHANNEL_BYTES = 11,
    IDENTITY_LIMITS_BYTES = 26,
    ACK_BYTES = 4,
    NACK_BYTES = 14,
    STATUS_BYTES = 35,
    SAMPLES_BYTES = 14,
    PROGRAM_END_BYTES = 9,
    TRIPPED_BYTES = 17,
    RESTARTED_BYTES = 3,
    FLIGHT_RECORD_BYTES = 2,
};

/* Offsets of the fields in the payload. */
enum {
    HELLO_SESSION = 0,
};
enum {
    LIMITS_DRIVE_FLOOR = 0,
    LIMITS_DRIVE_CEILING = 4,
    LIMITS_GRID_CURRENT = 8,
    LIMITS_CATHODE_CURRENT = 12,
    LIMITS_SUPPLY_MIN = 16,
    LIMITS_SUPPLY_MAX = 20,
    LIMITS_POSITIVE_TIME = 24,
    LIMITS_SEAL = 26,
};
enum {
    SUPPLIES_SWITCHES = 0,
    SUPPLIES_SOCKET = 1,
    SUPPLIES_HEATER = 2,
    SUPPLIES_PLATE_RAIL = 6,
};
enum {
    PROGRAM_BEGIN_PROGRAM = 0,
    PROGRAM_BEGIN_SEGMENTS = 2,
    PROGRAM_BEGIN_POINTS = 3,
    PROGRAM_BEGIN_MASK = 5,
    PROGRAM_BEGIN_CEILING = 6,
    PROGRAM_BEGIN_DWELL = 8,
    PROGRAM_BEGIN_CONVERSIONS = 12,
    PROGRAM_BEGIN_MAINS_PERIODS = 14,
    PROGRAM_BEGIN_MAINS_HERTZ = 15,
    PROGRAM_BEGIN_SETTLE_TOLERANCE = 16,
    PROGRAM_BEGIN_SETTLE_TIMEOUT = 18,
    PROGRAM_BEGIN_CONNECTION = 22,
    PROGRAM_BEGIN_PLATE_RESISTOR = 23,
    PROGRAM_BEGIN_SCREEN_RESISTOR = 27,
    PROGRAM_BEGIN_GRID_STOPPER = 31,
};
enum {
    PROGRAM_SEGMENT_PROGRAM = 0,
    PROGRAM_SEGMENT_INDEX = 2,
    PROGRAM_SEGMENT_FROM_CODE = 3,
    PROGRAM_SEGMENT_TO_CODE = 5,
    PROGRAM_SEGMENT_POINTS = 7,
    PROGRAM_SEGMENT_FIRST_POINT = 9,
};
enum {
    PROGRAM_START_PROGRAM = 0,
};
enum {
    RENEW_SESSION = 0,
};
enum {
    RELEASE_LATCH = 0,
};
enum {
    IDENTITY_SESSION = 0,
    IDENTITY_TIME = 2,
    IDENTITY_BOOT = 10,
    IDENTITY_SOCKETS = 12,
    IDENTITY_CHANNELS = 13,
    IDENTITY_SUPPLIES = 14,
    IDENTITY_LEASE = 15,
    IDENTITY_CONVERSION = 17,
    IDENTITY_SEGMENT_CAPACITY = 19,
    IDENTITY_LAST_RESET = 20,
};
enum {
    IDENTITY_TEXT_FIRMWARE = 0,
    IDENTITY_TEXT_BOARD = 32,
    IDENTITY_TEXT_SERIAL_NUMBER = 56,
};
enum {
    IDENTITY_DRIVE_BITS = 0,
    IDENTITY_DRIVE_AT_ZERO = 1,
    IDENTITY_DRIVE_AT_FULL_SCALE = 5,
};
enum {
    IDENTITY_CHANNEL_CHANNEL = 0,
    IDENTITY_CHANNEL_BITS = 1,
    IDENTITY_CHANNEL_FRACTION_BITS = 2,
    IDENTITY_CHANNEL_AT_ZERO = 3,
    IDENTITY_CHANNEL_AT_FULL_SCALE = 7,
};
enum {
    IDENTITY_LIMITS_DRIVE_FLOOR = 0,
    IDENTITY_LIMITS_DRIVE_CEILING = 4,
    IDENTITY_LIMITS_GRID_CURRENT = 8,
    IDENTITY_LIMITS_CATHODE_CURRENT = 12,
    IDENTITY_LIMITS_SUPPLY_MIN = 16,
    IDENTITY_LIMITS_SUPPLY_MAX = 20,
    IDENTITY_LIMITS_POSITIVE_TIME = 24,
};
enum {
    ACK_REQUEST_TYPE = 0,
    ACK_REQUEST = 1,
    ACK_SESSION = 2,
};
enum {
    NACK_REQUEST_TYPE = 0,
    NACK_REQUEST = 1,
    NACK_SESSION = 2,
    NACK_REASON = 4,
    NACK_FIELD = 5,
    NACK_VALUE = 6,
    NACK_LIMIT = 10,
};
enum {
    STATUS_SESSION = 0,
    STATUS_TIME = 2,
    STATUS_FLAGS = 6,
    STATUS_CAUSE = 7,
    STATUS_LATCH = 8,
    STATUS_MEASURED = 10,
    STATUS_LIMIT = 14,
    STATUS_LATCH_TIME = 18,
    STATUS_DRIVE_CODE = 22,
    STATUS_SUPPLY_CODE = 24,
    STATUS_HEATER_ON_FOR = 26,
    STATUS_SOCKET = 30,
    STATUS_PROGRAM = 31,
    STATUS_FRAMES = 33,
};
enum {
    SAMPLES_PROGRAM = 0,
    SAMPLES_FRAME = 2,
    SAMPLES_TIME = 4,
    SAMPLES_FIRST_POINT = 8,
    SAMPLES_AVERAGED = 10,
    SAMPLES_MASK = 12,
    SAMPLES_COUNT = 13,
};
enum {
    SAMPLES_RECORD_DELAY = 0,
    SAMPLES_RECORD_DRIVE_CODE = 2,
    SAMPLES_RECORD_FLAGS = 4,
    SAMPLES_RECORD_SPREAD = 5,
};
enum { SAMPLES_RECORD_BYTES = 7 };
enum {
    PROGRAM_END_PROGRAM = 0,
    PROGRAM_END_COMPLETED = 2,
    PROGRAM_END_FRAMES = 3,
    PROGRAM_END_TIME = 5,
};
enum {
    TRIPPED_SESSION = 0,
    TRIPPED_LATCH = 2,
    TRIPPED_CAUSE = 4,
    TRIPPED_TIME = 5,
    TRIPPED_MEASURED = 9,
    TRIPPED_LIMIT = 13,
};
enum {
    RESTARTED_LAST_RESET = 0,
    RESTARTED_BOOT = 1,
};
enum {
    FLIGHT_RECORD_FIRST = 0,
    FLIGHT_RECORD_COUNT = 1,
};
enum {
    FLIGHT_RECORD_RECORD_TIME = 0,
    FLIGHT_RECORD_RECORD_HEADER = 4,
    FLIGHT_RECORD_RECORD_SEQUENCE = 5,
    FLIGHT_RECORD_RECORD_DETAIL = 6,
};
enum { FLIGHT_RECORD_RECORD_BYTES = 8 };

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
