#include "bench.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "bytes.h"
#include "line.h"

enum { REQUEST_BYTES = 12, REPLY_BYTES = 20 };

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

static uint64_t get_u64(const uint8_t *at)
{
    return get_u32(at) | (uint64_t)get_u32(at + 4) << 32;
}

void bench_ask(uint8_t operation, uint8_t small, uint16_t argument, uint32_t first, uint32_t second)
{
    uint8_t request[REQUEST_BYTES];
    uint8_t reply[REPLY_BYTES];
    uint8_t *at = put_u16(put_u8(put_u8(request, operation), small), argument);
    put_u32(put_u32(at, first), second);
    line_flush();
    write_all(request, sizeof request);
    read_all(reply, sizeof reply);
    if (reply[19] != operation) broken("answered another operation than was asked");
    uint64_t before = bench.bench_us;
    bench.bench_us = get_u64(reply);
    bench.line_us = get_u64(reply + 8);
    bench.value = get_u16(reply + 16);
    bench.stop_pressed = reply[18] & 1;
    if (operation != BENCH_START && bench.bench_us < before) broken("let its time go back");
}
