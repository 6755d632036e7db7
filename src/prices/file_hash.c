#define _POSIX_C_SOURCE 200809L /* open, read */
#include "prices/file_hash.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <xxhash.h>

struct file_hasher {
    XXH3_state_t *state;
    uint64_t size;
};

struct file_hasher *file_hasher_new(void)
{
    struct file_hasher *hasher = calloc(1, sizeof *hasher);
    if (hasher == NULL)
        return NULL;
    hasher->state = XXH3_createState();
    if (hasher->state == NULL) {
        free(hasher);
        return NULL;
    }
    XXH3_128bits_reset(hasher->state);
    return hasher;
}

void file_hasher_take(struct file_hasher *hasher, uint64_t offset, const void *bytes, size_t length)
{
    uint64_t known = hasher->size > offset ? hasher->size - offset : 0;
    if (known >= length)
        return;
    XXH3_128bits_update(hasher->state, (const char *)bytes + known, length - known);
    hasher->size += length - known;
}

void file_hasher_end(const struct file_hasher *hasher, char hash[FILE_HASH_SIZE], uint64_t *size)
{
    XXH128_hash_t sum = XXH3_128bits_digest(hasher->state);
    snprintf(hash, FILE_HASH_SIZE, "%016llx%016llx", (unsigned long long)sum.high64,
             (unsigned long long)sum.low64);
    *size = hasher->size;
}

void file_hasher_free(struct file_hasher *hasher)
{
    if (hasher == NULL)
        return;
    XXH3_freeState(hasher->state);
    free(hasher);
}

int file_hash(const char *path, char hash[FILE_HASH_SIZE], uint64_t *size, struct error *error)
{
    static const size_t piece = 1 << 18;
    int code = ERROR_NONE;
    int file = open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0)
        return error_set(error, error_code_of(errno), "%s: cannot be opened: %s", path,
                         strerror(errno));
    char *buffer = malloc(piece);
    struct file_hasher *hasher = file_hasher_new();
    if (buffer == NULL || hasher == NULL) {
        code = error_memory(error);
        goto out;
    }
    uint64_t offset = 0;
    for (ssize_t got = 1; got != 0;) {
        got = read(file, buffer, piece);
        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0) {
            code = errno == EISDIR ? error_set(error, ERROR_INPUT,
                                               "%s: is a folder; a file of prices is needed", path)
                                   : error_set(error, ERROR_MACHINE, "%s: reading failed: %s", path,
                                               strerror(errno));
            goto out;
        }
        file_hasher_take(hasher, offset, buffer, (size_t)got);
        offset += (uint64_t)got;
    }
    file_hasher_end(hasher, hash, size);
out:
    file_hasher_free(hasher);
    free(buffer);
    close(file);
    return code;
}
