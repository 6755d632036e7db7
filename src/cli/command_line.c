#define _GNU_SOURCE /* argp */
#include "cli/command_line.h"

#include "base/array.h"
#include "base/number.h"
#include "base/text.h"
#include "base/words.h"
#include "cli/book.h"
#include "cli/file.h"
#include "cli/help.h"
#include "cli/wishes.h"
#include "version.h"

#include <argp.h>
#include <assert.h>
#include <errno.h>
#include <poll.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const struct option_group *const global_groups[OPTION_GROUPS] = {&option_globals};

/* argp keys: options of the command from FIRST_KEY on, global ones after. */
enum { FIRST_KEY = 1000, GLOBAL_KEY = 2000 };
/* The one option with a letter, -o, as everywhere. */
enum { OUTPUT_KEY = 'o' };

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

static void set_output(struct call *call, const char *path)
{
    const struct option_row *row = NULL;
    for (size_t i = 0; (row = option_at(call->command->options, i)) != NULL; i++)
        if (option_has_letter(row))
            call->values[i] = path;
}

/* What is kept of an option: its value; of a flag its name. */
static const char *kept(const struct option_group *const *groups, int index, const char *value)
{
    return value != NULL ? value : option_at(groups, (size_t)index)->name;
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
        parse->global_values[index] = kept(global_groups, index, value);
    } else if (key == OUTPUT_KEY) {
        set_output(call, value);
    } else if (key >= FIRST_KEY && key < FIRST_KEY + OPTION_LIMIT) {
        int index = key - FIRST_KEY;
        call->values[index] = kept(call->command->options, index, value);
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

static void add_options(struct argp_option *target, size_t *used,
                        const struct option_group *const *groups, int first_key)
{
    const struct option_row *row = NULL;
    for (size_t i = 0; (row = option_at(groups, i)) != NULL; i++)
        /* The text of `arg` is never shown: help is printed from the rows. */
        target[(*used)++] = (struct argp_option){.name = row->name,
                                                 .key = option_has_letter(row) ? OUTPUT_KEY
                                                                               : first_key + (int)i,
                                                 .arg = row->kind == OPTION_FLAG ? NULL : "",
                                                 .doc = row->help};
}

/* The row that a word `--name` or `--name=value` is of, among the command's
 * and the global ones. */
static const struct option_row *row_of_word(const struct command *command, const char *word)
{
    char name[64];
    snprintf(name, sizeof name, "%.*s", (int)strcspn(word, "="), word);
    size_t index = command != NULL ? option_find(command->options, name) : SIZE_MAX;
    if (index != SIZE_MAX)
        return option_at(command->options, index);
    index = option_find(global_groups, name);
    return index != SIZE_MAX ? option_at(global_groups, index) : NULL;
}

/* The names of all options that may be given, with their dashes. */
static size_t option_names(const struct command *command, char (*names)[40], const char **list)
{
    const struct option_row *row = NULL;
    size_t count = 0;
    snprintf(names[count++], sizeof *names, "--help");
    for (size_t i = 0; command != NULL && (row = option_at(command->options, i)) != NULL; i++)
        snprintf(names[count++], sizeof *names, "--%s", row->name);
    for (size_t i = 0; (row = option_at(global_groups, i)) != NULL; i++)
        snprintf(names[count++], sizeof *names, "--%s", row->name);
    for (size_t i = 0; i < count; i++)
        list[i] = names[i];
    return count;
}

static int unknown_option(struct parse *parse, const char *word)
{
    enum { MOST_NAMES = OPTION_LIMIT + GLOBAL_COUNT + 1 };
    const struct command *command = parse->call->command;
    char names[MOST_NAMES][40];
    const char *list[MOST_NAMES];
    char hint[WORD_HINT_SIZE];
    char name[64];
    snprintf(name, sizeof name, "%.*s", (int)strcspn(word, "="), word);
    size_t count = option_names(command, names, list);
    return error_set(parse->error, ERROR_USAGE, "unknown option %s%s; see 'rushlight%s%s --help'",
                     name, word_hint(hint, name, list, count), command != NULL ? " " : "",
                     command != NULL ? command->name : "");
}

static int needs_value(struct parse *parse, const struct option_row *row)
{
    struct text value;
    text_init(&value);
    option_value_words(row, &value);
    int code = error_set(parse->error, ERROR_USAGE, "--%s needs a value: %s", row->name,
                         value.bytes);
    text_free(&value);
    return code;
}

/* getopt, below argp, writes its complaint on stderr itself; this finds the
 * first word that is to blame, so that the message is ours. */
static int explain_bad_option(struct parse *parse, int argc, char **argv)
{
    for (int i = 1; i < argc; i++) {
        if (strncmp(argv[i], "--", 2) != 0 || argv[i][2] == '\0' || strcmp(argv[i], "--help") == 0)
            continue;
        const struct option_row *row = row_of_word(parse->call->command, argv[i] + 2);
        bool has_value = strchr(argv[i], '=') != NULL;
        if (row == NULL)
            return unknown_option(parse, argv[i]);
        if (row->kind == OPTION_FLAG && has_value)
            return error_set(parse->error, ERROR_USAGE, "--%s takes no value", row->name);
        if (row->kind != OPTION_FLAG && !has_value && ++i == argc)
            return needs_value(parse, row);
    }
    return error_set(parse->error, ERROR_USAGE,
                     "options are written --name; see 'rushlight --help'");
}

static int parse_words(struct parse *parse, int argc, char **argv, const struct command *command)
{
    struct argp_option options[OPTION_LIMIT + GLOBAL_COUNT + 3] = {{0}};
    size_t used = 0;
    assert(command == NULL || option_at(command->options, OPTION_LIMIT) == NULL);
    if (command != NULL)
        add_options(options, &used, command->options, FIRST_KEY);
    add_options(options, &used, global_groups, GLOBAL_KEY);
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

/* Whether what was given is allowed and what is needed was given. */
static int check_values(const struct option_group *const *groups, const char *const *values,
                        struct error *error)
{
    const struct option_row *row = NULL;
    int code = ERROR_NONE;
    for (size_t i = 0; code == ERROR_NONE && (row = option_at(groups, i)) != NULL; i++) {
        size_t instead = row->instead != NULL ? option_find(groups, row->instead) : SIZE_MAX;
        if (values[i] != NULL)
            code = option_check(row, values[i], error);
        else if (row->needed != NULL && (instead == SIZE_MAX || values[instead] == NULL))
            code = error_set(error, ERROR_USAGE, "%s%s is missing; %s",
                             option_has_letter(row) ? "-" : "--",
                             option_has_letter(row) ? "o" : row->name, row->needed);
    }
    return code;
}

static int64_t global_whole(const struct parse *parse, size_t index, int64_t missing)
{
    const char *text = parse->global_values[index];
    if (text != NULL)
        number_parse_integer(text, strlen(text), &missing);
    return missing;
}

static int read_globals(struct parse *parse)
{
    struct call *call = parse->call;
    const struct option_row *rows = option_globals.rows;
    long processors = sysconf(_SC_NPROCESSORS_ONLN);
    call->quiet = parse->global_values[GLOBAL_QUIET] != NULL;
    int code = book_default_path(&parse->default_book, parse->error);
    if (code == ERROR_NONE)
        code = check_values(global_groups, parse->global_values, parse->error);
    if (code != ERROR_NONE)
        return code;
    call->book = parse->global_values[GLOBAL_BOOK];
    call->book_given = call->book != NULL;
    /* SQLite's names for a book that is gone when it is closed. */
    if (call->book_given && (call->book[0] == '\0' || strcmp(call->book, ":memory:") == 0))
        return error_set(parse->error, ERROR_USAGE,
                         "--book: found '%s', which would keep nothing; a file is allowed",
                         call->book);
    if (call->book == NULL)
        call->book = parse->default_book;
    call->threads = (int)global_whole(parse, GLOBAL_THREADS, processors < 1 ? 1 : processors);
    call->seed = (uint64_t)global_whole(parse, GLOBAL_SEED, (int64_t)rows[GLOBAL_SEED].missing);
    call->seed_given = parse->global_values[GLOBAL_SEED] != NULL;
    size_t format = option_choice(&rows[GLOBAL_FORMAT], parse->global_values[GLOBAL_FORMAT]);
    call->exact = format == FORMAT_JSON + 1;
    call->format = call->exact ? FORMAT_CSV : (enum output_format)format;
    return ERROR_NONE;
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
    char hint[WORD_HINT_SIZE];
    error_set(error, ERROR_USAGE, "unknown command '%s'%s; 'rushlight --help' lists them", name,
              word_hint(hint, name, names, count));
    return NULL;
}

/* No command may forget it: what is to be written is nothing that is read. */
static int check_output(const struct call *call, struct error *error)
{
    size_t index = option_find(call->command->options, "output");
    const char *path = index != SIZE_MAX ? call->values[index] : NULL;
    return path != NULL ? file_check_output(call, path, error) : ERROR_NONE;
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
    code = check_values(command->options, call->values, parse->error);
    if (code == ERROR_NONE)
        code = check_output(call, parse->error);
    return code == ERROR_NONE ? command->run(call, parse->error) : code;
}

static bool reader_has_gone(FILE *out)
{
    struct pollfd end = {.fd = fileno(out)};
    return end.fd >= 0 && poll(&end, 1, 0) == 1 && (end.revents & POLLERR) != 0;
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
        code = error_because(&error, ERROR_MACHINE, ERROR_REASON_NO_OUTPUT,
                             "cannot write the output: %s", strerror(errno));
    /* Who reads the first lines alone, as `head` does, knows that there are more. */
    if (code != ERROR_NONE && error.reason == ERROR_REASON_NO_OUTPUT && reader_has_gone(out))
        return ERROR_STOPPED;
    if (code != ERROR_NONE && call.command != NULL)
        call_advise(&call, &error);
    if (code != ERROR_NONE)
        fprintf(messages, "rushlight: %s\n", error.text);
    return code != ERROR_NONE ? code : call.incomplete ? 1 : 0;
}
