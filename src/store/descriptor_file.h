/* A database on an open descriptor. SQLite opens files by their names and
 * follows no links, and a file that is not to be there before it is whole has no
 * name. For one connection that nobody shares, without a journal. Private to the
 * layer. */
#ifndef RUSHLIGHT_STORE_DESCRIPTOR_FILE_H
#define RUSHLIGHT_STORE_DESCRIPTOR_FILE_H

struct sqlite3;

/* Opens it, as sqlite3_open_v2 does: *copy is to be closed also after an error,
 * and is returned as its code. The descriptor stays the caller's. */
int descriptor_file_open(int descriptor, struct sqlite3 **copy);

#endif
