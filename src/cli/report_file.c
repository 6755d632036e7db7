#include "cli/report_file.h"

#include "base/new_file.h"
#include "cli/file.h"
#include "version.h"

#include <string.h>

/* One word as a shell reads it back. */
static void append_shell_word(struct text *text, const char *word)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
                                "@%+=:,./_-";
    text_append_char(text, ' ');
    if (*word != '\0' && strspn(word, plain) == strlen(word)) {
        text_append(text, word);
        return;
    }
    text_append_char(text, '\'');
    for (; *word != '\0'; word++) {
        if (*word == '\'')
            text_append(text, "'\\''");
        else
            text_append_char(text, *word);
    }
    text_append_char(text, '\'');
}

/* The command line that gives this answer again. */
static void append_command(struct text *text, const struct call *call)
{
    const struct option_row *row = NULL;
    text_append_format(text, "rushlight %s", call->command->name);
    for (size_t i = 0; i < call->argument_count; i++)
        append_shell_word(text, call->arguments[i]);
    for (size_t i = 0; (row = option_at(call->command->options, i)) != NULL; i++) {
        if (call->values[i] == NULL)
            continue;
        text_append_format(text, " --%s", row->name);
        if (row->kind != OPTION_FLAG)
            append_shell_word(text, call->values[i]);
    }
    if (call->book_given) {
        text_append(text, " --book");
        append_shell_word(text, call->book);
    }
    text_append_format(text, " --seed %llu", (unsigned long long)call->seed);
}

static bool ends_in(const char *path, const char *ending)
{
    size_t length = strlen(path);
    return length > strlen(ending) && strcmp(path + length - strlen(ending), ending) == 0;
}

int report_file_check(const struct call *call, struct error *error)
{
    const char *path = call_option(call, "output");
    if (path == NULL)
        return ERROR_NONE;
    if (ends_in(path, ".html") || ends_in(path, ".pdf"))
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "-o: found '%s'; a name that ends in .html or .pdf is allowed", path);
}

int report_file_write(const struct call *call, const struct report_target *target,
                      const struct document *document, struct error *error)
{
    const char *path = call_option(call, "output");
    struct report_target whole = *target;
    struct text file;
    struct text command;
    if (path == NULL)
        return ERROR_NONE;
    text_init(&file);
    text_init(&command);
    append_command(&command, call);
    whole.file = &file;
    whole.form = ends_in(path, ".pdf") ? REPORT_PDF : REPORT_HTML;
    whole.facts.version = RUSHLIGHT_VERSION;
    whole.facts.command = command.bytes;
    int code = text_failed(&command) ? error_memory(error)
                                     : typesetter_new(&whole.typesetter, error);
    if (code == ERROR_NONE)
        code = report_write(&whole, document, error);
    if (code == ERROR_NONE)
        code = new_file_write(path, &file, error);
    typesetter_free(whole.typesetter);
    text_free(&file);
    text_free(&command);
    return code;
}
