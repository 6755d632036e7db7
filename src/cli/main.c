#include "cli/allocation.h"
#include "cli/command_line.h"

#include <signal.h>

int main(int argc, char **argv)
{
    /* A reader that went away shows as a failed write, with a message. */
    signal(SIGPIPE, SIG_IGN);
    allocation_keep();
    return command_line(argc, argv, stdout, stderr);
}
