#include "line.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <termios.h>
#include <unistd.h>

#include "board.h"

static const char *linked;
static int terminal = -1;
static uint8_t out[4096];
static size_t out_held;
static uint8_t in[4096];
static ssize_t in_held;
static ssize_t in_at;

static void on_signal(int number)
{
    (void)number;
    if (linked != NULL) unlink(linked);
    _exit(0);
}

static void refuse(const char *what, const char *path)
{
    fprintf(stderr, "rig-host: %s %s: %s. Give --pty a path that does not exist yet, in a directory that may be written.\n", what, path, strerror(errno));
    exit(2);
}

void line_open(const char *path)
{
    terminal = posix_openpt(O_RDWR | O_NOCTTY | O_NONBLOCK | O_CLOEXEC);
    if (terminal < 0 || grantpt(terminal) != 0 || unlockpt(terminal) != 0) refuse("no pseudo-terminal for", path);
    const char *name = ptsname(terminal);
    /* Stays open, so that the terminal outlives each host. */
    int other = open(name, O_RDWR | O_NOCTTY | O_CLOEXEC);
    struct termios raw;
    if (other < 0 || tcgetattr(other, &raw) != 0) refuse("cannot open the pseudo-terminal for", path);
    cfmakeraw(&raw);
    if (tcsetattr(other, TCSANOW, &raw) != 0) refuse("cannot set the pseudo-terminal for", path);
    if (symlink(name, path) != 0) refuse("cannot make the link", path);
    linked = path;
    signal(SIGTERM, on_signal);
    signal(SIGINT, on_signal);
}

void line_close(void)
{
    if (linked != NULL) unlink(linked);
    linked = NULL;
}

void line_flush(void)
{
    if (out_held == 0) return;
    ssize_t written = write(terminal, out, out_held);
    if (written <= 0) return;
    out_held -= (size_t)written;
    memmove(out, out + written, out_held);
}

bool board_uart_ready(void)
{
    if (out_held == sizeof out) line_flush();
    return out_held < sizeof out;
}

void board_uart_put(uint8_t byte)
{
    out[out_held++] = byte;
}

int16_t board_uart_get(void)
{
    if (in_at == in_held) {
        in_at = 0;
        in_held = read(terminal, in, sizeof in);
        if (in_held <= 0) in_held = 0;
        if (in_held == 0) return -1;
    }
    return in[in_at++];
}
