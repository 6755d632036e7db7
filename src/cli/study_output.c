/* `study -o FILE`. */
#include "cli/file.h"
#include "cli/study_call.h"
#include "report/study_report.h"
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

/* The command line that gives this study again. */
static void append_command(struct text *text, const struct study_call *work)
{
    const struct call *call = work->call;
    const struct option_row *rows = call->command->options;
    text_append(text, "rushlight study");
    for (size_t i = 0; i < call->argument_count; i++)
        append_shell_word(text, call->arguments[i]);
    for (size_t i = 0; rows[i].name != NULL; i++) {
        if (call->values[i] == NULL)
            continue;
        text_append_format(text, " --%s", rows[i].name);
        if (rows[i].value != NULL)
            append_shell_word(text, call->values[i]);
    }
    text_append_format(text, " --seed %llu", (unsigned long long)call->seed);
}

static bool ends_in(const char *path, const char *ending)
{
    size_t length = strlen(path);
    return length > strlen(ending) && strcmp(path + length - strlen(ending), ending) == 0;
}

static int write_report(struct study_call *work, const struct text *setup,
                        const struct text *command, const char *path, struct error *error)
{
    struct typesetter *typesetter = NULL;
    struct text report;
    char data_hash[HASH_TEXT_SIZE];
    const struct report_facts facts = {.version = RUSHLIGHT_VERSION,
                                       .setup_text = setup->bytes,
                                       .command = command->bytes,
                                       .data_hash = data_hash,
                                       .seed = work->options.seed,
                                       .resamples = work->options.resamples};
    text_init(&report);
    int code = hash_series(data_hash, work->series, work->count, error);
    if (code == ERROR_NONE)
        code = typesetter_new(&typesetter, error);
    if (code == ERROR_NONE)
        code = (ends_in(path, ".pdf") ? study_report_pdf
                                      : study_report_html)(&report, &work->study, &work->setup,
                                                           study_counted(work), &facts, typesetter,
                                                           error);
    if (code == ERROR_NONE)
        code = file_write(path, &report, error);
    typesetter_free(typesetter);
    text_free(&report);
    return code;
}

int study_check_output(const struct study_call *work, struct error *error)
{
    const char *path = call_option(work->call, "output");
    if (path == NULL || ends_in(path, ".html") || ends_in(path, ".pdf"))
        return ERROR_NONE;
    return error_set(error, ERROR_USAGE,
                     "-o: found '%s'; a name that ends in .html or .pdf is allowed", path);
}

int study_output(struct study_call *work, const char *path, struct error *error)
{
    struct text setup;
    struct text command;
    text_init(&setup);
    text_init(&command);
    setup_write(&work->setup, &setup);
    append_command(&command, work);
    int code = text_failed(&setup) || text_failed(&command)
                   ? error_memory(error)
                   : write_report(work, &setup, &command, path, error);
    text_free(&setup);
    text_free(&command);
    return code;
}
