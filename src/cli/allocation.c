#include "cli/allocation.h"

#include <malloc.h>

void allocation_keep(void)
{
    enum { KEEP_BYTES = 64 << 20 };
    mallopt(M_TRIM_THRESHOLD, KEEP_BYTES);
    mallopt(M_MMAP_THRESHOLD, KEEP_BYTES);
}
