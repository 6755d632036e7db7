#include "cli/columns_option.h"

int columns_of_call(struct call *call, struct csv_wishes *wishes, bool *given, struct error *error)
{
    const char *text = call_option(call, "columns");
    *given = text != NULL;
    if (text == NULL || csv_wishes_read(wishes, text, error) == ERROR_NONE)
        return ERROR_NONE;
    return error_context(error, "--columns");
}
