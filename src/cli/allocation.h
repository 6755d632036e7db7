/* How the process uses the heap. */
#ifndef RUSHLIGHT_CLI_ALLOCATION_H
#define RUSHLIGHT_CLI_ALLOCATION_H

/* Keeps freed memory of columns for the next instrument, instead of giving it
 * back to the system and faulting it in again for each. */
void allocation_keep(void);

#endif
