/* The setup file's own tools. */
#include "setup/setup.h"
#include "cli/commands.h"
#include "cli/differences.h"

#include <string.h>

static int check_file(struct call *call, const char *path, struct error *error)
{
    struct setup setup;
    int code = setup_read_file(&setup, path, error);
    if (code != ERROR_NONE)
        return code;
    fprintf(call->out, "%s: a %s setup, '%s', family %s: no fault found\n", path,
            side_name(setup.side), setup.name, setup.family);
    setup_free(&setup);
    return ERROR_NONE;
}

static int write_setup(struct call *call, const char *path, bool mirror, struct error *error)
{
    struct setup setup;
    struct text text;
    int code = setup_read_file(&setup, path, error);
    if (code != ERROR_NONE)
        return code;
    text_init(&text);
    if (mirror)
        code = setup_mirror(&setup, error);
    if (code == ERROR_NONE) {
        setup_write(&setup, &text);
        if (text_failed(&text))
            code = error_memory(error);
        else
            fwrite(text.bytes, 1, text.length, call->out);
    }
    text_free(&text);
    setup_free(&setup);
    return code;
}

static int read_written(const char *path, struct text *text, struct error *error)
{
    struct setup setup;
    int code = setup_read_file(&setup, path, error);
    if (code != ERROR_NONE)
        return code;
    setup_write(&setup, text);
    setup_free(&setup);
    return text_failed(text) ? error_memory(error) : ERROR_NONE;
}

static int print_differences(struct call *call, struct error *error)
{
    struct text first;
    struct text second;
    struct text closing;
    text_init(&first);
    text_init(&second);
    text_init(&closing);
    int code = read_written(call->arguments[1], &first, error);
    if (code == ERROR_NONE)
        code = read_written(call->arguments[2], &second, error);
    if (code == ERROR_NONE)
        code = differences_print(call, first.bytes, second.bytes, &closing, error);
    text_free(&first);
    text_free(&second);
    return code;
}

/* Every file is checked; the last fault is the command's, those before it are
 * said here, so that they come in the order of the files. */
static int check_files(struct call *call, struct error *error)
{
    for (size_t i = 1; i < call->argument_count; i++) {
        struct error one = {0};
        if (check_file(call, call->arguments[i], &one) == ERROR_NONE)
            continue;
        if (error->code != ERROR_NONE)
            fprintf(call->messages, "rushlight: %s\n", error->text);
        *error = one;
    }
    return error->code;
}

int command_setup(struct call *call, struct error *error)
{
    const char *verb = call->arguments[0];
    if (strcmp(verb, "schema") == 0 && call->argument_count == 1) {
        struct text text;
        text_init(&text);
        setup_schema(&text);
        bool failed = text_failed(&text);
        if (!failed)
            fwrite(text.bytes, 1, text.length, call->out);
        text_free(&text);
        return failed ? error_memory(error) : ERROR_NONE;
    }
    if (strcmp(verb, "check") == 0 && call->argument_count >= 2)
        return check_files(call, error);
    if (strcmp(verb, "mirror") == 0 && call->argument_count == 2)
        return write_setup(call, call->arguments[1], true, error);
    if (strcmp(verb, "write") == 0 && call->argument_count == 2)
        return write_setup(call, call->arguments[1], false, error);
    if (strcmp(verb, "diff") == 0 && call->argument_count == 3)
        return print_differences(call, error);
    return error_set(error, ERROR_USAGE,
                     "setup: 'check FILE…', 'mirror FILE', 'write FILE', 'diff FILE FILE' or "
                     "'schema' is allowed");
}
