#include "power_vfs.h"

#include "base/random.h"

#include <assert.h>
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_FILES = 8, NAME_SIZE = 256, SECTOR = 512, MOST_REGIONS = 16 };

struct bytes {
    unsigned char *data;
    size_t length;
    size_t room;
};

/* A write, or a truncation where data is NULL. */
struct pending {
    size_t offset; /* or the new length */
    struct bytes bytes;
};

struct stored_file {
    bool used;
    char name[NAME_SIZE];
    struct bytes now;
    struct bytes synced;
    struct pending *pending;
    size_t pending_count;
    size_t pending_room;
    void *regions[MOST_REGIONS];
    int open_count;
};

struct open_file {
    sqlite3_file base;
    struct stored_file *file;
    bool temporary;
};

static struct stored_file files[MOST_FILES];
static enum power_trouble trouble;
static long trouble_at;
static long operations;

static void resize(struct bytes *bytes, size_t length)
{
    if (length > bytes->room) {
        bytes->room = length + length / 2;
        bytes->data = realloc(bytes->data, bytes->room);
        assert(bytes->data != NULL);
    }
    if (length > bytes->length)
        memset(bytes->data + bytes->length, 0, length - bytes->length);
    bytes->length = length;
}

static void put(struct bytes *bytes, size_t offset, const void *data, size_t length)
{
    if (length == 0)
        return;
    if (offset + length > bytes->length)
        resize(bytes, offset + length);
    memcpy(bytes->data + offset, data, length);
}

static void free_bytes(struct bytes *bytes)
{
    free(bytes->data);
    *bytes = (struct bytes){0};
}

static void forget_pending(struct stored_file *file)
{
    for (size_t i = 0; i < file->pending_count; i++)
        free(file->pending[i].bytes.data);
    free(file->pending);
    file->pending = NULL;
    file->pending_count = file->pending_room = 0;
}

static void forget_regions(struct stored_file *file)
{
    for (int i = 0; i < MOST_REGIONS; i++) {
        free(file->regions[i]);
        file->regions[i] = NULL;
    }
}

static void forget_file(struct stored_file *file)
{
    forget_pending(file);
    forget_regions(file);
    free_bytes(&file->now);
    free_bytes(&file->synced);
    file->used = false;
}

static struct stored_file *find_file(const char *name)
{
    for (int i = 0; i < MOST_FILES; i++)
        if (files[i].used && strcmp(files[i].name, name) == 0)
            return &files[i];
    return NULL;
}

static struct stored_file *make_file(const char *name)
{
    for (int i = 0; i < MOST_FILES; i++) {
        if (files[i].used || files[i].open_count > 0)
            continue;
        files[i] = (struct stored_file){.used = true};
        strncpy(files[i].name, name, NAME_SIZE - 1);
        return &files[i];
    }
    return NULL;
}

static bool is_dead(void)
{
    return trouble == POWER_CUT && operations >= trouble_at;
}

/* Whether this write, truncation or sync is to fail. */
static bool goes_wrong(void)
{
    operations++;
    switch (trouble) {
    case POWER_FULL_ONCE: return operations == trouble_at;
    case POWER_CUT:
    case POWER_FULL: return operations >= trouble_at;
    default: return false;
    }
}

static void note(struct stored_file *file, size_t offset, const void *data, size_t length)
{
    if (file->pending_count == file->pending_room) {
        file->pending_room = 2 * file->pending_room + 16;
        file->pending = realloc(file->pending, file->pending_room * sizeof *file->pending);
        assert(file->pending != NULL);
    }
    struct pending *pending = &file->pending[file->pending_count++];
    *pending = (struct pending){.offset = offset};
    if (data != NULL)
        put(&pending->bytes, 0, data, length);
}

static int file_close(sqlite3_file *base)
{
    struct open_file *open = (struct open_file *)base;
    open->file->open_count--;
    if (open->temporary)
        forget_file(open->file);
    return SQLITE_OK;
}

static int file_read(sqlite3_file *base, void *buffer, int amount, sqlite3_int64 offset)
{
    const struct bytes *now = &((struct open_file *)base)->file->now;
    size_t start = (size_t)offset;
    size_t want = (size_t)amount;
    size_t there = start < now->length ? now->length - start : 0;
    if (is_dead())
        return SQLITE_IOERR_READ;
    if (there > want)
        there = want;
    if (there > 0)
        memcpy(buffer, now->data + start, there);
    memset((char *)buffer + there, 0, want - there);
    return there == want ? SQLITE_OK : SQLITE_IOERR_SHORT_READ;
}

static int file_write(sqlite3_file *base, const void *buffer, int amount, sqlite3_int64 offset)
{
    struct open_file *open = (struct open_file *)base;
    bool wrong = goes_wrong();
    /* The write under way when the power goes may have been on its way. */
    if (!wrong || (trouble == POWER_CUT && operations == trouble_at))
        note(open->file, (size_t)offset, buffer, (size_t)amount);
    if (wrong)
        return trouble == POWER_CUT ? SQLITE_IOERR_WRITE : SQLITE_FULL;
    put(&open->file->now, (size_t)offset, buffer, (size_t)amount);
    return SQLITE_OK;
}

static int file_truncate(sqlite3_file *base, sqlite3_int64 size)
{
    struct open_file *open = (struct open_file *)base;
    if (goes_wrong())
        return SQLITE_IOERR_TRUNCATE;
    note(open->file, (size_t)size, NULL, 0);
    resize(&open->file->now, (size_t)size);
    return SQLITE_OK;
}

static int file_sync(sqlite3_file *base, int flags)
{
    (void)flags;
    struct stored_file *file = ((struct open_file *)base)->file;
    if (goes_wrong())
        return SQLITE_IOERR_FSYNC;
    forget_pending(file);
    resize(&file->synced, 0);
    if (file->now.length > 0)
        put(&file->synced, 0, file->now.data, file->now.length);
    return SQLITE_OK;
}

static int file_size(sqlite3_file *base, sqlite3_int64 *size)
{
    *size = (sqlite3_int64)((struct open_file *)base)->file->now.length;
    return is_dead() ? SQLITE_IOERR_FSTAT : SQLITE_OK;
}

static int file_lock(sqlite3_file *base, int level)
{
    (void)base;
    (void)level;
    return SQLITE_OK;
}

static int file_reserved(sqlite3_file *base, int *taken)
{
    (void)base;
    *taken = 0;
    return SQLITE_OK;
}

static int file_control(sqlite3_file *base, int op, void *argument)
{
    (void)base;
    (void)op;
    (void)argument;
    return SQLITE_NOTFOUND;
}

static int file_sector(sqlite3_file *base)
{
    (void)base;
    return SECTOR;
}

static int file_character(sqlite3_file *base)
{
    (void)base;
    return SQLITE_IOCAP_POWERSAFE_OVERWRITE;
}

static int file_map(sqlite3_file *base, int region, int size, int extend, void volatile **mapped)
{
    struct stored_file *file = ((struct open_file *)base)->file;
    assert(region < MOST_REGIONS);
    if (file->regions[region] == NULL && extend)
        file->regions[region] = calloc(1, (size_t)size);
    *mapped = file->regions[region];
    return SQLITE_OK;
}

static int file_map_lock(sqlite3_file *base, int offset, int n, int flags)
{
    (void)base;
    (void)offset;
    (void)n;
    (void)flags;
    return SQLITE_OK;
}

static void file_barrier(sqlite3_file *base)
{
    (void)base;
}

static int file_unmap(sqlite3_file *base, int delete)
{
    (void)delete;
    forget_regions(((struct open_file *)base)->file);
    return SQLITE_OK;
}

static const sqlite3_io_methods methods = {
    .iVersion = 2,
    .xClose = file_close,
    .xRead = file_read,
    .xWrite = file_write,
    .xTruncate = file_truncate,
    .xSync = file_sync,
    .xFileSize = file_size,
    .xLock = file_lock,
    .xUnlock = file_lock,
    .xCheckReservedLock = file_reserved,
    .xFileControl = file_control,
    .xSectorSize = file_sector,
    .xDeviceCharacteristics = file_character,
    .xShmMap = file_map,
    .xShmLock = file_map_lock,
    .xShmBarrier = file_barrier,
    .xShmUnmap = file_unmap,
};

static int vfs_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *base, int flags, int *out)
{
    (void)vfs;
    struct open_file *open = (struct open_file *)base;
    *open = (struct open_file){.temporary = name == NULL};
    struct stored_file *file = name != NULL ? find_file(name) : NULL;
    if (is_dead() || (file == NULL && (flags & SQLITE_OPEN_CREATE) == 0))
        return SQLITE_CANTOPEN;
    if (file == NULL)
        file = make_file(name != NULL ? name : "");
    if (file == NULL)
        return SQLITE_CANTOPEN;
    open->file = file;
    open->file->open_count++;
    open->base.pMethods = &methods;
    if (out != NULL)
        *out = flags;
    return SQLITE_OK;
}

static int vfs_delete(sqlite3_vfs *vfs, const char *name, int sync)
{
    (void)vfs;
    (void)sync;
    struct stored_file *file = find_file(name);
    if (is_dead())
        return SQLITE_IOERR_DELETE;
    if (file == NULL)
        return SQLITE_IOERR_DELETE_NOENT;
    forget_file(file);
    return SQLITE_OK;
}

static int vfs_access(sqlite3_vfs *vfs, const char *name, int flags, int *result)
{
    (void)vfs;
    (void)flags;
    *result = find_file(name) != NULL;
    return SQLITE_OK;
}

static int vfs_full_name(sqlite3_vfs *vfs, const char *name, int size, char *full)
{
    (void)vfs;
    sqlite3_snprintf(size, full, "%s", name);
    return SQLITE_OK;
}

/* Chance, time and sleep are the ordinary ones. */
static sqlite3_vfs *ordinary;

static int vfs_randomness(sqlite3_vfs *vfs, int size, char *bytes)
{
    (void)vfs;
    return ordinary->xRandomness(ordinary, size, bytes);
}

static int vfs_sleep(sqlite3_vfs *vfs, int microseconds)
{
    (void)vfs;
    return microseconds;
}

static int vfs_time(sqlite3_vfs *vfs, double *now)
{
    (void)vfs;
    return ordinary->xCurrentTime(ordinary, now);
}

static int vfs_last_error(sqlite3_vfs *vfs, int size, char *text)
{
    (void)vfs;
    (void)size;
    (void)text;
    return 0;
}

void power_vfs_begin(void)
{
    static sqlite3_vfs vfs = {
        .iVersion = 1,
        .szOsFile = sizeof(struct open_file),
        .mxPathname = NAME_SIZE - 1,
        .zName = "power",
        .xOpen = vfs_open,
        .xDelete = vfs_delete,
        .xAccess = vfs_access,
        .xFullPathname = vfs_full_name,
        .xRandomness = vfs_randomness,
        .xSleep = vfs_sleep,
        .xCurrentTime = vfs_time,
        .xGetLastError = vfs_last_error,
    };
    ordinary = sqlite3_vfs_find(NULL);
    sqlite3_vfs_register(&vfs, 1);
}

void power_vfs_clear(void)
{
    for (int i = 0; i < MOST_FILES; i++) {
        assert(files[i].open_count == 0);
        forget_file(&files[i]);
    }
    power_vfs_arm(POWER_GOOD, 0);
}

void power_vfs_arm(enum power_trouble kind, long nth)
{
    trouble = kind;
    trouble_at = nth;
    operations = 0;
}

long power_vfs_count(void)
{
    return operations;
}

static void land(struct bytes *bytes, const struct pending *pending, struct random_stream *random)
{
    size_t length = pending->bytes.length;
    uint64_t fate = random_below(random, 3);
    if (fate == 0)
        return;
    if (pending->bytes.data == NULL) {
        resize(bytes, pending->offset);
        return;
    }
    if (fate == 1)
        length = random_below(random, length / SECTOR + 1) * SECTOR;
    put(bytes, pending->offset, pending->bytes.data, length);
}

void power_vfs_restore(uint64_t seed)
{
    struct random_stream random;
    random_start(&random, seed, 7);
    for (int i = 0; i < MOST_FILES; i++) {
        struct stored_file *file = &files[i];
        assert(file->open_count == 0);
        if (!file->used)
            continue;
        for (size_t left = file->pending_count; left > 0; left--) {
            size_t pick = random_below(&random, left);
            struct pending chosen = file->pending[pick];
            file->pending[pick] = file->pending[left - 1];
            file->pending[left - 1] = chosen;
            land(&file->synced, &chosen, &random);
        }
        forget_pending(file);
        forget_regions(file);
        resize(&file->now, 0);
        if (file->synced.length > 0)
            put(&file->now, 0, file->synced.data, file->synced.length);
    }
    power_vfs_arm(POWER_GOOD, 0);
}
