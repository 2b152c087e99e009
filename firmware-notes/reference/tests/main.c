#include <stdio.h>

#include "check.h"

static int passed;
static int failed;

void check_that(bool good, const char *what, const char *file, int line)
{
    if (good) {
        passed++;
        return;
    }
    failed++;
    printf("%s:%d: not so: %s\n", file, line, what);
}

void check_equal(int64_t wanted, int64_t found, const char *what, const char *file, int line)
{
    if (wanted == found) {
        passed++;
        return;
    }
    failed++;
    printf("%s:%d: %s is %lld, not %lld\n", file, line, what, (long long)found, (long long)wanted);
}

int main(void)
{
    test_crc32();
    test_stuffing();
    test_worked_frames();
    test_parts();
    test_session();
    test_limits();
    test_hold();
    test_passes();
    printf("reference firmware: %d checks passed, %d failed\n", passed, failed);
    return failed != 0;
}
