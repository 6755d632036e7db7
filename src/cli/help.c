#include "cli/help.h"

#include "base/text.h"
#include "cli/paragraph.h"
#include "document/paragraph.h"

#include <string.h>

enum { LEFT_WIDTH = 28 };

const char help_purpose
    [] = "Writes a one-candle setup down exactly, finds every case of it in any number of\n"
         "markets without hindsight, and shows each case and what followed.";

const char help_status
    [] = "Exit status: 0 done, 1 done but something was\n"
         "set aside or nothing was found where --expect was given, 2 bad usage, 3 bad input,\n"
         "4 the machine failed us, 5 whoever read the answer has gone.\n"
         "Arithmetic, not advice: trading loses money.";

/* An option at the left, what it is for to the right of it or below. */
static void print_option(FILE *out, const struct option_row *row)
{
    struct text left;
    struct text words;
    text_init(&left);
    text_init(&words);
    text_append_format(&left, "%s--%s", option_has_letter(row) ? "-o, " : "", row->name);
    if (row->kind != OPTION_FLAG)
        text_append_char(&left, ' ');
    option_value_words(row, &left);
    option_help_words(row, &words);
    size_t columns = text_columns(left.bytes);
    fprintf(out, "  %s", left.bytes);
    if (columns > LEFT_WIDTH)
        fputc('\n', out);
    print_hanging(out, words.bytes, LEFT_WIDTH + 3, columns > LEFT_WIDTH ? 0 : columns + 2);
    text_free(&left);
    text_free(&words);
}

static void print_group(FILE *out, const struct option_group *group)
{
    fprintf(out, "\n%s:\n", group->heading);
    for (const struct option_row *row = group->rows; row->name != NULL; row++)
        print_option(out, row);
}

void print_command_help(FILE *out, const struct command *command)
{
    fprintf(out, "Usage: rushlight %s%s%s [OPTION…]\n\n", command->name,
            command->arguments[0] != '\0' ? " " : "", command->arguments);
    print_paragraph(out, command->help, 0);
    for (size_t i = 0; i < OPTION_GROUPS && command->options[i] != NULL; i++)
        print_group(out, command->options[i]);
    print_group(out, &option_globals);
}

void print_help(FILE *out)
{
    fprintf(out, "Usage: rushlight COMMAND [ARGUMENT…] [OPTION…]\n\n%s\n\nCommands:\n",
            help_purpose);
    for (const struct command *c = commands; c->name != NULL; c++)
        fprintf(out, "  %-10s %.*s\n", c->name, (int)strcspn(c->help, "\n"), c->help);
    print_group(out, &option_globals);
    fprintf(out, "\n'rushlight COMMAND --help' tells more. %s\n", help_status);
}
