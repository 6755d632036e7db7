/* What `study` prints, whichever of its answers it is. */
#include "cli/study_call.h"
#include "document/document_write.h"
#include "version.h"

void study_begin_json(struct json *json, struct text *text, const struct study_call *work)
{
    text_init(text);
    json_init(json, text, JSON_TIGHT);
    json_begin_object(json);
    json_member_string(json, "rushlight", RUSHLIGHT_VERSION);
    json_put_key(json, "seed");
    json_put_unsigned(json, work->options.seed);
}

int study_end_json(struct study_call *work, struct json *json, struct error *error)
{
    json_end_object(json);
    text_append_char(json->text, '\n');
    return study_print(work, json->text, error);
}

int study_print(struct study_call *work, struct text *text, struct error *error)
{
    int code = text_failed(text) ? error_memory(error) : ERROR_NONE;
    if (code == ERROR_NONE)
        fwrite(text->bytes, 1, text->length, work->call->out);
    text_free(text);
    return code;
}

int study_print_words(struct study_call *work, const struct document *document, struct error *error)
{
    struct text text;
    text_init(&text);
    document_write_text(&text, document);
    return study_print(work, &text, error);
}
