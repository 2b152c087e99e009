/*
 * Loaded before the C library (ld.so(8), LD_PRELOAD) into a process that records into a store. Of the files of that store it either writes down every change
 * and every flush, in order, so that a test can lay out what a disk may hold after the power failed at any moment; or it lets the n-th call fail,
 * or all while a file is there.
 * The shared-memory index of the write-ahead log (-shm) is no part of what lasts and is left out.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <unistd.h>

enum { MAX_FD = 4096, MAX_FILES = 4096 };
enum { OP_NAME = 1, OP_WRITE, OP_TRUNCATE, OP_SYNC, OP_SYNC_DIRECTORY, OP_UNLINK };

static pthread_mutex_t turn = PTHREAD_MUTEX_INITIALIZER;
static int log_fd = -1;
static int file_of[MAX_FD]; /* 0 unknown, -1 the directory, else 1 + index */
static char *names[MAX_FILES];
static int name_count;
static long countdown; /* calls until one fails; 0 for never */
static int fault;
static int fired;
static const char *trigger; /* while this file is there, every change fails */
static int trigger_error;

static const char *base(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

static int is_watched(const char *path)
{
    const char *name = base(path);
    size_t length = strlen(name);
    if (length > 4 && strcmp(name + length - 4, "-shm") == 0) return 0;
    return strncmp(name, "runs.db", 7) == 0 || strcmp(name, "acknowledged") == 0;
}

static void put(const void *bytes, size_t length)
{
    const char *at = bytes;
    while (length > 0) {
        long done = syscall(SYS_write, log_fd, at, length);
        if (done <= 0) abort();
        at += done;
        length -= (size_t)done;
    }
}

static void record(uint8_t op, int32_t file, uint64_t offset, const void *data, uint32_t length)
{
    if (log_fd < 0) return;
    put(&op, sizeof op);
    put(&file, sizeof file);
    put(&offset, sizeof offset);
    put(&length, sizeof length);
    if (data) put(data, length);
}

static int file_named(const char *path)
{
    for (int i = 0; i < name_count; i++)
        if (strcmp(names[i], path) == 0) return i;
    if (name_count == MAX_FILES) abort();
    names[name_count] = strdup(path);
    record(OP_NAME, name_count, 0, base(path), (uint32_t)strlen(base(path)));
    return name_count++;
}

static void opened(int fd, const char *path, int flags)
{
    if (fd < 0 || fd >= MAX_FD) return;
    struct stat about;
    file_of[fd] = 0;
    if (is_watched(path)) {
        file_of[fd] = 1 + file_named(path);
        if (flags & O_TRUNC) record(OP_TRUNCATE, file_of[fd] - 1, 0, 0, 0);
    } else if (fstat(fd, &about) == 0 && S_ISDIR(about.st_mode)) {
        file_of[fd] = -1;
    }
}

static int is_file(int fd) { return fd >= 0 && fd < MAX_FD && file_of[fd] > 0; }
static int is_directory(int fd) { return fd >= 0 && fd < MAX_FD && file_of[fd] == -1; }

/* Called with the turn taken. The acknowledgements are the test's own and never fail. */
static int fails(int fd)
{
    if (!is_file(fd)) return 0;
    if (trigger && syscall(SYS_faccessat, AT_FDCWD, trigger, F_OK) == 0) {
        errno = trigger_error;
        return 1;
    }
    if (countdown == 0 || strcmp(base(names[file_of[fd] - 1]), "acknowledged") == 0) return 0;
    if (--countdown > 0) return 0;
    countdown = fault == ENOSPC || fault == EROFS ? 1 : 0; /* a full or read-only disk stays so */
    fired = 1;
    errno = fault;
    return 1;
}

void diskwatch_fail(long after, int error)
{
    pthread_mutex_lock(&turn);
    countdown = after;
    fault = error;
    fired = 0;
    pthread_mutex_unlock(&turn);
}

int diskwatch_fired(void) { return fired; }

__attribute__((constructor)) static void begin(void)
{
    const char *path = getenv("DISKWATCH_LOG");
    trigger = getenv("DISKWATCH_TRIGGER");
    if (trigger) trigger_error = atoi(getenv("DISKWATCH_ERROR"));
    if (path) log_fd = (int)syscall(SYS_openat, AT_FDCWD, path, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
}

#define NEXT(name) static __typeof__(name) *next; if (!next) next = (__typeof__(name) *)dlsym(RTLD_NEXT, #name)
#define TURN pthread_mutex_lock(&turn)
#define PASS pthread_mutex_unlock(&turn)

#define OPEN(name)                                                   \
    int name(const char *path, int flags, ...)                       \
    {                                                                \
        NEXT(name);                                                  \
        va_list more;                                                \
        va_start(more, flags);                                       \
        mode_t mode = flags & (O_CREAT | __O_TMPFILE) ? va_arg(more, mode_t) : 0; \
        va_end(more);                                                \
        int fd = next(path, flags, mode); /* may wait, as for a pipe */ \
        int error = errno;                                           \
        TURN;                                                        \
        opened(fd, path, flags);                                     \
        PASS;                                                        \
        errno = error;                                               \
        return fd;                                                   \
    }
OPEN(open)
OPEN(open64)

int close(int fd)
{
    NEXT(close);
    TURN;
    if (fd >= 0 && fd < MAX_FD) file_of[fd] = 0;
    PASS;
    return next(fd);
}

ssize_t write(int fd, const void *data, size_t length)
{
    NEXT(write);
    if (!is_file(fd)) return next(fd, data, length);
    TURN;
    off_t at = lseek(fd, 0, SEEK_CUR);
    ssize_t done = fails(fd) ? -1 : next(fd, data, length);
    if (done > 0) record(OP_WRITE, file_of[fd] - 1, (uint64_t)at, data, (uint32_t)done);
    PASS;
    return done;
}

#define PWRITE(name, offset_type)                                    \
    ssize_t name(int fd, const void *data, size_t length, offset_type at) \
    {                                                                \
        NEXT(name);                                                  \
        if (!is_file(fd)) return next(fd, data, length, at);         \
        TURN;                                                        \
        ssize_t done = fails(fd) ? -1 : next(fd, data, length, at);  \
        if (done > 0) record(OP_WRITE, file_of[fd] - 1, (uint64_t)at, data, (uint32_t)done); \
        PASS;                                                        \
        return done;                                                 \
    }
PWRITE(pwrite, off_t)
PWRITE(pwrite64, off64_t)

#define TRUNCATE(name, offset_type)                                  \
    int name(int fd, offset_type length)                             \
    {                                                                \
        NEXT(name);                                                  \
        if (!is_file(fd)) return next(fd, length);                   \
        TURN;                                                        \
        int result = fails(fd) ? -1 : next(fd, length);              \
        if (result == 0) record(OP_TRUNCATE, file_of[fd] - 1, (uint64_t)length, 0, 0); \
        PASS;                                                        \
        return result;                                               \
    }
TRUNCATE(ftruncate, off_t)
TRUNCATE(ftruncate64, off64_t)

#define SYNC(name)                                                   \
    int name(int fd)                                                 \
    {                                                                \
        NEXT(name);                                                  \
        if (!is_file(fd) && !is_directory(fd)) return next(fd);      \
        TURN;                                                        \
        int result = fails(fd) ? -1 : next(fd);                      \
        if (result == 0 && is_directory(fd)) record(OP_SYNC_DIRECTORY, -1, 0, 0, 0); \
        else if (result == 0) record(OP_SYNC, file_of[fd] - 1, 0, 0, 0); \
        PASS;                                                        \
        return result;                                               \
    }
SYNC(fsync)
SYNC(fdatasync)

#define READ(name, ...)                                              \
    NEXT(name);                                                      \
    if (!is_file(fd)) return next(__VA_ARGS__);                      \
    TURN;                                                            \
    int failed = fault == EIO && fails(fd);                          \
    PASS;                                                            \
    return failed ? -1 : next(__VA_ARGS__);

ssize_t read(int fd, void *data, size_t length) { READ(read, fd, data, length) }
ssize_t pread(int fd, void *data, size_t length, off_t at) { READ(pread, fd, data, length, at) }
ssize_t pread64(int fd, void *data, size_t length, off64_t at) { READ(pread64, fd, data, length, at) }

int unlink(const char *path)
{
    NEXT(unlink);
    TURN;
    int result = next(path);
    if (result == 0 && is_watched(path)) record(OP_UNLINK, file_named(path), 0, 0, 0);
    PASS;
    return result;
}
