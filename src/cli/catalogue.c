/* The tables of the engine, printed. */
#include "base/number.h"
#include "base/words.h"
#include "cli/commands.h"
#include "cli/table.h"
#include "measures/sheet.h"
#include "setup/setup.h"

#include <math.h>
#include <string.h>

static const struct column columns[] = {
    {"table", "table", COLUMN_TEXT, 0, ""},     {"name", "name", COLUMN_TEXT, 0, ""},
    {"mirror", "mirror", COLUMN_TEXT, 0, ""},   {"number", "number", COLUMN_TEXT, 0, ""},
    {"default", "default", COLUMN_TEXT, 0, ""}, {"least", "least", COLUMN_NUMBER, -1, ""},
    {"most", "most", COLUMN_NUMBER, -1, ""},    {"unit", "unit", COLUMN_TEXT, 0, ""},
    {"help", "what it is", COLUMN_TEXT, 0, ""}, {"source", "source", COLUMN_TEXT, 0, ""},
};

enum { COLUMN_COUNT = sizeof columns / sizeof columns[0] };

/* A row of one of the engine's tables, or one side of it. */
struct entry_shown {
    const char *table;
    const char *name;
    const char *mirror;
    const struct parameter *parameters;
    bool mirrored;
    const char *help;
    const char *source;
};

static const char *default_text(const struct parameter *parameter, bool mirrored,
                                char text[NUMBER_TEXT_SIZE])
{
    double value = mirrored ? parameter_mirrored(parameter, parameter->missing)
                            : parameter->missing;
    if (parameter->kind == PARAMETER_WORD)
        return "needed";
    if (parameter->kind == PARAMETER_WEEKDAYS)
        return "mon to fri";
    if (parameter->kind == PARAMETER_CLOCK)
        return "00:00";
    if (isnan(value))
        return "off";
    number_format(text, value);
    return text;
}

/* CSV and JSON: one row for the entry and one for each of its numbers. */
static void put_rows(struct table *table, const struct entry_shown *shown)
{
    size_t count = parameter_count(shown->parameters);
    for (size_t i = 0; i <= count; i++) {
        const struct parameter *parameter = i > 0 ? &shown->parameters[i - 1] : NULL;
        char text[NUMBER_TEXT_SIZE];
        table_text(table, shown->table);
        table_text(table, shown->name);
        table_text(table, shown->mirror);
        table_text(table, parameter ? parameter_name(parameter, shown->mirrored) : NULL);
        table_text(table, parameter ? default_text(parameter, shown->mirrored, text) : NULL);
        table_number(table, parameter ? parameter->least : NAN);
        table_number(table, parameter ? parameter->most : NAN);
        table_text(table, parameter ? parameter->unit : NULL);
        table_text(table, parameter ? parameter->help : shown->help);
        table_text(table, parameter ? NULL : shown->source);
    }
}

static void print_parameter(FILE *out, const struct parameter *parameter, bool mirrored)
{
    char text[NUMBER_TEXT_SIZE];
    fprintf(out, "    %-18s %-10s %s", parameter_name(parameter, mirrored),
            default_text(parameter, mirrored, text), parameter->help);
    if (parameter->unit[0] != '\0')
        fprintf(out, " [%s]", parameter->unit);
    if (parameter->kind == PARAMETER_WHOLE || parameter->kind == PARAMETER_NUMBER ||
        parameter->kind == PARAMETER_RATIO)
        fprintf(out, ", %g to %g", parameter->least, parameter->most);
    fputc('\n', out);
}

static void print_entry(FILE *out, const struct entry_shown *shown)
{
    size_t count = parameter_count(shown->parameters);
    fprintf(out, "%s", shown->name);
    if (shown->mirror != NULL)
        fprintf(out, "   (mirror: %s)", shown->mirror);
    fprintf(out, "\n    %s\n", shown->help);
    for (size_t i = 0; i < count; i++)
        print_parameter(out, &shown->parameters[i], shown->mirrored);
    fprintf(out, "    source: %s\n\n", shown->source);
}

struct catalogue {
    struct call *call;
    struct table table;
    const char *wanted; /* NULL: all tables */
    const char *last;   /* table of the last entry shown */
};

static void show(struct catalogue *catalogue, const struct entry_shown *shown)
{
    if (catalogue->wanted != NULL && strcmp(catalogue->wanted, shown->table) != 0)
        return;
    if (catalogue->call->format != FORMAT_TEXT) {
        put_rows(&catalogue->table, shown);
        return;
    }
    if (catalogue->last != shown->table)
        fprintf(catalogue->call->out, "=== %s ===\n\n", shown->table);
    catalogue->last = shown->table;
    print_entry(catalogue->call->out, shown);
}

/* The row, and its mirror where it has one. */
static void show_both(struct catalogue *catalogue, struct entry_shown shown,
                      const char *mirror_help)
{
    const char *name = shown.name;
    show(catalogue, &shown);
    if (shown.mirror == NULL)
        return;
    shown.name = shown.mirror;
    shown.mirror = name;
    shown.mirrored = true;
    shown.help = mirror_help != NULL ? mirror_help : shown.help;
    show(catalogue, &shown);
}

static void show_tables(struct catalogue *catalogue)
{
    for (const struct shape *row = shapes; row->name != NULL; row++)
        show_both(catalogue,
                  (struct entry_shown){"shapes", row->name, row->mirror_name, row->limits, false,
                                       row->help, row->source},
                  row->mirror_help);
    for (const struct condition *row = conditions; row->name != NULL; row++)
        show_both(catalogue,
                  (struct entry_shown){"conditions", row->name, row->mirror_name, row->parameters,
                                       false, row->help, row->source},
                  row->mirror_help);
    for (const struct entry *row = entries; row->name != NULL; row++)
        show_both(catalogue,
                  (struct entry_shown){"entries", row->name, row->mirror_name, row->parameters,
                                       false, row->help, row->source},
                  NULL);
    for (const struct stop *row = stops; row->name != NULL; row++)
        show_both(catalogue,
                  (struct entry_shown){"stops", row->name, row->mirror_name, row->parameters, false,
                                       row->help, row->source},
                  NULL);
    for (const struct leaving *row = leavings; row->name != NULL; row++)
        show_both(catalogue,
                  (struct entry_shown){"exits", row->name, NULL, row->parameters, false, row->help,
                                       row->source},
                  NULL);
    for (const struct measure *row = measures; row->name != NULL; row++)
        show_both(catalogue,
                  (struct entry_shown){"measures", row->name, NULL, row->parameters, false,
                                       row->help, row->source},
                  NULL);
}

int command_catalogue(struct call *call, struct error *error)
{
    static const char *const tables[] = {"shapes", "conditions", "entries",
                                         "stops",  "exits",      "measures"};
    struct catalogue catalogue = {.call = call};
    if (call->argument_count > 0) {
        for (int i = 0; i < 6; i++)
            if (strcmp(call->arguments[0], tables[i]) == 0)
                catalogue.wanted = tables[i];
        if (catalogue.wanted == NULL) {
            char hint[WORD_HINT_SIZE];
            return error_set(error, ERROR_USAGE,
                             "there is no table '%s'%s; shapes, conditions, entries, stops, "
                             "exits and measures are allowed",
                             call->arguments[0], word_hint(hint, call->arguments[0], tables, 6));
        }
    }
    if (call->format == FORMAT_TEXT) {
        show_tables(&catalogue);
        return ERROR_NONE;
    }
    table_begin(&catalogue.table, call, "rows", columns, COLUMN_COUNT);
    show_tables(&catalogue);
    return table_end(&catalogue.table, NULL, error);
}
