/* Times: what time_parse takes, time_format writes back byte for byte. */
#include "base/calendar.h"

#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    int64_t time = 0;
    bool date_only = false;
    char text[CALENDAR_TEXT_SIZE];
    if (!time_parse((const char *)data, size, &time, &date_only))
        return 0;
    time_format(text, time, date_only);
    if (strlen(text) != size || memcmp(text, data, size) != 0)
        abort();
    return 0;
}
