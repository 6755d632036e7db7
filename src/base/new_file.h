/* A file that is there whole, or not at all.
 *
 * It has no name while it is written, so that nothing is left of it whatever
 * becomes of the program; on a file system that knows no such files it has a
 * private name in the same folder. In the end its bytes are brought to the disk
 * and it takes its name at one stroke. */
#ifndef RUSHLIGHT_BASE_NEW_FILE_H
#define RUSHLIGHT_BASE_NEW_FILE_H

#include "base/error.h"
#include "base/text.h"

#include <stdbool.h>

enum { NEW_FILE_PATH_SIZE = 4096 };

struct new_file {
    const char *path; /* borrowed; as it stands in messages */
    bool over;
    int descriptor;
    char target[NEW_FILE_PATH_SIZE];  /* the name it will have */
    char private[NEW_FILE_PATH_SIZE]; /* the name it has meanwhile; empty: none */
};

/* Begins a file that will be at `path`, which must stay until the file has
 * ended. With `over` it takes the place and the rights of an ordinary file that
 * is there; a link stays one, and the file that it leads to is replaced.
 * ERROR_INPUT for what is no ordinary file, or is there without `over`;
 * ERROR_MACHINE where none can be made. */
int new_file_begin(struct new_file *file, const char *path, bool over, struct error *error);
/* Gives it its name. Not begun with `over`, it is ERROR_INPUT where another has
 * taken the name meanwhile. After an error there is no new file. */
int new_file_end(struct new_file *file, struct error *error);
/* Leaves nothing of it. Right also for one that has ended. */
void new_file_abandon(struct new_file *file);

/* Writes the text to a new file that takes the place of what is at `path`. After an
 * error `path` is as it was. */
int new_file_write(const char *path, const struct text *text, struct error *error);

#endif
