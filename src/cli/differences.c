#include "cli/differences.h"

#include "cli/table.h"
#include "setup/difference.h"

static const struct column columns[] = {
    {"part", "part", COLUMN_TEXT, 0, ""},
    {"first", "first", COLUMN_TEXT, 0, ""},
    {"second", "second", COLUMN_TEXT, 0, ""},
};

static int take_difference(void *context, const char *part, const char *first, const char *second,
                           struct error *error)
{
    struct table *table = context;
    (void)error;
    table_text(table, part);
    table_text(table, first);
    table_text(table, second);
    return ERROR_NONE;
}

int differences_print(struct call *call, const char *first, const char *second,
                      struct text *closing, struct error *error)
{
    struct table table;
    struct error ended;
    table_begin(&table, call, "differences", columns, sizeof columns / sizeof columns[0]);
    int code = setup_differences(first, second, take_difference, &table, error);
    text_append(closing, table.row_count == 0 ? "The setups say the same."
                                              : "An empty cell: the setup does not say it.");
    int end_code = table_end_text(&table, closing, &ended);
    if (code == ERROR_NONE && end_code != ERROR_NONE) {
        *error = ended;
        code = end_code;
    }
    return code;
}
