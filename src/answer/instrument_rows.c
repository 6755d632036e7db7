#include "answer/instrument_rows.h"

#include "base/number.h"

#include <string.h>

void instrument_listing_init(struct instrument_listing *instruments)
{
    size_t count = 1;
    instruments->columns[0] = (struct column){"instrument", "instrument", COLUMN_TEXT, 0, ""};
    for (const struct record_field *field = record_fields; field->name != NULL; field++)
        instruments->columns[count++] = (struct column){field->name, field->name,
                                                        field->number ? COLUMN_NUMBER : COLUMN_TEXT,
                                                        -1, field->unit};
    instruments->listing = (struct listing){"instruments", instruments->columns, count,
                                            "The book has no instruments yet."};
}

void instrument_put(struct table *table, const struct instrument_record *record)
{
    struct text text;
    text_init(&text);
    table_text(table, record->instrument.name);
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        double number = 0;
        text_clear(&text);
        field->write(record, &text);
        if (field->number && number_parse(text.bytes, text.length, &number))
            table_number(table, number);
        else
            table_text(table, text.length > 0 ? text.bytes : NULL);
    }
    table->failed = table->failed || text_failed(&text);
    text_free(&text);
}

/* A field's name with spaces. */
static void append_label(struct text *text, const char *name)
{
    for (; *name != '\0'; name++)
        text_append_char(text, *name == '_' ? ' ' : *name);
}

void instrument_words(struct text *text, const struct instrument_record *record)
{
    enum { LABEL_COLUMNS = 24 };
    text_append_format(text, "%s\n", record->instrument.name);
    for (const struct record_field *field = record_fields; field->name != NULL; field++) {
        text_append(text, "  ");
        append_label(text, field->name);
        for (size_t i = strlen(field->name); i < LABEL_COLUMNS; i++)
            text_append_char(text, ' ');
        size_t before = text->length;
        field->write(record, text);
        text_append(text, text->length > before ? "\n" : "not known\n");
    }
}
