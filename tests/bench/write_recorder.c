/* Loaded before the C library (LD_PRELOAD): writes every change of a file below RECORD_BELOW to the file RECORD_TO,
   in order: a letter, two numbers (inode, offset or size), a length, a newline, that many bytes.
   C created, T cut to a size, W written, S synced, R renamed (old NUL new), L linked (old NUL new), U removed, M folder made. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static int log_fd = -1;
static const char *below;

#define REAL(name) ((__typeof__(&name))dlsym(RTLD_NEXT, #name))

static void start(void) {
    if (log_fd >= 0 || !(below = getenv("RECORD_BELOW"))) return;
    log_fd = REAL(open)(getenv("RECORD_TO"), O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
}

static void put(char kind, unsigned long a, unsigned long b, const void *data, size_t length) {
    char head[80];
    int n = snprintf(head, sizeof head, "%c %lu %lu %zu\n", kind, a, b, length);
    ssize_t (*real_write)(int, const void *, size_t) = REAL(write);
    if (real_write(log_fd, head, n) != n || (length && real_write(log_fd, data, length) != (ssize_t)length)) abort();
}

static int inside(const char *path, char *full) {
    start();
    if (log_fd < 0) return 0;
    char folder[PATH_MAX];
    snprintf(folder, sizeof folder, "%s", path);
    char *slash = strrchr(folder, '/');
    const char *name = slash ? slash + 1 : path;
    if (slash) *slash = 0;
    char real[PATH_MAX];
    if (!realpath(slash ? (*folder ? folder : "/") : ".", real)) return 0;
    snprintf(full, PATH_MAX, "%s/%s", real, name);
    return strncmp(full, below, strlen(below)) == 0;
}

static unsigned long tracked(int fd) {
    char link[64], path[PATH_MAX];
    start();
    if (log_fd < 0) return 0;
    snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
    ssize_t n = readlink(link, path, sizeof path - 1);
    if (n < 0) return 0;
    path[n] = 0;
    struct stat s;
    return strncmp(path, below, strlen(below)) == 0 && fstat(fd, &s) == 0 ? s.st_ino : 0;
}

static int opened(const char *path, int flags, int there, int fd) {
    char full[PATH_MAX];
    int kept = errno;
    if (fd >= 0 && (flags & (O_CREAT | O_TRUNC)) && inside(path, full)) {
        struct stat s;
        fstat(fd, &s);
        if (!there) put('C', s.st_ino, 0, full, strlen(full));
        else if (flags & O_TRUNC) put('T', s.st_ino, 0, "", 0);
    }
    errno = kept;
    return fd;
}

#define OPEN(name)                                                                    \
    int name(const char *path, int flags, ...) {                                      \
        va_list more; va_start(more, flags); int mode = va_arg(more, int); va_end(more); \
        struct stat s; int there = stat(path, &s) == 0;                               \
        return opened(path, flags, there, REAL(name)(path, flags, mode));             \
    }
#define OPENAT(name)                                                                  \
    int name(int at, const char *path, int flags, ...) {                              \
        va_list more; va_start(more, flags); int mode = va_arg(more, int); va_end(more); \
        struct stat s; int there = stat(path, &s) == 0;                               \
        return opened(path, flags, there, REAL(name)(at, path, flags, mode));         \
    }
OPEN(open) OPEN(open64) OPENAT(openat) OPENAT(openat64)

#define PWRITE(name, offset_type)                                                     \
    ssize_t name(int fd, const void *data, size_t length, offset_type offset) {       \
        ssize_t done = REAL(name)(fd, data, length, offset);                          \
        unsigned long ino = done > 0 ? tracked(fd) : 0;                               \
        if (ino) put('W', ino, offset, data, done);                                   \
        return done;                                                                  \
    }
PWRITE(pwrite, off_t) PWRITE(pwrite64, off64_t)

ssize_t write(int fd, const void *data, size_t length) {
    off_t offset = lseek(fd, 0, SEEK_CUR);
    ssize_t done = REAL(write)(fd, data, length);
    unsigned long ino = done > 0 && offset >= 0 ? tracked(fd) : 0;
    if (ino) put('W', ino, offset, data, done);
    return done;
}

#define CUT(name, size_type)                                                          \
    int name(int fd, size_type size) {                                                \
        int wrong = REAL(name)(fd, size);                                             \
        unsigned long ino = wrong ? 0 : tracked(fd);                                  \
        if (ino) put('T', ino, size, "", 0);                                          \
        return wrong;                                                                 \
    }
CUT(ftruncate, off_t) CUT(ftruncate64, off64_t)

#define SYNC(name)                                                                    \
    int name(int fd) {                                                                \
        int wrong = REAL(name)(fd);                                                   \
        unsigned long ino = wrong ? 0 : tracked(fd);                                  \
        struct stat s;                                                                \
        if (ino) put('S', ino, fstat(fd, &s) == 0 && S_ISDIR(s.st_mode), "", 0);      \
        return wrong;                                                                 \
    }
SYNC(fsync) SYNC(fdatasync)

static int pair(char kind, const char *old, const char *new, int wrong) {
    char both[2 * PATH_MAX + 1], to[PATH_MAX];
    if (!wrong && inside(old, both) && inside(new, to)) {
        size_t n = strlen(both) + 1;
        strcpy(both + n, to);
        put(kind, 0, 0, both, n + strlen(to));
    }
    return wrong;
}

int rename(const char *old, const char *new) { return pair('R', old, new, REAL(rename)(old, new)); }
int renameat(int a, const char *old, int b, const char *new) { return pair('R', old, new, REAL(renameat)(a, old, b, new)); }
int link(const char *old, const char *new) { return pair('L', old, new, REAL(link)(old, new)); }
int linkat(int a, const char *old, int b, const char *new, int flags) { return pair('L', old, new, REAL(linkat)(a, old, b, new, flags)); }

static int single(char kind, const char *path, int wrong) {
    char full[PATH_MAX];
    if (!wrong && inside(path, full)) put(kind, 0, 0, full, strlen(full));
    return wrong;
}

int unlink(const char *path) { return single('U', path, REAL(unlink)(path)); }
int unlinkat(int at, const char *path, int flags) { return single('U', path, REAL(unlinkat)(at, path, flags)); }
int mkdir(const char *path, mode_t mode) { return single('M', path, REAL(mkdir)(path, mode)); }
