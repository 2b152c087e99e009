/* Checks that count themselves. A failed one is told with its place and the run goes on. */
#ifndef CHECK_H
#define CHECK_H

#include <stdbool.h>
#include <stdint.h>

void check_that(bool good, const char *what, const char *file, int line);
void check_equal(int64_t wanted, int64_t found, const char *what, const char *file, int line);

#define CHECK(condition) check_that((condition), #condition, __FILE__, __LINE__)
#define EQUAL(wanted, found) check_equal((wanted), (found), #found, __FILE__, __LINE__)

/* One for each file of tests. */
void test_crc32(void);
void test_stuffing(void);
void test_worked_frames(void);
void test_parts(void);
void test_session(void);
void test_limits(void);
void test_hold(void);
void test_passes(void);

#endif
