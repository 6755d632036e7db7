/* What tells a file from another: the hash of its bytes. */
#ifndef RUSHLIGHT_PRICES_FILE_HASH_H
#define RUSHLIGHT_PRICES_FILE_HASH_H

#include "base/error.h"

#include <stdint.h>

enum { FILE_HASH_SIZE = 33 };

/* XXH128 of the bytes, hexadecimal, and their number. ERROR_INPUT where the file
 * cannot be opened or is a folder, ERROR_MACHINE where reading fails. */
int file_hash(const char *path, char hash[FILE_HASH_SIZE], uint64_t *size, struct error *error);

#endif
