/* `check`: what is odd about the bars. */
#include "answer/check_rows.h"
#include "cli/commands.h"
#include "cli/paragraph.h"
#include "cli/table.h"
#include "cli/wishes.h"

struct check_answer {
    struct call *call;
    struct table table;
};

static int take_checked(void *context, const struct checked *checked, struct error *error)
{
    struct check_answer *answer = context;
    struct text text;
    if (answer->call->format != FORMAT_TEXT) {
        findings_put(&answer->table, checked);
        return ERROR_NONE;
    }
    text_init(&text);
    checked_words(&text, checked);
    return print_text(answer->call, &text, error);
}

static int check_words(struct check_answer *answer, struct work *work, struct error *error)
{
    struct call *call = answer->call;
    char **words = NULL;
    size_t count = 0;
    bool named = call->argument_count > 0 || call_has(call, "watchlist");
    int code = named ? series_words(work, 0, &words, &count, error)
                     : series_all_words(work, &words, &count, error);
    if (code == ERROR_NONE && call->format != FORMAT_TEXT)
        listing_begin(&answer->table, call, &findings_listing);
    if (code == ERROR_NONE)
        code = check_each(work, words, count, take_checked, answer, error);
    words_free(words, count);
    return code;
}

int command_check(struct call *call, struct error *error)
{
    struct check_answer answer = {.call = call};
    struct call_work opened;
    int code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = check_words(&answer, opened.work, error);
    if (code != ERROR_NONE)
        table_abandon(&answer.table);
    else if (call->format == FORMAT_TEXT)
        print_paragraph(call->out, findings_closing, 0);
    else
        code = table_end(&answer.table, NULL, error);
    return call_work_close(&opened, code, error);
}
