/* Numbers: whatever number_parse takes reads as strtod reads it, and what
 * number_format writes of it reads back the same. */
#include "base/number.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static void check_integer(const char *bytes, size_t size)
{
    int64_t integer = 0;
    double number = 0;
    if (number_parse_integer(bytes, size, &integer) && size <= NUMBER_LONGEST &&
        (!number_parse(bytes, size, &number) || number != (double)integer))
        abort();
}

static void check_tick(double value)
{
    struct tick tick;
    if (!tick_from_number(&tick, value))
        return;
    if (tick_round_down(&tick, tick.value) != tick.value ||
        tick_round_up(&tick, tick.value) != tick.value)
        abort();
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    const char *bytes = (const char *)data;
    double value = 0;
    check_integer(bytes, size);
    if (!number_parse(bytes, size, &value))
        return 0;
    char copy[NUMBER_LONGEST + 1];
    if (size > NUMBER_LONGEST)
        abort();
    memcpy(copy, bytes, size);
    copy[size] = '\0';
    char *end = NULL;
    double expected = strtod(copy, &end);
    if (end != copy + size || value != expected)
        abort();
    if (isinf(value))
        return 0;
    char text[NUMBER_TEXT_SIZE];
    double again = 0;
    number_format(text, value);
    if (!number_parse(text, strlen(text), &again) || again != value)
        abort();
    check_tick(value);
    return 0;
}
