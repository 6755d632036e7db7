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

static const char *table_of(const char *word)
{
    for (size_t i = 0; i < CATALOGUE_TABLES; i++)
        if (strcmp(word, catalogue_tables[i]) == 0)
            return catalogue_tables[i];
    return NULL;
}

static int refuse(const char *word, struct error *error)
{
    char hint[WORD_HINT_SIZE];
    return error_set(error, ERROR_USAGE,
                     "there is no table and no word '%s'%s; shapes, conditions, entries, stops, "
                     "exits, measures and words are allowed, or one of the words in them",
                     word, word_hint(hint, word, catalogue_tables, CATALOGUE_TABLES));
}

/* A table, one word of any, or all. */
static int show(const char *asked, void (*take)(void *context, const struct catalogue_entry *entry),
                struct catalogue *catalogue, struct error *error)
{
    const char *table = asked != NULL ? table_of(asked) : NULL;
    if (asked != NULL && table == NULL)
        return catalogue_one(asked, take, catalogue) ? ERROR_NONE : refuse(asked, error);
    catalogue_each(table, take, catalogue);
    return ERROR_NONE;
}

int command_catalogue(struct call *call, struct error *error)
{
    struct catalogue catalogue = {.call = call};
    const char *asked = call->argument_count > 0 ? call->arguments[0] : NULL;
    if (call->format == FORMAT_TEXT) {
        text_init(&catalogue.text);
        int code = show(asked, say_entry, &catalogue, error);
        if (code == ERROR_NONE)
            return print_text(call, &catalogue.text, error);
        text_free(&catalogue.text);
        return code;
    }
    listing_begin(&catalogue.table, call, &catalogue_listing);
    int code = show(asked, put_entry, &catalogue, error);
    return listing_end(&catalogue.table, &catalogue_listing, code, error);
}
