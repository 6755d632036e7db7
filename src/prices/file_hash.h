/* What tells a file from another: the hash of its bytes. */
#ifndef RUSHLIGHT_PRICES_FILE_HASH_H
#define RUSHLIGHT_PRICES_FILE_HASH_H

#include "base/error.h"

#include <stddef.h>
#include <stdint.h>

enum { FILE_HASH_SIZE = 33 };

/* XXH128 of the bytes, hexadecimal, and their number. ERROR_INPUT where the file
 * cannot be opened or is a folder, ERROR_MACHINE where reading fails. */
int file_hash(const char *path, char hash[FILE_HASH_SIZE], uint64_t *size, struct error *error);

/* The same of a file that is being read anyway, from its start, some of it
 * perhaps more than once. NULL without memory. */
struct file_hasher;
struct file_hasher *file_hasher_new(void);
/* Bytes at `offset` of the file; those that it was given before are passed over. */
void file_hasher_take(struct file_hasher *hasher, uint64_t offset, const void *bytes,
                      size_t length);
/* Of all bytes so far, and their number. */
void file_hasher_end(const struct file_hasher *hasher, char hash[FILE_HASH_SIZE], uint64_t *size);
void file_hasher_free(struct file_hasher *hasher);

#endif
