/* `catalogue`: the tables of the engine. */
#include "answer/catalogue_rows.h"
#include "base/words.h"
#include "cli/commands.h"
#include "cli/table.h"

#include <string.h>

struct catalogue {
    const struct call *call;
    struct table table;
    struct text text;
    const char *last; /* table of the last entry shown */
};

static void put_entry(void *context, const struct catalogue_entry *entry)
{
    struct catalogue *catalogue = context;
    catalogue_put(&catalogue->table, entry);
}

static void say_entry(void *context, const struct catalogue_entry *entry)
{
    struct catalogue *catalogue = context;
    if (catalogue->last != entry->table)
        text_append_format(&catalogue->text, "=== %s ===\n\n", entry->table);
    catalogue->last = entry->table;
    catalogue_words(&catalogue->text, entry);
}

static int find_table(const char *word, const char **table, struct error *error)
{
    char hint[WORD_HINT_SIZE];
    for (size_t i = 0; i < CATALOGUE_TABLES; i++)
        if (strcmp(word, catalogue_tables[i]) == 0)
            *table = catalogue_tables[i];
    if (*table != NULL)
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "there is no table '%s'%s; shapes, conditions, entries, stops, exits and "
                     "measures are allowed",
                     word, word_hint(hint, word, catalogue_tables, CATALOGUE_TABLES));
}

int command_catalogue(struct call *call, struct error *error)
{
    struct catalogue catalogue = {.call = call};
    const char *wanted = NULL;
    int code = call->argument_count > 0 ? find_table(call->arguments[0], &wanted, error)
                                        : ERROR_NONE;
    if (code != ERROR_NONE)
        return code;
    if (call->format == FORMAT_TEXT) {
        text_init(&catalogue.text);
        catalogue_each(wanted, say_entry, &catalogue);
        return print_text(call, &catalogue.text, error);
    }
    listing_begin(&catalogue.table, call, &catalogue_listing);
    catalogue_each(wanted, put_entry, &catalogue);
    return listing_end(&catalogue.table, &catalogue_listing, ERROR_NONE, error);
}
