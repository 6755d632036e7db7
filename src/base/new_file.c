#define _GNU_SOURCE /* O_TMPFILE, renameat2 */
#include "base/new_file.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { PRIVATE_NAMES = 100, RIGHTS = 0777 };

static int say(const struct new_file *file, const char *what, struct error *error)
{
    return error_set(error, ERROR_MACHINE, "%s: %s: %s", file->path, what, strerror(errno));
}

static int too_long(const struct new_file *file, struct error *error)
{
    return error_set(error, ERROR_INPUT, "%s: the path is too long", file->path);
}

/* The folder that will hold it. */
static void folder_of(const struct new_file *file, char folder[NEW_FILE_PATH_SIZE])
{
    const char *slash = strrchr(file->target, '/');
    if (slash == NULL)
        snprintf(folder, NEW_FILE_PATH_SIZE, ".");
    else
        snprintf(folder, NEW_FILE_PATH_SIZE, "%.*s",
                 slash == file->target ? 1 : (int)(slash - file->target), file->target);
}

/* A name beside the target that nobody has, tried with `take`. */
static bool take_private(struct new_file *file, bool (*take)(struct new_file *file, mode_t mode),
                         mode_t mode)
{
    const char *slash = strrchr(file->target, '/');
    int folder = slash != NULL ? (int)(slash - file->target) + 1 : 0;
    for (int i = 0; i < PRIVATE_NAMES; i++) {
        int length = snprintf(file->private, sizeof file->private, "%.*s.rushlight-%ld-%d", folder,
                              file->target, (long)getpid(), i);
        if (length < 0 || (size_t)length >= sizeof file->private)
            errno = ENAMETOOLONG;
        else if (take(file, mode))
            return true;
        if (errno != EEXIST)
            break;
    }
    file->private[0] = '\0';
    return false;
}

static bool make_private(struct new_file *file, mode_t mode)
{
    file->descriptor = open(file->private, O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, mode);
    return file->descriptor >= 0;
}

enum { OPEN_NAME_SIZE = 40 };

/* Where a file without a name is found. */
static void open_name(const struct new_file *file, char name[OPEN_NAME_SIZE])
{
    snprintf(name, OPEN_NAME_SIZE, "/proc/self/fd/%d", file->descriptor);
}

/* Gives a file without a name one that nobody has. */
static bool link_to(const struct new_file *file, const char *name)
{
    char here[OPEN_NAME_SIZE];
    open_name(file, here);
    return linkat(AT_FDCWD, here, AT_FDCWD, name, AT_SYMLINK_FOLLOW) == 0;
}

static bool link_private(struct new_file *file, mode_t mode)
{
    (void)mode;
    return link_to(file, file->private);
}

/* Where it will stand, and whether it may. */
static int find_target(struct new_file *file, bool *there, struct stat *status, struct error *error)
{
    *there = lstat(file->path, status) == 0;
    if (*there && !file->over)
        return error_set(error, ERROR_INPUT, "%s: is there already; give the name of a new file",
                         file->path);
    if (*there && stat(file->path, status) != 0)
        return error_set(error, ERROR_INPUT, "%s: is a link that leads nowhere", file->path);
    if (*there && !S_ISREG(status->st_mode))
        return error_set(error, ERROR_INPUT,
                         "%s: is %s; the name of a new file, or of an ordinary one, is needed",
                         file->path, S_ISDIR(status->st_mode) ? "a folder" : "no ordinary file");
    char *end = *there ? realpath(file->path, NULL) : NULL;
    if (*there && end == NULL)
        return say(file, "cannot be written", error);
    int length = snprintf(file->target, sizeof file->target, "%s", *there ? end : file->path);
    free(end);
    return length >= 0 && (size_t)length < sizeof file->target ? ERROR_NONE : too_long(file, error);
}

/* Without a name where the file system knows such files and the system says where
 * they are found (/proc may be out of reach), else with a private one. */
static void make_file(struct new_file *file)
{
    char folder[NEW_FILE_PATH_SIZE];
    char here[OPEN_NAME_SIZE];
    folder_of(file, folder);
    file->descriptor = open(folder, O_TMPFILE | O_RDWR | O_CLOEXEC, 0666);
    bool private = file->descriptor < 0 &&
                   (errno == EOPNOTSUPP || errno == EISDIR || errno == EINVAL);
    open_name(file, here);
    if (file->descriptor >= 0 && access(here, F_OK) != 0) {
        close(file->descriptor);
        file->descriptor = -1;
        private = true;
    }
    if (private)
        take_private(file, make_private, 0666);
}

int new_file_begin(struct new_file *file, const char *path, bool over, struct error *error)
{
    struct stat status;
    bool there = false;
    *file = (struct new_file){.path = path, .over = over, .descriptor = -1};
    int code = find_target(file, &there, &status, error);
    if (code != ERROR_NONE)
        return code;
    make_file(file);
    if (file->descriptor < 0)
        return say(file, "cannot be written", error);
    if (there && fchmod(file->descriptor, status.st_mode & RIGHTS) != 0) {
        code = say(file, "cannot be given its rights", error);
        new_file_abandon(file);
        return code;
    }
    return ERROR_NONE;
}

/* From its private name to its own, which nobody may have. Where the file system
 * knows no such rename (NFS, 9p, many of FUSE) a second name is made, which is
 * refused just so, and the private one goes. */
static bool rename_apart(const struct new_file *file)
{
    if (renameat2(AT_FDCWD, file->private, AT_FDCWD, file->target, RENAME_NOREPLACE) == 0)
        return true;
    if ((errno != EINVAL && errno != ENOSYS) || link(file->private, file->target) != 0)
        return false;
    unlink(file->private);
    return true;
}

/* A file without a name takes a private one for a moment where another file has
 * to make room: only a rename does that at one stroke. */
static bool take_name(struct new_file *file)
{
    if (file->private[0] == '\0' && link_to(file, file->target))
        return true;
    if (file->private[0] == '\0' &&
        (errno != EEXIST || !file->over || !take_private(file, link_private, 0)))
        return false;
    if (file->over ? rename(file->private, file->target) != 0 : !rename_apart(file))
        return false;
    file->private[0] = '\0';
    return true;
}

/* The name, too, is brought to the disk; a folder that cannot do that is no
 * reason to take it back. */
static void settle_folder(const struct new_file *file)
{
    char folder[NEW_FILE_PATH_SIZE];
    folder_of(file, folder);
    int descriptor = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (descriptor < 0)
        return;
    fsync(descriptor);
    close(descriptor);
}

int new_file_end(struct new_file *file, struct error *error)
{
    int code = ERROR_NONE;
    if (fsync(file->descriptor) != 0)
        code = say(file, "cannot be written", error);
    else if (!take_name(file))
        code = errno == EEXIST
                   ? error_set(error, ERROR_INPUT,
                               "%s: is there already; give the name of a new file", file->path)
                   : say(file, "cannot be written", error);
    else
        settle_folder(file);
    new_file_abandon(file);
    return code;
}

void new_file_abandon(struct new_file *file)
{
    if (file->descriptor >= 0)
        close(file->descriptor);
    if (file->private[0] != '\0')
        unlink(file->private);
    file->descriptor = -1;
    file->private[0] = '\0';
}

static int write_all(int descriptor, const struct text *text)
{
    size_t done = 0;
    while (done < text->length) {
        ssize_t wrote = write(descriptor, text->bytes + done, text->length - done);
        if (wrote < 0 && errno != EINTR)
            return errno;
        done += wrote > 0 ? (size_t)wrote : 0;
    }
    return 0;
}

int new_file_write(const char *path, const struct text *text, struct error *error)
{
    struct new_file file;
    if (text_failed(text))
        return error_memory(error);
    int code = new_file_begin(&file, path, true, error);
    if (code != ERROR_NONE)
        return code;
    int failed = write_all(file.descriptor, text);
    if (failed == 0)
        return new_file_end(&file, error);
    new_file_abandon(&file);
    return error_set(error, ERROR_MACHINE, "%s: cannot be written: %s", path, strerror(failed));
}
