/* The work of a command: its options read into wishes, its voice the lines and
 * the progress that a person at a terminal sees. */
#ifndef RUSHLIGHT_CLI_WISHES_H
#define RUSHLIGHT_CLI_WISHES_H

#include "base/text.h"
#include "cli/command.h"
#include "cli/progress.h"
#include "work/rules.h"

/* Must stay where it is while the work is open. */
struct call_work {
    struct call *call;
    struct work *work;
    struct progress progress;
    struct csv_wishes columns;
};

/* Reads the options that the command offers. ERROR_USAGE for one that cannot be
 * read. To be closed with call_work_close, also after an error. */
int call_work_open(struct call_work *opened, struct call *call, struct error *error);
/* Returns what the command has to return after work that ended with `code`. */
int call_work_close(struct call_work *opened, int code, struct error *error);

/* The setup of --setup; the caller's to free. */
int setup_of_call(struct call *call, struct setup *setup, struct error *error);
/* The setups of --setup, several of them with commas between; the caller's to
 * free with setups_free, also after an error. */
int setups_of_call(struct call *call, struct setup **setups, size_t *count, struct error *error);
void setups_free(struct setup *setups, size_t count);
/* The same for a name that is not the option's. */
int setup_named(struct call *call, const char *name, struct setup *setup, struct error *error);

/* The folder of shipped setups, found from where the program stands; false if
 * there is none. */
bool setups_folder(struct text *folder);

/* Puts what the options of this command can do about an error behind it. */
void call_advise(const struct call *call, struct error *error);

/* Seconds since 1970, of the machine's clock. */
int64_t clock_now(void);

#endif
