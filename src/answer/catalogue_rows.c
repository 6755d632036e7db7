/* The tables of the engine, in rows and in words. */
#include "answer/catalogue_rows.h"

#include "answer/glossary.h"
#include "base/number.h"
#include "measures/sheet.h"
#include "setup/setup.h"

#include <math.h>
#include <string.h>
#include <strings.h>

enum { SHAPES, CONDITIONS, ENTRIES, STOPS, EXITS, MEASURES, WORDS };

const char *const catalogue_tables[CATALOGUE_TABLES] =
    {[SHAPES] = "shapes", [CONDITIONS] = "conditions", [ENTRIES] = "entries", [STOPS] = "stops",
     [EXITS] = "exits",   [MEASURES] = "measures",     [WORDS] = "words"};

static const struct column columns[] = {
    {"table", "table", COLUMN_TEXT, 0, ""},     {"name", "name", COLUMN_TEXT, 0, ""},
    {"mirror", "mirror", COLUMN_TEXT, 0, ""},   {"number", "number", COLUMN_TEXT, 0, ""},
    {"default", "default", COLUMN_TEXT, 0, ""}, {"least", "least", COLUMN_NUMBER, -1, ""},
    {"most", "most", COLUMN_NUMBER, -1, ""},    {"unit", "unit", COLUMN_TEXT, 0, ""},
    {"help", "what it is", COLUMN_TEXT, 0, ""}, {"source", "source", COLUMN_TEXT, 0, ""},
};

const struct listing catalogue_listing = {"rows", columns, sizeof columns / sizeof columns[0],
                                          NULL};

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

/* Of a word the formula stands behind what it means. */
static void put_help(struct table *table, const struct catalogue_entry *entry)
{
    if (entry->formula != NULL)
        table_format(table, "%s Formula: %s", entry->help, entry->formula);
    else
        table_text(table, entry->help);
}

void catalogue_put(struct table *table, const struct catalogue_entry *entry)
{
    size_t count = parameter_count(entry->parameters);
    for (size_t i = 0; i <= count; i++) {
        const struct parameter *parameter = i > 0 ? &entry->parameters[i - 1] : NULL;
        char text[NUMBER_TEXT_SIZE];
        table_text(table, entry->table);
        table_text(table, entry->name);
        table_text(table, entry->mirror);
        table_text(table, parameter ? parameter_name(parameter, entry->mirrored) : NULL);
        table_text(table, parameter ? default_text(parameter, entry->mirrored, text) : NULL);
        table_number(table, parameter ? parameter->least : NAN);
        table_number(table, parameter ? parameter->most : NAN);
        table_text(table, parameter ? parameter->unit : NULL);
        if (parameter != NULL)
            table_text(table, parameter->help);
        else
            put_help(table, entry);
        table_text(table, parameter ? NULL : entry->source);
    }
}

static void append_parameter(struct text *text, const struct parameter *parameter, bool mirrored)
{
    char value[NUMBER_TEXT_SIZE];
    text_append_format(text, "    %-18s %-10s %s", parameter_name(parameter, mirrored),
                       default_text(parameter, mirrored, value), parameter->help);
    if (parameter->unit[0] != '\0')
        text_append_format(text, " [%s]", parameter->unit);
    if (parameter->kind == PARAMETER_WHOLE || parameter->kind == PARAMETER_NUMBER ||
        parameter->kind == PARAMETER_RATIO)
        text_append_format(text, ", %g to %g", parameter->least, parameter->most);
    text_append_char(text, '\n');
}

void catalogue_words(struct text *text, const struct catalogue_entry *entry)
{
    size_t count = parameter_count(entry->parameters);
    text_append(text, entry->name);
    if (entry->mirror != NULL)
        text_append_format(text, "   (mirror: %s)", entry->mirror);
    text_append_format(text, "\n    %s\n", entry->help);
    for (size_t i = 0; i < count; i++)
        append_parameter(text, &entry->parameters[i], entry->mirrored);
    if (entry->formula != NULL)
        text_append_format(text, "    formula: %s\n", entry->formula);
    text_append_format(text, "    source: %s\n\n", entry->source);
}

/* --- the walk ----------------------------------------------------------------------- */

struct walk {
    const char *wanted; /* NULL: all tables */
    void (*take)(void *context, const struct catalogue_entry *entry);
    void *context;
};

/* The row, and its mirror where it has one. */
static void show(const struct walk *walk, struct catalogue_entry entry, const char *mirror_help)
{
    const char *name = entry.name;
    if (walk->wanted != NULL && strcmp(walk->wanted, entry.table) != 0)
        return;
    walk->take(walk->context, &entry);
    if (entry.mirror == NULL)
        return;
    entry.name = entry.mirror;
    entry.mirror = name;
    entry.mirrored = true;
    entry.help = mirror_help != NULL ? mirror_help : entry.help;
    walk->take(walk->context, &entry);
}

static void show_words(const struct walk *walk)
{
    static const struct parameter none = {0};
    struct glossary_entry word;
    const char *place = glossary_file;
    while (glossary_next(&place, &word))
        show(walk,
             (struct catalogue_entry){.table = catalogue_tables[WORDS],
                                      .name = word.term,
                                      .parameters = &none,
                                      .help = word.meaning,
                                      .formula = word.formula[0] != '\0' ? word.formula : NULL,
                                      .source = word.source},
             NULL);
}

void catalogue_each(const char *table,
                    void (*take)(void *context, const struct catalogue_entry *entry), void *context)
{
    const struct walk walk = {table, take, context};
    for (const struct shape *row = shapes; row->name != NULL; row++)
        show(&walk,
             (struct catalogue_entry){catalogue_tables[SHAPES], row->name, row->mirror_name,
                                      row->limits, false, row->help, NULL, row->source},
             row->mirror_help);
    for (const struct condition *row = conditions; row->name != NULL; row++)
        show(&walk,
             (struct catalogue_entry){catalogue_tables[CONDITIONS], row->name, row->mirror_name,
                                      row->parameters, false, row->help, NULL, row->source},
             row->mirror_help);
    for (const struct entry *row = entries; row->name != NULL; row++)
        show(&walk,
             (struct catalogue_entry){catalogue_tables[ENTRIES], row->name, row->mirror_name,
                                      row->parameters, false, row->help, NULL, row->source},
             NULL);
    for (const struct stop *row = stops; row->name != NULL; row++)
        show(&walk,
             (struct catalogue_entry){catalogue_tables[STOPS], row->name, row->mirror_name,
                                      row->parameters, false, row->help, NULL, row->source},
             NULL);
    for (const struct leaving *row = leavings; row->name != NULL; row++)
        show(&walk,
             (struct catalogue_entry){catalogue_tables[EXITS], row->name, NULL, row->parameters,
                                      false, row->help, NULL, row->source},
             NULL);
    for (const struct measure *row = measures; row->name != NULL; row++)
        show(&walk,
             (struct catalogue_entry){catalogue_tables[MEASURES], row->name, NULL, row->parameters,
                                      false, row->help, NULL, row->source},
             NULL);
    show_words(&walk);
}

struct search {
    const char *name;
    void (*take)(void *context, const struct catalogue_entry *entry);
    void *context;
    bool found;
};

/* The first of that name; its mirror, which may bear another, is one of its own. */
static void take_named(void *context, const struct catalogue_entry *entry)
{
    struct search *search = context;
    if (search->found || strcasecmp(entry->name, search->name) != 0)
        return;
    search->found = true;
    search->take(search->context, entry);
}

bool catalogue_one(const char *name,
                   void (*take)(void *context, const struct catalogue_entry *entry), void *context)
{
    struct search search = {.name = name, .take = take, .context = context};
    catalogue_each(catalogue_tables[WORDS], take_named, &search);
    catalogue_each(NULL, take_named, &search);
    return search.found;
}
