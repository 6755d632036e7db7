/* `explain`: one bar asked what it is. */
#include "answer/explain.h"

#include "base/calendar.h"
#include "cli/commands.h"
#include "cli/wishes.h"
#include "document/document_write.h"
#include "version.h"

#include <string.h>

static void write_answer(const struct call *call, const struct rules_case *opened,
                         const struct setup *setup, const struct explanation *explanation,
                         struct text *text)
{
    struct document document;
    struct json json;
    switch (call->format) {
    case FORMAT_TEXT:
        document_init(&document);
        answer_explain(&document, opened, setup, explanation);
        document_write_text(text, &document);
        document_clear(&document);
        break;
    case FORMAT_CSV: explain_csv(text, opened, setup, explanation); break;
    case FORMAT_JSON:
        json_init(&json, text, JSON_TIGHT);
        json_begin_object(&json);
        json_member_string(&json, "rushlight", RUSHLIGHT_VERSION);
        explain_json(&json, opened, setup, explanation);
        json_end_object(&json);
        text_append_char(text, '\n');
        break;
    }
}

static int answer(const struct call *call, const struct rules_case *opened,
                  const struct setup *setup, int64_t time, bool date_only, struct error *error)
{
    struct explanation explanation;
    struct text text;
    size_t bar = 0;
    int code = explain_find(opened, call->arguments[0], time, date_only, &bar, error);
    if (code == ERROR_NONE)
        code = explain_bar(opened, setup != NULL, bar, &explanation, error);
    if (code != ERROR_NONE)
        return code;
    text_init(&text);
    write_answer(call, opened, setup, &explanation, &text);
    if (text_failed(&text))
        code = error_memory(error);
    else
        fwrite(text.bytes, 1, text.length, call->out);
    text_free(&text);
    return code;
}

int command_explain(struct call *call, struct error *error)
{
    const char *date = call->arguments[1];
    struct call_work own;
    struct setup setup;
    struct rules_case opened = {0};
    struct notices notices = {0};
    bool date_only = false;
    bool with_setup = call_has(call, "setup");
    int64_t time = 0;
    if (!time_parse(date, strlen(date), &time, &date_only))
        return error_set(error, ERROR_USAGE,
                         "found '%s' for the date; a date YYYY-MM-DD or a time "
                         "YYYY-MM-DDTHH:MM:SSZ is allowed",
                         date);
    int code = with_setup ? setup_of_call(call, &setup, error) : ERROR_NONE;
    if (code != ERROR_NONE)
        return code;
    code = call_work_open(&own, call, error);
    if (code == ERROR_NONE) {
        code = explain_open(own.work, &notices, call->arguments[0], with_setup ? &setup : NULL,
                            &opened, error);
        notices_say(&notices, own.work);
    }
    if (code == ERROR_NONE)
        code = answer(call, &opened, with_setup ? &setup : NULL, time, date_only, error);
    notices_free(&notices);
    rules_close(&opened);
    if (with_setup)
        setup_free(&setup);
    return call_work_close(&own, code, error);
}
