#define _GNU_SOURCE /* argp */
#include "cli/command.h"

#include "base/array.h"
#include "base/calendar.h"
#include "base/number.h"
#include "base/text.h"
#include "base/words.h"
#include "cli/book.h"
#include "cli/paragraph.h"
#include "version.h"

#include <argp.h>
#include <assert.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Options that every command takes; --format sits here because every command
 * that prints has it. */
static const struct option_row global_options[] = {
    {"book", "FILE", "the book (default: rushlight/book.sqlite in the user's data folder)"},
    {"format", "text|csv|json", "how to print (default: text)"},
    {"threads", "N", "threads to work with (default: all processors); results do not depend on it"},
    {"seed", "N", "seed of everything drawn by chance (default: 1; printed where used)"},
    {"quiet", NULL, "no messages but errors"},
    {NULL, NULL, NULL},
};

enum { GLOBAL_COUNT = sizeof global_options / sizeof global_options[0] - 1 };
enum { GLOBAL_BOOK, GLOBAL_FORMAT, GLOBAL_THREADS, GLOBAL_SEED, GLOBAL_QUIET };

/* argp keys: options of the command from FIRST_KEY on, global ones after. */
enum { FIRST_KEY = 1000, GLOBAL_KEY = 2000 };
/* The one option with a letter, -o, as everywhere. */
enum { OUTPUT_KEY = 'o' };
static const char output_option[] = "output";

struct parse {
    struct call *call;
    const char *global_values[GLOBAL_COUNT];
    struct error *error;
    char **rest; /* first level: the command word and what follows */
    int rest_count;
    size_t argument_room;
    char *default_book;
    bool wants_help;
    bool wants_version;
};

static size_t option_count(const struct option_row *rows)
{
    size_t count = 0;
    while (rows != NULL && rows[count].name != NULL)
        count++;
    return count;
}

const char *call_option(const struct call *call, const char *name)
{
    const struct option_row *rows = call->command->options;
    for (size_t i = 0; rows != NULL && rows[i].name != NULL; i++)
        if (strcmp(rows[i].name, name) == 0)
            return call->values[i];
    assert(false && "an option that the command's row does not list");
    return NULL;
}

bool call_offers(const struct call *call, const char *name)
{
    const struct option_row *rows = call->command->options;
    for (size_t i = 0; rows != NULL && rows[i].name != NULL; i++)
        if (strcmp(rows[i].name, name) == 0)
            return true;
    return false;
}

bool call_has(const struct call *call, const char *name)
{
    return call_option(call, name) != NULL;
}

int call_number(const struct call *call, const char *name, double least, double most,
                double missing, double *value, struct error *error)
{
    const char *text = call_option(call, name);
    *value = missing;
    if (text == NULL)
        return ERROR_NONE;
    double read = 0;
    if (number_parse(text, strlen(text), &read) && read >= least && read <= most) {
        *value = read;
        return ERROR_NONE;
    }
    return error_set(error, ERROR_USAGE, "--%s: found '%s'; a number from %g to %g is allowed",
                     name, text, least, most);
}

int call_integer(const struct call *call, const char *name, int64_t least, int64_t most,
                 int64_t missing, int64_t *value, struct error *error)
{
    const char *text = call_option(call, name);
    *value = missing;
    if (text == NULL)
        return ERROR_NONE;
    if (number_parse_integer(text, strlen(text), value) && *value >= least && *value <= most)
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "--%s: found '%s'; a whole number from %lld to %lld is allowed", name, text,
                     (long long)least, (long long)most);
}

int call_time(const struct call *call, const char *name, int64_t missing, int64_t *time,
              struct error *error)
{
    const char *text = call_option(call, name);
    bool date_only = false;
    *time = missing;
    if (text == NULL || time_parse(text, strlen(text), time, &date_only))
        return ERROR_NONE;
    return error_set(
        error, ERROR_USAGE,
        "--%s: found '%s'; a date YYYY-MM-DD or a time YYYY-MM-DDTHH:MM:SSZ is allowed", name,
        text);
}

void call_say(const struct call *call, const char *format, ...)
{
    if (call->quiet)
        return;
    struct error line;
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(line.text, sizeof line.text, format, arguments);
    va_end(arguments);
    fprintf(call->messages, "rushlight: %s\n", line.text);
}

static void print_options(FILE *out, const struct option_row *rows)
{
    enum { LEFT_WIDTH = 28 };
    for (size_t i = 0; rows != NULL && rows[i].name != NULL; i++) {
        char left[80];
        bool output = strcmp(rows[i].name, output_option) == 0;
        snprintf(left, sizeof left, "%s--%s%s%s", output ? "-o, " : "", rows[i].name,
                 rows[i].value != NULL ? " " : "", rows[i].value != NULL ? rows[i].value : "");
        if (text_columns(left) > LEFT_WIDTH)
            fprintf(out, "  %s\n  %*s %s\n", left, LEFT_WIDTH, "", rows[i].help);
        else
            fprintf(out, "  %s%*s %s\n", left, LEFT_WIDTH - (int)text_columns(left), "",
                    rows[i].help);
    }
}

static void print_command_help(FILE *out, const struct command *command)
{
    fprintf(out, "Usage: rushlight %s%s%s [OPTION…]\n\n", command->name,
            command->arguments[0] != '\0' ? " " : "", command->arguments);
    print_paragraph(out, command->help, 0);
    if (option_count(command->options) > 0) {
        fprintf(out, "\nOptions:\n");
        print_options(out, command->options);
    }
    fprintf(out, "\nOptions of every command:\n");
    print_options(out, global_options);
}

static void print_help(FILE *out)
{
    fprintf(out,
            "Usage: rushlight COMMAND [ARGUMENT…] [OPTION…]\n\n"
            "Writes a one-candle setup down exactly, finds every case of it in any number of\n"
            "markets without hindsight, and shows each case and what followed.\n\nCommands:\n");
    for (const struct command *c = commands; c->name != NULL; c++)
        fprintf(out, "  %-10s %.*s\n", c->name, (int)strcspn(c->help, "\n"), c->help);
    fprintf(out, "\nOptions of every command:\n");
    print_options(out, global_options);
    fprintf(
        out,
        "\n'rushlight COMMAND --help' tells more. Exit status: 0 done, 1 done but something was\n"
        "set aside or nothing was found where --expect was given, 2 bad usage, 3 bad input,\n"
        "4 the machine failed us. Arithmetic, not advice: trading loses money.\n");
}

static void set_output(struct call *call, const char *path)
{
    const struct option_row *rows = call->command->options;
    for (size_t i = 0; rows != NULL && rows[i].name != NULL; i++)
        if (strcmp(rows[i].name, output_option) == 0)
            call->values[i] = path;
}

static error_t parse_option(int key, char *value, struct argp_state *state)
{
    struct parse *parse = state->input;
    struct call *call = parse->call;
    if (key == '?') {
        parse->wants_help = true;
    } else if (key == 'V') {
        parse->wants_version = true;
    } else if (key >= GLOBAL_KEY && key < GLOBAL_KEY + GLOBAL_COUNT) {
        int index = key - GLOBAL_KEY;
        parse->global_values[index] = value != NULL ? value : global_options[index].name;
    } else if (key == OUTPUT_KEY) {
        set_output(call, value);
    } else if (key >= FIRST_KEY && key < FIRST_KEY + OPTION_LIMIT) {
        int index = key - FIRST_KEY;
        call->values[index] = value != NULL ? value : call->command->options[index].name;
    } else if (key == ARGP_KEY_ARG && call->command == NULL) {
        parse->rest = state->argv + state->next - 1;
        parse->rest_count = state->argc - state->next + 1;
        state->next = state->argc;
    } else if (key == ARGP_KEY_ARG) {
        char **words = array_reserve(call->arguments, &parse->argument_room,
                                     call->argument_count + 1, sizeof *words);
        if (words == NULL)
            return ENOMEM;
        call->arguments = words;
        words[call->argument_count++] = value;
    } else {
        return ARGP_ERR_UNKNOWN;
    }
    return 0;
}

static void add_options(struct argp_option *target, size_t *used, const struct option_row *rows,
                        int first_key)
{
    for (size_t i = 0; rows != NULL && rows[i].name != NULL; i++) {
        bool output = strcmp(rows[i].name, output_option) == 0;
        target[(*used)++] = (struct argp_option){.name = rows[i].name,
                                                 .key = output ? OUTPUT_KEY : first_key + (int)i,
                                                 .arg = rows[i].value,
                                                 .doc = rows[i].help};
    }
}

/* getopt, below argp, writes its complaint on stderr itself; this finds the
 * first word that is to blame, so that the message is ours. */
static int explain_bad_option(struct parse *parse, int argc, char **argv)
{
    const struct command *command = parse->call->command;
    const struct option_row *lists[] = {command != NULL ? command->options : NULL, global_options};
    for (int i = 1; i < argc; i++) {
        if (strncmp(argv[i], "--", 2) != 0 || argv[i][2] == '\0')
            continue;
        const char *names[OPTION_LIMIT + GLOBAL_COUNT + 2] = {"help"};
        size_t count = 1;
        size_t length = strcspn(argv[i] + 2, "=");
        const struct option_row *found = NULL;
        for (int list = 0; list < 2; list++) {
            for (const struct option_row *row = lists[list]; row != NULL && row->name; row++) {
                names[count++] = row->name;
                if (strlen(row->name) == length && strncmp(row->name, argv[i] + 2, length) == 0)
                    found = row;
            }
        }
        bool has_value = argv[i][2 + length] == '=';
        if (found != NULL && found->value == NULL && has_value)
            return error_set(parse->error, ERROR_USAGE, "--%s takes no value", found->name);
        if (found != NULL && found->value != NULL && !has_value && ++i == argc)
            return error_set(parse->error, ERROR_USAGE, "--%s needs a value: %s", found->name,
                             found->value);
        if (found != NULL || (length == 4 && strncmp(argv[i] + 2, "help", 4) == 0))
            continue;
        char word[64];
        snprintf(word, sizeof word, "%.*s", (int)length, argv[i] + 2);
        const char *near = nearest_word(word, names, count);
        return error_set(parse->error, ERROR_USAGE,
                         "unknown option --%s%s%s%s; see 'rushlight%s%s --help'", word,
                         near ? " (did you mean --" : "", near ? near : "", near ? "?)" : "",
                         command ? " " : "", command ? command->name : "");
    }
    return error_set(parse->error, ERROR_USAGE,
                     "options are written --name; see 'rushlight --help'");
}

static int parse_words(struct parse *parse, int argc, char **argv, const struct command *command)
{
    struct argp_option options[OPTION_LIMIT + GLOBAL_COUNT + 3] = {{0}};
    size_t used = 0;
    assert(command == NULL || option_count(command->options) <= OPTION_LIMIT);
    if (command != NULL)
        add_options(options, &used, command->options, FIRST_KEY);
    add_options(options, &used, global_options, GLOBAL_KEY);
    options[used++] = (struct argp_option){.name = "help", .key = '?', .doc = "this text"};
    if (command == NULL)
        options[used++] = (struct argp_option){.name = "version", .key = 'V', .doc = "version"};
    struct argp argp = {.options = options, .parser = parse_option};
    unsigned flags = ARGP_NO_HELP | ARGP_NO_EXIT | ARGP_NO_ERRS;
    if (command == NULL)
        flags |= ARGP_IN_ORDER;
    parse->call->command = command;
    int failed = argp_parse(&argp, argc, argv, flags, NULL, parse);
    if (failed == ENOMEM)
        return error_memory(parse->error);
    return failed != 0 ? explain_bad_option(parse, argc, argv) : ERROR_NONE;
}

static int read_format(struct call *call, const char *text, struct error *error)
{
    static const char *const names[] = {"text", "csv", "json"};
    for (int i = 0; text != NULL && i < 3; i++) {
        if (strcmp(text, names[i]) == 0) {
            call->format = (enum output_format)i;
            return ERROR_NONE;
        }
    }
    if (text == NULL)
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE, "--format: found '%s'; text, csv or json is allowed",
                     text);
}

static int read_globals(struct parse *parse)
{
    struct call *call = parse->call;
    const char *threads = parse->global_values[GLOBAL_THREADS];
    const char *seed = parse->global_values[GLOBAL_SEED];
    int64_t number = 0;
    call->quiet = parse->global_values[GLOBAL_QUIET] != NULL;
    int code = book_default_path(&parse->default_book, parse->error);
    if (code != ERROR_NONE)
        return code;
    call->book = parse->global_values[GLOBAL_BOOK];
    call->book_given = call->book != NULL;
    if (call->book == NULL)
        call->book = parse->default_book;
    call->threads = (int)sysconf(_SC_NPROCESSORS_ONLN);
    if (call->threads < 1)
        call->threads = 1;
    call->seed = 1;
    if (threads != NULL) {
        if (!number_parse_integer(threads, strlen(threads), &number) || number < 1 || number > 1024)
            return error_set(parse->error, ERROR_USAGE,
                             "--threads: found '%s'; a whole number from 1 to 1024 is allowed",
                             threads);
        call->threads = (int)number;
    }
    if (seed != NULL) {
        if (!number_parse_integer(seed, strlen(seed), &number) || number < 0)
            return error_set(parse->error, ERROR_USAGE,
                             "--seed: found '%s'; a whole number from 0 on is allowed", seed);
        call->seed = (uint64_t)number;
        call->seed_given = true;
    }
    return read_format(call, parse->global_values[GLOBAL_FORMAT], parse->error);
}

static const struct command *find_command(const char *name, struct error *error)
{
    const char *names[64];
    size_t count = 0;
    for (const struct command *c = commands; c->name != NULL; c++) {
        if (strcmp(c->name, name) == 0)
            return c;
        names[count++] = c->name;
    }
    const char *near = nearest_word(name, names, count);
    error_set(error, ERROR_USAGE, "unknown command '%s'%s%s%s; 'rushlight --help' lists them", name,
              near ? " (did you mean " : "", near ? near : "", near ? "?)" : "");
    return NULL;
}

static int run_command(struct parse *parse, const struct command *command)
{
    struct call *call = parse->call;
    int code = parse_words(parse, parse->rest_count, parse->rest, command);
    if (code != ERROR_NONE)
        return code;
    if (parse->wants_help) {
        print_command_help(call->out, command);
        return ERROR_NONE;
    }
    code = read_globals(parse);
    if (code != ERROR_NONE)
        return code;
    if (call->argument_count < command->least_arguments)
        return error_set(parse->error, ERROR_USAGE, "%s: %zu more word%s needed: rushlight %s %s",
                         command->name, command->least_arguments - call->argument_count,
                         command->least_arguments - call->argument_count == 1 ? " is" : "s are",
                         command->name, command->arguments);
    if (call->argument_count > command->most_arguments)
        return error_set(parse->error, ERROR_USAGE,
                         "%s: '%s' is one word too many: rushlight %s %s", command->name,
                         call->arguments[command->most_arguments], command->name,
                         command->arguments);
    return command->run(call, parse->error);
}

int command_line(int argc, char **argv, FILE *out, FILE *messages)
{
    struct error error = {0};
    struct call call = {.out = out, .messages = messages};
    struct parse parse = {.call = &call, .error = &error};
    int code = parse_words(&parse, argc, argv, NULL);
    if (code == ERROR_NONE && parse.rest_count == 0) {
        if (parse.wants_version)
            fprintf(out, "rushlight %s\n", RUSHLIGHT_VERSION);
        else if (parse.wants_help)
            print_help(out);
        else
            code =
                error_set(&error, ERROR_USAGE,
                          "no command; 'rushlight --help' lists them, 'rushlight demo' is a start");
    } else if (code == ERROR_NONE) {
        const struct command *command = find_command(parse.rest[0], &error);
        code = command != NULL ? run_command(&parse, command) : ERROR_USAGE;
    }
    free(call.arguments);
    free(parse.default_book);
    if (code == ERROR_NONE && (fflush(out) != 0 || ferror(out)))
        code = error_set(&error, ERROR_MACHINE, "cannot write the output: %s", strerror(errno));
    if (code != ERROR_NONE)
        fprintf(messages, "rushlight: %s\n", error.text);
    return code != ERROR_NONE ? code : call.incomplete ? 1 : 0;
}
