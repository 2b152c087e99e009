#include "bench.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "line.h"

struct bench bench;

static void broken(const char *what)
{
    line_close();
    fprintf(stderr, "rig-host: the bench %s. It must answer each request of 12 bytes with 20 bytes; see bench-bus.md.\n", what);
    exit(2);
}

static void write_all(const uint8_t *at, size_t left)
{
    while (left > 0) {
        ssize_t written = write(STDOUT_FILENO, at, left);
        if (written < 0 && errno == EINTR) continue;
        if (written <= 0) {
            line_close();
            exit(0);
        }
        at += written;
        left -= (size_t)written;
    }
}

static void read_all(uint8_t *at, size_t bytes)
{
    size_t held = 0;
    while (held < bytes) {
        ssize_t got = read(STDIN_FILENO, at + held, bytes - held);
        if (got < 0 && errno == EINTR) continue;
        if (got < 0) broken("cannot be read");
        if (got == 0) {
            if (held > 0) broken("ended within a reply");
            line_close();
            exit(0);
        }
        held += (size_t)got;
    }
}

/* As in bench-bus.md. */
struct request {
    uint8_t operation;
    uint8_t small;
    uint16_t argument;
    uint32_t first;
    uint32_t second;
} __attribute__((packed));

struct reply {
    uint64_t bench_us;
    uint64_t line_us;
    uint16_t value;
    uint8_t inputs;
    uint8_t operation;
} __attribute__((packed));

_Static_assert(__BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__ && sizeof(struct request) == 12 && sizeof(struct reply) == 20, "bench bus");

void bench_ask(uint8_t operation, uint8_t small, uint16_t argument, uint32_t first, uint32_t second)
{
    struct request request = { operation, small, argument, first, second };
    struct reply reply;
    line_flush();
    write_all((const uint8_t *)&request, sizeof request);
    read_all((uint8_t *)&reply, sizeof reply);
    if (reply.operation != operation) broken("answered another operation than was asked");
    if (operation != BENCH_START && reply.bench_us < bench.bench_us) broken("let its time go back");
    bench = (struct bench){ reply.bench_us, reply.line_us, reply.value, reply.inputs & 1 };
}
