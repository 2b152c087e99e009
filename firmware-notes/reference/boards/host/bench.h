/* The bench bus on standard output and input; see bench-bus.md. */
#ifndef BENCH_H
#define BENCH_H

#include <stdbool.h>
#include <stdint.h>

struct bench {
    uint64_t bench_us;
    uint64_t line_us;
    uint16_t value;
    bool stop_pressed;
};

/* The latest reply. */
extern struct bench bench;

enum { BENCH_START, BENCH_DRIVE, BENCH_CONVERT, BENCH_SUPPLIES, BENCH_SOCKET, BENCH_REST };

/* Asks and waits for the reply. Ends the process when the bench is gone or answers nonsense. */
void bench_ask(uint8_t operation, uint8_t small, uint16_t argument, uint32_t first, uint32_t second);

#endif
