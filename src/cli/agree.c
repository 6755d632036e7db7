/* `agree`: dates that a person marked by hand against the rule. */
#include "answer/agree_rows.h"
#include "cli/commands.h"
#include "cli/paragraph.h"
#include "cli/table.h"
#include "cli/wishes.h"

static int print_answer(struct call *call, const struct agreed *agreed, struct error *error)
{
    struct table table;
    struct text closing;
    size_t count = 0;
    const struct column *columns = agree_columns(&count);
    text_init(&closing);
    table_begin(&table, call, "bars", columns, count);
    agree_put(&table, agreed);
    int code = table_end(&table, NULL, error);
    agree_closing(&closing, &agreed->agreement);
    if (code == ERROR_NONE && text_failed(&closing))
        code = error_memory(error);
    if (code == ERROR_NONE && call->format == FORMAT_TEXT) {
        fputc('\n', call->out);
        print_paragraph(call->out, closing.bytes, 0);
    }
    text_free(&closing);
    return code;
}

int command_agree(struct call *call, struct error *error)
{
    struct setup setup;
    struct call_work opened;
    struct agreed agreed = {0};
    int code = setup_of_call(call, &setup, error);
    if (code != ERROR_NONE)
        return code;
    code = call_work_open(&opened, call, error);
    if (code == ERROR_NONE)
        code = agree_find(opened.work, &setup, call->arguments[0], 1, &agreed, error);
    if (code == ERROR_NONE)
        code = print_answer(call, &agreed, error);
    agreed_free(&agreed);
    setup_free(&setup);
    return call_work_close(&opened, code, error);
}
