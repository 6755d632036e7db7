#define _POSIX_C_SOURCE 200809L /* open, read */
#include "prices/file_hash.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <xxhash.h>

int file_hash(const char *path, char hash[FILE_HASH_SIZE], uint64_t *size, struct error *error)
{
    static const size_t piece = 1 << 18;
    int code = ERROR_NONE;
    int file = open(path, O_RDONLY | O_CLOEXEC);
    if (file < 0)
        return error_set(error, error_code_of(errno), "%s: cannot be opened: %s", path,
                         strerror(errno));
    char *buffer = malloc(piece);
    XXH3_state_t *state = XXH3_createState();
    if (buffer == NULL || state == NULL) {
        code = error_memory(error);
        goto out;
    }
    XXH3_128bits_reset(state);
    *size = 0;
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
        XXH3_128bits_update(state, buffer, (size_t)got);
        *size += (uint64_t)got;
    }
    XXH128_hash_t sum = XXH3_128bits_digest(state);
    snprintf(hash, FILE_HASH_SIZE, "%016llx%016llx", (unsigned long long)sum.high64,
             (unsigned long long)sum.low64);
out:
    XXH3_freeState(state);
    free(buffer);
    close(file);
    return code;
}
