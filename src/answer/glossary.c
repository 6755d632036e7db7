#include "answer/glossary.h"

#include <ctype.h>
#include <stdio.h>
#include <string.h>

static void take(char *room, size_t size, const char *line, size_t length)
{
    snprintf(room, size, "%.*s", (int)length, line);
}

/* The line behind a word such as "Source: ", or NULL. */
static const char *behind(const char *line, size_t length, const char *word)
{
    size_t size = strlen(word);
    return length > size && strncmp(line, word, size) == 0 ? line + size : NULL;
}

/* The parts of an entry are one line each; empty ones part them. */
static void take_line(struct glossary_entry *entry, const char *line, size_t length)
{
    const char *formula = behind(line, length, "Formula: ");
    const char *source = behind(line, length, "Source: ");
    if (formula != NULL)
        take(entry->formula, sizeof entry->formula, formula, length - (size_t)(formula - line));
    else if (source != NULL)
        take(entry->source, sizeof entry->source, source, length - (size_t)(source - line));
    else if (length > 0)
        take(entry->meaning, sizeof entry->meaning, line, length);
}

bool glossary_next(const char **place, struct glossary_entry *entry)
{
    static const char head[] = "## ";
    bool begun = false;
    const char *line = *place;
    *entry = (struct glossary_entry){{0}, {0}, {0}, {0}};
    while (*line != '\0') {
        size_t length = strcspn(line, "\n");
        const char *term = behind(line, length, head);
        if (term != NULL && begun)
            break;
        if (term != NULL)
            take(entry->term, sizeof entry->term, term, length - strlen(head));
        else if (begun)
            take_line(entry, line, length);
        begun = begun || term != NULL;
        line += length + (line[length] == '\n');
    }
    *place = line;
    return begun;
}

void glossary_anchor(struct text *anchor, const char *term)
{
    text_append(anchor, "w-");
    for (; *term != '\0'; term++)
        text_append_char(anchor,
                         isalnum((unsigned char)*term) ? (char)tolower((unsigned char)*term) : '-');
}
