/* `study -o FILE`. */
#include "cli/file.h"
#include "cli/study_call.h"
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

/* First to last date of the bars that are looked at. */
static void append_range(struct text *text, const struct study_call *work)
{
    char day[CALENDAR_TEXT_SIZE];
    int64_t first = INT64_MAX;
    int64_t last = INT64_MIN;
    for (size_t i = 0; i < work->count; i++) {
        const struct study_series *series = &work->series[i];
        if (series->first >= series->bars->count)
            continue;
        int64_t begins = series->bars->time[series->first];
        int64_t ends = series->bars->time[series->bars->count - 1];
        first = begins < first ? begins : first;
        last = ends > last ? ends : last;
    }
    if (first > last) {
        text_append(text, "no date");
        return;
    }
    time_format(day, first, true);
    text_append_format(text, "%s to ", day);
    time_format(day, last, true);
    text_append(text, day);
}

static int write_report(struct study_call *work, const struct study_paper *paper,
                        struct report_target *target, const char *path, struct error *error)
{
    struct text file;
    char data_hash[HASH_TEXT_SIZE];
    text_init(&file);
    target->file = &file;
    target->form = ends_in(path, ".pdf") ? REPORT_PDF : REPORT_HTML;
    target->facts.data_hash = data_hash;
    int code = hash_series(data_hash, work->series, work->count, error);
    if (code == ERROR_NONE)
        code = typesetter_new(&target->typesetter, error);
    if (code == ERROR_NONE)
        code = paper->write(target, paper->context, error);
    if (code == ERROR_NONE)
        code = file_write(path, &file, error);
    typesetter_free(target->typesetter);
    text_free(&file);
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

int study_output(struct study_call *work, const struct study_paper *paper, struct error *error)
{
    const char *path = call_option(work->call, "output");
    struct text texts[2];
    struct report_setup setups[2];
    struct text command;
    struct text range;
    if (path == NULL)
        return ERROR_NONE;
    text_init(&command);
    text_init(&range);
    append_command(&command, work);
    append_range(&range, work);
    bool failed = text_failed(&command) || text_failed(&range);
    for (size_t i = 0; i < paper->setup_count; i++) {
        text_init(&texts[i]);
        setup_write(paper->setups[i], &texts[i]);
        failed = failed || text_failed(&texts[i]);
        setups[i] = (struct report_setup){paper->setups[i]->name, texts[i].bytes};
    }
    struct report_target target = {.setups = setups,
                                   .setup_count = paper->setup_count,
                                   .facts = {.version = RUSHLIGHT_VERSION,
                                             .command = command.bytes,
                                             .range = range.bytes,
                                             .seed = work->options.seed,
                                             .resamples = work->options.resamples}};
    int code = failed ? error_memory(error) : write_report(work, paper, &target, path, error);
    for (size_t i = 0; i < paper->setup_count; i++)
        text_free(&texts[i]);
    text_free(&command);
    text_free(&range);
    return code;
}
