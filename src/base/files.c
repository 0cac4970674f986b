/* files.c - whole files in, whole files out. */
#define _GNU_SOURCE /* syncfs */
#include "base/files.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/buf.h"

static sv_status refused(sv_error *err, const char *path, const char *what)
{
    return sv_fail(err, SV_SYSTEM, "%s: %s: %s", path, what, strerror(errno));
}

static sv_status read_all(int fd, sv_arena *arena, const char *path, size_t most, const char **text,
                          size_t *bytes, sv_error *err)
{
    sv_buf b;
    sv_buf_init(&b, most + 1);
    char chunk[1 << 16];
    ssize_t n;
    while ((n = read(fd, chunk, sizeof chunk)) > 0 && !b.failed)
        sv_put_n(&b, chunk, (size_t)n);
    sv_status s = SV_OK;
    if (n < 0) {
        s = refused(err, path, "cannot be read");
    } else if (b.failed == SV_LIMIT || b.length > most) {
        s = sv_fail(err, SV_LIMIT,
                    "%s: larger than %zu MB, the most that is read; split it into smaller files", path,
                    most >> 20);
    } else {
        *bytes = b.length;
        *text = sv_buf_copy(&b, arena);
        if (b.failed || sv_arena_failed(arena)) s = sv_fail(err, SV_NO_MEMORY, "%s: out of memory", path);
    }
    sv_buf_free(&b);
    return s;
}

sv_status sv_file_read(sv_arena *arena, const char *path, size_t most, const char **text, size_t *bytes,
                       sv_error *err)
{
    if (strcmp(path, "-") == 0)
        return read_all(STDIN_FILENO, arena, "standard input", most, text, bytes, err);
    int fd = open(path, O_RDONLY | O_CLOEXEC);
    if (fd < 0) return refused(err, path, "cannot be opened");
    struct stat st;
    sv_status s;
    if (fstat(fd, &st) == 0 && S_ISDIR(st.st_mode)) {
        s = sv_fail(err, SV_SYSTEM, "%s: is a folder, a file is wanted", path);
    } else {
        s = read_all(fd, arena, path, most, text, bytes, err);
    }
    close(fd);
    return s;
}

static sv_status write_all(int fd, const char *path, const char *bytes, size_t n, sv_error *err)
{
    while (n) {
        ssize_t done = write(fd, bytes, n);
        if (done < 0 && errno == EINTR) continue;
        if (done < 0) return refused(err, path, "cannot be written");
        bytes += done;
        n -= (size_t)done;
    }
    return SV_OK;
}

sv_status sv_file_write(const char *path, const void *bytes, size_t n, sv_error *err)
{
    char temporary[4096];
    int length = snprintf(temporary, sizeof temporary, "%s.XXXXXX", path);
    if (length < 0 || (size_t)length >= sizeof temporary)
        return sv_fail(err, SV_LIMIT, "%s: the path is too long", path);
    int fd = mkstemp(temporary); /* mode 0600 */
    if (fd < 0) return refused(err, path, "cannot be made");
    sv_status s = write_all(fd, path, bytes, n, err);
    if (close(fd) != 0 && !s) s = refused(err, path, "cannot be written");
    if (!s && rename(temporary, path) != 0) s = refused(err, path, "cannot be put in place");
    if (s) unlink(temporary);
    return s;
}

sv_status sv_folder_make(const char *path, sv_error *err)
{
    char part[4096];
    size_t n = strlen(path);
    if (n == 0 || n >= sizeof part) return sv_fail(err, SV_LIMIT, "%s: not a path that can be made", path);
    for (size_t i = 1; i <= n; i++) {
        if (path[i] && path[i] != '/') continue;
        memcpy(part, path, i);
        part[i] = 0;
        if (mkdir(part, 0700) != 0 && errno != EEXIST) return refused(err, part, "cannot be made");
    }
    struct stat st;
    if (stat(path, &st) == 0 && !S_ISDIR(st.st_mode))
        return sv_fail(err, SV_SYSTEM, "%s: is a file, a folder is wanted", path);
    return SV_OK;
}

sv_status sv_folder_sync(const char *path, sv_error *err)
{
    int fd = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (fd < 0) return refused(err, path, "cannot be opened");
    sv_status s = syncfs(fd) == 0 ? SV_OK : refused(err, path, "cannot be synced");
    close(fd);
    return s;
}
