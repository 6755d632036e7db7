#define _XOPEN_SOURCE 700 /* pread */
#include "store/descriptor_file.h"

#include <errno.h>
#include <pthread.h>
#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

struct descriptor_file {
    sqlite3_file base;
    int descriptor;
};

static int descriptor_of(sqlite3_file *file)
{
    return ((struct descriptor_file *)file)->descriptor;
}

static int close_file(sqlite3_file *file)
{
    (void)file;
    return SQLITE_OK;
}

static int read_file(sqlite3_file *file, void *bytes, int size, sqlite3_int64 offset)
{
    char *to = bytes;
    while (size > 0) {
        ssize_t got = pread(descriptor_of(file), to, (size_t)size, offset);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return SQLITE_IOERR_READ;
        if (got == 0) {
            memset(to, 0, (size_t)size);
            return SQLITE_IOERR_SHORT_READ;
        }
        to += got;
        offset += got;
        size -= (int)got;
    }
    return SQLITE_OK;
}

static int write_file(sqlite3_file *file, const void *bytes, int size, sqlite3_int64 offset)
{
    const char *from = bytes;
    while (size > 0) {
        ssize_t done = pwrite(descriptor_of(file), from, (size_t)size, offset);
        if (done < 0 && errno == EINTR)
            continue;
        if (done <= 0)
            return errno == ENOSPC ? SQLITE_FULL : SQLITE_IOERR_WRITE;
        from += done;
        offset += done;
        size -= (int)done;
    }
    return SQLITE_OK;
}

static int truncate_file(sqlite3_file *file, sqlite3_int64 size)
{
    return ftruncate(descriptor_of(file), size) == 0 ? SQLITE_OK : SQLITE_IOERR_TRUNCATE;
}

static int sync_file(sqlite3_file *file, int flags)
{
    (void)flags;
    return fsync(descriptor_of(file)) == 0 ? SQLITE_OK : SQLITE_IOERR_FSYNC;
}

static int size_of_file(sqlite3_file *file, sqlite3_int64 *size)
{
    struct stat status;
    if (fstat(descriptor_of(file), &status) != 0)
        return SQLITE_IOERR_FSTAT;
    *size = status.st_size;
    return SQLITE_OK;
}

/* Nobody else can have it open. */
static int change_lock(sqlite3_file *file, int level)
{
    (void)file;
    (void)level;
    return SQLITE_OK;
}

static int check_lock(sqlite3_file *file, int *taken)
{
    (void)file;
    *taken = 0;
    return SQLITE_OK;
}

static int control_file(sqlite3_file *file, int what, void *value)
{
    (void)file;
    (void)what;
    (void)value;
    return SQLITE_NOTFOUND;
}

static int say_nothing_special(sqlite3_file *file)
{
    (void)file;
    return 0;
}

static const sqlite3_io_methods methods = {.iVersion = 1,
                                           .xClose = close_file,
                                           .xRead = read_file,
                                           .xWrite = write_file,
                                           .xTruncate = truncate_file,
                                           .xSync = sync_file,
                                           .xFileSize = size_of_file,
                                           .xLock = change_lock,
                                           .xUnlock = change_lock,
                                           .xCheckReservedLock = check_lock,
                                           .xFileControl = control_file,
                                           .xSectorSize = say_nothing_special,
                                           .xDeviceCharacteristics = say_nothing_special};

/* The name of the main file is the number of its descriptor. A journal, or what
 * a check sorts beside memory, has no place here. */
static int open_file(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags,
                     int *out_flags)
{
    struct descriptor_file *opened = (struct descriptor_file *)file;
    (void)vfs;
    file->pMethods = NULL;
    if (name == NULL || (flags & SQLITE_OPEN_MAIN_DB) == 0)
        return SQLITE_CANTOPEN;
    *opened = (struct descriptor_file){{&methods}, atoi(name)};
    if (out_flags != NULL)
        *out_flags = flags;
    return SQLITE_OK;
}

static int delete_nothing(sqlite3_vfs *vfs, const char *name, int settle)
{
    (void)vfs;
    (void)name;
    (void)settle;
    return SQLITE_OK;
}

static int see_nothing(sqlite3_vfs *vfs, const char *name, int flags, int *there)
{
    (void)vfs;
    (void)name;
    (void)flags;
    *there = 0;
    return SQLITE_OK;
}

static int name_as_given(sqlite3_vfs *vfs, const char *name, int size, char *full)
{
    (void)vfs;
    sqlite3_snprintf(size, full, "%s", name);
    return SQLITE_OK;
}

static const char vfs_name[] = "rushlight-descriptor";

/* What is no matter of files is the usual one's. */
static void add_vfs(void)
{
    static sqlite3_vfs vfs;
    vfs = *sqlite3_vfs_find(NULL);
    vfs.szOsFile = sizeof(struct descriptor_file);
    vfs.zName = vfs_name;
    vfs.xOpen = open_file;
    vfs.xDelete = delete_nothing;
    vfs.xAccess = see_nothing;
    vfs.xFullPathname = name_as_given;
    sqlite3_vfs_register(&vfs, 0);
}

int descriptor_file_open(int descriptor, sqlite3 **copy)
{
    static pthread_once_t once = PTHREAD_ONCE_INIT;
    char name[16];
    sqlite3_initialize();
    pthread_once(&once, add_vfs);
    snprintf(name, sizeof name, "%d", descriptor);
    int result = sqlite3_open_v2(name, copy, SQLITE_OPEN_READWRITE, vfs_name);
    if (result == SQLITE_OK)
        result = sqlite3_exec(*copy, "PRAGMA journal_mode = OFF; PRAGMA temp_store = MEMORY", NULL,
                              NULL, NULL);
    return result;
}
